"""Random bars, their drinks ready to be poured, and random strengths: for tests of the simulation."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from balancer.engine.drink.bar import Bar
from balancer.engine.service.menu import Menu
from balancer.engine.simulate.drawn import Batches
from balancer.engine.simulate.glasses import DrinkParts
from balancer.engine.simulate.shelf import SyrupShelf, parts_of
from balancer.engine.simulate.spread import Spread
from balancer.models.drink import Drink
from balancer.units import parse_pour
from tests.engine.builders import LIME, RUM, bar, drink, syrup

NAMES: Final = ("ash", "beech", "cedar")
_JIGGERS: Final[tuple[dict[str, Any], ...]] = (
    {"jigger_step": "2.5 ml"},
    {"jigger_step": "5 ml"},
    {"jigger_step": "1/4 oz"},
    {"jigger_step": "0.1 ml"},
    {"jigger_lines": ["15 ml", "22.5 ml", "30 ml"]},
    {"jigger_lines": ["7.5 ml", "20 ml", "40 ml"], "jigger_barspoon": "true"},
)
_AMOUNTS: Final = ("5 ml", "7.5 ml", "10 ml", "12.5 ml", "20 ml", "22.5 ml", "30 ml", "3/4 oz", "14 g", "25 g")


class MadeBar(NamedTuple):
    """A bar with one drink, and how its syrups are as strong in some draws, °Bx by syrup id."""

    bar: Bar
    drink: Drink
    draws: list[dict[str, float]]

    @property
    def parts(self) -> DrinkParts:
        """The drink ready to be poured of any of them."""
        return ready(self.bar, self.drink)


def ready(of_bar: Bar, spec: Drink, sd_brix: float = 2.0) -> DrinkParts:
    """A drink ready to be poured of strengths up to 12 °Bx around the standards of its syrups."""
    syrups = of_bar.specs.syrups
    standards = {each: of_bar.standard(each) for each in syrups}
    spreads = {each: Spread(one, standards[each], standards[each], sd_brix, 0.3, None) for each, one in syrups.items()}
    shelf = SyrupShelf(of_bar, {each: Batches(of_bar, spread, 1) for each, spread in spreads.items()})
    return parts_of(shelf, Menu(of_bar, standards).decide(spec))


@st.composite
def made_bars(draw: DrawFn, most_off: float = 12.0) -> MadeBar:
    """A bar nobody thought of: its jigger, its tolerances, and a drink of one to three syrups.

    most_off  how far its syrups are off their standards at most, °Bx
    """
    house: dict[str, Any] = dict(draw(st.sampled_from(_JIGGERS)))
    house |= {"tolerance": f"{draw(st.sampled_from([3, 5, 8]))} %"}
    house |= {"batch_tolerance": f"{draw(st.sampled_from([0.5, 1, 2]))} °Bx"}
    house |= {"pour_style": draw(st.sampled_from(["jigger", "jigger", "jigger", "scale", "free"]))}
    house |= draw(st.sampled_from([{}, {"scale": {"division": "0.1 g"}}, {"scale": {"division": "1 g"}}]))
    chosen = NAMES[: draw(st.integers(1, 3))]
    syrups = [
        syrup(
            name,
            standard=f"{draw(st.sampled_from([50, 50, 40, 60.5, 66.7]))} °Bx",
            allergens=[],
            **draw(st.sampled_from([{}, {}, {"acid": "9 g/kg"}, {"sugar_share": "93 %"}, {"tolerance": "2 °Bx"}])),
        )
        for name in chosen
    ]
    pours: list[Any] = [draw(st.sampled_from(["60 ml gold rum", "22.5 ml lime juice"]))]
    for name in chosen:
        amount = draw(st.sampled_from(_AMOUNTS))
        is_fixed = draw(st.sampled_from([False] * 6 + [True]))
        pours.append(
            {"pour": parse_pour(f"{amount} {name}")[0], "of": name, "fixed": True} if is_fixed else f"{amount} {name}"
        )
    apart = {chosen[0]: f"{draw(st.sampled_from([48, 52, 55]))} °Bx"} if draw(st.booleans()) else {}
    spec = drink("Any", *pours, written_for=apart)
    made = bar(RUM, LIME, *syrups, spec, **house)
    draws = [
        {one.id: min(made.standard(one.id) + min(max(draw(_offs), -most_off), most_off), 84.0) for one in syrups}
        for _ in range(draw(st.integers(1, 12)))
    ]
    return MadeBar(made, spec, draws)


_offs: Final = st.one_of(
    st.floats(-12.0, 12.0), st.sampled_from([0.0, 0.5, 1.0, -1.0, 2.0, -2.0, 4.0, -4.0]), st.floats(-3.0, 3.0)
)
