"""What is behind a change, argued by hand."""

from __future__ import annotations

import pytest

from balancer.components import composition
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import contribute
from balancer.engine.swaps.brought import Brought, Sum, brought, grams_of, most_doubtful, origin_of
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink


def part(name: str, before: dict[str, float] | None, after: dict[str, float] | None) -> Brought:
    liquid = Liquid(name, name, composition({"water": 1.0}), 1.0, allergens=())
    return Brought(liquid, *(None if grams is None else composition(grams) for grams in (before, after)))


def behind(what: Sum, *parts: Brought, thinner: float = 1.0) -> tuple[str | None, str]:
    before = sum(grams_of(what, each.before) for each in parts if each.before)
    after = sum(grams_of(what, each.after) for each in parts if each.after)
    found = origin_of(what, parts, before, after, thinner)
    return found.liquid.id if found.liquid else None, found.why


OLD = part("old", {"sucrose": 10.0, "citric": 1.0}, None)
NEW = part("new", None, {"sucrose": 11.0})
LESS = part("lime", {"citric": 2.0}, {"citric": 1.5})
STAYS = part("rum", {"ethanol": 20.0}, {"ethanol": 20.0})


@pytest.mark.parametrize(
    ("what", "parts", "thinner", "expected"),
    [
        ("sugar", (OLD, NEW, STAYS), 1.0, ("new", "comes")),
        ("sugar", (OLD, part("new", None, {"sucrose": 6.0})), 1.0, ("new", "comes")),  # it could have been poured more
        ("sugar", (OLD, part("new", None, {"sucrose": 1.0})), 1.0, ("old", "goes")),  # it does not stand in for it
        ("acid", (OLD, NEW, LESS), 1.0, ("old", "goes")),  # 1 g of the 1.5 g that are gone
        ("acid", (NEW, LESS), 1.0, ("lime", "less")),
        ("acid", (part("lime", {"citric": 1.0}, {"citric": 1.5}),), 1.0, ("lime", "more")),
        ("abv", (OLD, NEW, STAYS), 1.2, (None, "volume")),  # as much of it in less
        ("sugar", (OLD, NEW, STAYS), 1.2, (None, "volume")),  # a tenth more, in a sixth less
        ("sugar", (OLD, NEW, STAYS), 1.05, ("new", "comes")),
        ("acid", (part("new", None, {"citric": 0.1}),), 2.0, ("new", "comes")),  # there was none at all
        ("sweetness", (OLD, part("new", None, {"fructose": 10.0})), 1.0, ("new", "comes")),
    ],
)
def test_what_is_behind_a_change(
    what: Sum, parts: tuple[Brought, ...], thinner: float, expected: tuple[str | None, str]
) -> None:
    assert behind(what, *parts, thinner=thinner) == expected
    assert behind(what, *reversed(parts), thinner=thinner) == expected


def test_the_sugars_that_sources_differ_on_most_are_named() -> None:
    """10 g fructose may be 11.4 to 18 g of sucrose, as much glucose 6.9 to 8.0."""
    fructose, glucose = part("fruit", None, {"fructose": 10.0}), part("corn", {"glucose": 10.0}, None)

    assert most_doubtful([glucose, fructose, OLD]).liquid is fructose.liquid
    assert most_doubtful([glucose, OLD]) == (glucose.liquid, "goes")
    assert fructose.sweetness_spread == pytest.approx(6.6)
    assert OLD.sweetness_spread == 0.0


def test_liquids_of_two_drinks_each_once() -> None:
    old = drink("Old", "60 ml gold rum", "20 ml lime juice", "20 ml plain syrup")
    new = drink("New", "20 ml berry syrup", "60 ml gold rum", "25 ml lime juice")
    house = bar(RUM, LIME, PLAIN, BERRY, old, new)
    found = brought(*(contribute(house, each, {}, {}) for each in (old, new)))

    assert [(each.liquid.id, each.why if not each.stays else "stays") for each in found] == [
        ("gold-rum", "stays"),
        ("lime-juice", "more"),
        ("plain-syrup", "goes"),
        ("berry-syrup", "comes"),
    ]
    assert sum(each.changes("acid") for each in found) == pytest.approx(0.005 * 46.0)
