"""Pours that hang on another bottle: found one bottle at a time, and against the night asked again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar
from balancer.engine.service.hanging import MovedBy, moved_by
from balancer.engine.service.lines import gains_by_correction, lines_of
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.strips import Strip, strips
from balancer.engine.service.tonight import Tonight, tonight
from balancer.models.batch import Batch
from tests.engine.builders import BERRY, LIME, RUM, bar, drink
from tests.engine.service.test_strips import MENU, PLUM
from tests.engine.service.test_tonight import NIGHT, batch

HALF = drink("Half Half", "60 ml gold rum", "22.5 ml lime juice", "15 ml berry syrup", "15 ml plum syrup")
PILOT = drink("Pilot", "60 ml gold rum", "22.5 ml lime juice", "15 ml plum syrup")
HALVES = bar(RUM, LIME, BERRY, PLUM, HALF, PILOT, jigger_step="5 ml")
AT_STANDARD = batch("BER-12", "berry-syrup", 49.97)
STRONG = batch("PLU-1", "plum-syrup", 54.6)


def of(house: Bar, *batches: Batch) -> dict[str, Strip]:
    found = strips(house, tonight(house, batches, NIGHT), batches)
    return {strip.batch.id: strip for strip in found.strips}


def test_a_strip_names_the_bottle_that_its_pour_hangs_on() -> None:
    """By the printed densities 54.6 °Bx holds 0.686 g/ml (1.2563), 50 °Bx 0.6148.

    Half Half has 2 × 9.22 g and 0.4 g of the lime: 15 ml of the strong one bring 1.07 g more, 5.7 % of it. Its own line
    is 15 ml (13.4 exactly), so that the berry moves, which is at standard: 20 ml, and 10 ml of the plum, bring 0.7 g
    more, 3.8 %. With the plum at standard Half Half is right as written.
    """
    strip = of(HALVES, AT_STANDARD, STRONG)["BER-12"]
    assert [(own.drink.name, own.poured.value) for own in strip.lines.own_pours] == [("Half Half", 20.0)]
    assert [(other.batch.id, [drink.name for drink in other.drinks]) for other in strip.hangs_on] == [
        ("PLU-1", ["Half Half"])
    ]
    assert of(HALVES, AT_STANDARD, batch("PLU-1", "plum-syrup", 50.0)) == {}


def test_a_line_that_is_its_bottles_own_hangs_on_nothing() -> None:
    """Either is off by itself, and no drink pours both."""
    found = of(bar(*MENU), batch("BER-3", "berry-syrup", 54.0), batch("PLU-1", "plum-syrup", 54.0))
    assert {identity: strip.hangs_on for identity, strip in found.items()} == {"BER-3": (), "PLU-1": ()}


@pytest.mark.parametrize("other", [None, 50.0])
def test_a_bottle_at_its_standard_has_nothing_to_hang_on(other: float | None) -> None:
    """Nor has one that nobody read: Half Half and the sour have no more than one bottle that is off."""
    house = bar(*MENU, HALF)
    berry, beside = batch("BER-3", "berry-syrup", 54.0), [batch("PLU-1", "plum-syrup", other)] if other else []
    strip = of(house, berry, *beside)["BER-3"]
    assert strip.lines == of(house, berry)["BER-3"].lines
    assert strip.hangs_on == ()


POURS = st.sampled_from([7.5, 10.0, 15.0, 22.5, 30.0])
DRINKS = st.lists(st.tuples(st.none() | POURS, st.none() | POURS), min_size=1, max_size=5)
STRENGTHS = st.sampled_from([42.0, 45.0, 47.5, 49.5, 50.0, 50.5, 52.0, 54.6, 58.0])


def _names(result: Tonight, identity: str) -> dict[str, object]:
    """What every drink pours of a bottle, and whether that is right, by the drink's id."""
    rows = next(item.rescale.rows for item in result.batches if item.batch.id == identity)
    return {row.drink.id: (row.poured.value, row.verdict, row.is_to_blame, row.hangs_on_bottle) for row in rows}


@given(DRINKS, STRENGTHS, STRENGTHS, st.none() | STRENGTHS, st.sampled_from(["2.5 ml", "5 ml", "7.5 ml"]))
def test_what_hangs_is_what_another_night_pours_otherwise(
    poured: list[tuple[float | None, float | None]], berry: float, plum: float, second: float | None, step: str
) -> None:
    """The night is asked again with the other bottle at its standard: what pours otherwise then hangs on it."""
    menu = [
        drink(
            f"Drink {number}",
            "50 ml gold rum",
            "15 ml lime juice",
            *(f"{pour} ml {name} syrup" for pour, name in zip(pours, ("berry", "plum"), strict=True) if pour),
        )
        for number, pours in enumerate(poured)
    ]
    house = bar(RUM, LIME, BERRY, PLUM, *menu, jigger_step=step)
    batches = [batch("BER-1", "berry-syrup", berry), batch("PLU-1", "plum-syrup", plum)]
    batches += [batch("BER-2", "berry-syrup", second)] if second else []
    found = of(house, *batches)
    night = tonight(house, batches, NIGHT)
    for identity, strip in found.items():
        other = "BER-1" if identity == "PLU-1" else "PLU-1"
        then = tonight(house, [replace(one, brix=50.0) if one.id == other else one for one in batches], NIGHT)
        before, after = _names(night, identity), _names(then, identity)
        hanging = {drink.id for one in strip.hangs_on for drink in one.drinks}
        assert hanging == {drink_id for drink_id in before if before[drink_id] != after[drink_id]}
        assert all(one.batch.id == other for one in strip.hangs_on)
        if not hanging:
            kept = [next(one.rescale for one in each.batches if one.batch.id == identity) for each in (night, then)]
            assert lines_of(kept[0]) == lines_of(kept[1])


def rescaled(house: Bar, identity: str, *batches: Batch) -> Rescale:
    return next(one.rescale for one in tonight(house, batches, NIGHT).batches if one.batch.id == identity)


@pytest.mark.parametrize(
    ("berry", "plum", "found"),
    [
        (49.97, 54.6, [MovedBy("plum syrup", True)]),
        (54.6, 49.97, []),  # outside its own tolerance of 1 °Bx
        (49.97, 50.0, []),  # nothing moves
    ],
)
def test_a_bottle_at_its_standard_pours_otherwise_because_of_another(
    berry: float, plum: float, found: list[MovedBy]
) -> None:
    batches = (batch("BER-12", "berry-syrup", berry), batch("PLU-1", "plum-syrup", plum))
    assert list(moved_by(rescaled(HALVES, "BER-12", *batches))) == found


def test_a_weak_one_is_called_so() -> None:
    """45 °Bx holds 0.541 g/ml (1.2025), 0.74 g too little in 10 ml, 5.8 % of 12.7 g; its line stays at 10 ml (11.4).

    15 ml of it and 7.5 ml of the berry, in steps of 7.5, bring 0.43 g more, 3.4 %.
    """
    small = drink("Small Half", "60 ml gold rum", "22.5 ml lime juice", "10 ml berry syrup", "10 ml plum syrup")
    house = bar(RUM, LIME, BERRY, PLUM, small, jigger_step="7.5 ml")
    berry = batch("BER-12", "berry-syrup", 50.03)
    assert moved_by(rescaled(house, "BER-12", berry, replace(STRONG, brix=45.0))) == (MovedBy("plum syrup", False),)


def test_within_its_tolerance_but_off_by_itself_it_is_its_own_doing() -> None:
    """At 1 % the sour is off with a berry of 50.9 °Bx, which a batch tolerance of 1 lets pass, whatever the plum."""
    house = bar(*MENU, tolerance="1 %")
    assert moved_by(rescaled(house, "BER-3", batch("BER-3", "berry-syrup", 50.9), STRONG)) == ()


@pytest.mark.parametrize(
    ("berry", "plum", "gains"),
    [
        (49.97, 54.6, False),  # it reads 50.0, whatever the plum makes of its pours
        (49.6, 50.0, False),  # within the batch tolerance, and every drink as written
        (57.5, 50.0, True),  # 19 % too much sugar
    ],
)
def test_nothing_is_corrected_within_its_tolerance(berry: float, plum: float, gains: bool) -> None:
    batches = (batch("BER-12", "berry-syrup", berry), batch("PLU-1", "plum-syrup", plum))
    assert gains_by_correction(rescaled(HALVES, "BER-12", *batches)) is gains


def test_a_correction_that_leaves_a_drink_without_a_pour_gains_nothing() -> None:
    """At standard the berry does not move, so that Half Half, 5.7 % off with the plum, has no pour; now it has one."""
    result = rescaled(HALVES, "BER-12", replace(AT_STANDARD, brix=49.8), STRONG)
    assert [row.poured.value for row in result.rows] == [20.0]
    there = decided(HALVES, replace(AT_STANDARD, brix=50.0), STRONG)
    assert there == {"half-half": "out of reach", "pilot": "out of reach"}
    assert not gains_by_correction(result)


def decided(house: Bar, *batches: Batch) -> dict[str, str]:
    menu = tonight(house, batches, NIGHT).menu
    return {drink.id: menu.decide(drink).decision.verdict for drink in house.specs.drinks.values()}
