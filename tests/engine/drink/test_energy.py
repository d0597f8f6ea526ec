"""The energy balance: what is published about shaken and stirred drinks, conservation, and its limits."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.components import ETHANOL, NOTHING, WATER, Composition, composition
from balancer.engine.drink.energy import Chilling, freezing_point, melt, vessel_constant
from balancer.errors import BalancerError, CannotError, OutOfRangeError
from balancer.properties import dilution
from tests import dilution_page
from tests.dilution_page import BOOK_ML, fraction, mix, shaken, stirred

DAIQUIRI = mix(105.0, 22.9, 13.5, 1.0)
STRENGTH = st.floats(0.0, 40.0)
SUGAR = st.floats(0.0, 20.0)


@pytest.mark.parametrize("abv", range(18, 34))
def test_it_gives_the_published_relation_for_shaken_drinks(abv: int) -> None:
    """[ARNOLD] p. 123, within 0.02 from 18 to 33 % vol, with one fitted constant."""
    assert fraction(shaken(abv), BOOK_ML) == pytest.approx(dilution.shaken(abv), abs=0.02)


@pytest.mark.parametrize("abv", [29, 35, 43])
def test_it_gives_the_relation_for_stirred_drinks_at_plausible_temperatures(abv: int) -> None:
    assert fraction(stirred(abv), 92.0) == pytest.approx(dilution.stirred(abv), abs=0.02)


def test_a_shaken_drink_is_as_cold_as_published() -> None:
    """[ARNOLD] 2009: -7 °C for shaken drinks with ice at 0 °C; judged ±1 K."""
    assert melt(DAIQUIRI, Chilling()).final_c == pytest.approx(-7.0, abs=1.0)


def test_the_drink_of_the_home_test_is_as_cold_as_measured() -> None:
    """Daiquiri started at 26 °C, tempered ice: -6 °C by a kitchen thermometer; judged ±1 K."""
    assert melt(mix(97.5, 24.6, 12.9, 1.06), Chilling(start_c=26.0)).final_c == pytest.approx(-6.0, abs=1.0)


def test_water_melts_what_a_schoolbook_says() -> None:
    """100 g of water from 20 °C to 0 °C in a weightless vessel: 100 × 4.19 × 20 ÷ 333.4 = 25.1 g of ice."""
    found = melt(composition({"water": 100.0}), Chilling(start_c=20.0, vessel_j_per_k=0.0))

    assert found.water_g == pytest.approx(25.1, abs=0.1)
    assert found.final_c == pytest.approx(0.0, abs=1e-9)


def test_water_stirred_to_three_degrees_melts_what_a_schoolbook_says() -> None:
    """100 g of water from 20 to 3 °C: 100 × 4.19 × 17 ÷ (333.4 + 4.21 × 3) = 20.6 g of ice at 0 °C."""
    found = melt(composition({"water": 100.0}), Chilling(start_c=20.0, vessel_j_per_k=0.0, stop_c=3.0))

    assert found.water_g == pytest.approx(100.0 * 4.19 * 17.0 / (333.4 + 4.21 * 3.0), abs=0.1)
    assert found.final_c == 3.0


@pytest.mark.parametrize("ice_g", [120.0, 180.0, 250.0])
def test_what_freezer_ice_takes_off_goes_by_how_much_of_it_there_is(ice_g: float) -> None:
    """ice × 2.03 × 18 J over 333.4 J/g by hand, in a drink within a tenth: it is colder, and so melts some more."""
    wet, dry = (melt(DAIQUIRI, Chilling(ice_g=ice_g, ice_c=cold)).water_g for cold in (0.0, -18.0))

    assert wet - dry == pytest.approx(ice_g * 2.03 * 18.0 / 333.4, rel=0.1)


def test_what_is_said_of_freezer_ice_is_what_the_balance_gives() -> None:
    """12 to 24 points, in words beside the relation; the book's drink at 24 % vol is the one it is said of."""
    for ice_g, points in dilution.FREEZER_ICE_POINTS:
        cold, wet = (
            dilution_page.colder(ice_g, ice_c).percent_of_mix or 0.0 for ice_c in (dilution.FREEZER_ICE_C, 0.0)
        )
        assert wet - cold == pytest.approx(points, abs=0.5)


def test_freezer_ice_melts_less_by_what_it_takes_to_warm_it() -> None:
    """100 g of ice from -18 °C to 0 °C takes 100 × 2.03 × 18 J, that is 11.0 g less melted; water again."""
    water = composition({"water": 100.0})
    wet, dry = (melt(water, Chilling(ice_g=100.0, ice_c=cold)).water_g for cold in (0.0, -18.0))

    assert wet - dry == pytest.approx(100.0 * 2.03 * 18.0 / 333.4, abs=0.1)


@pytest.mark.parametrize(
    ("change", "low", "high"),
    [
        ({"start_c": 27.0}, 0.05, 0.07),
        ({"ice_c": -18.0}, -0.13, -0.11),
        ({"ice_g": 200.0}, 0.02, 0.04),
        ({"vessel_j_per_k": 128.0}, 0.04, 0.07),
    ],
)
def test_what_changes_a_daiquiri(change: dict[str, float], low: float, high: float) -> None:
    """Each within what a heat balance by hand gives: start +5 °C, 629 J/K × 5 ÷ 333 = 9.4 g less colder drink."""
    usual = fraction(melt(DAIQUIRI, Chilling()), 105.0)

    assert low < fraction(melt(DAIQUIRI, Chilling(**change)), 105.0) - usual < high


def test_ice_that_runs_out_has_all_melted() -> None:
    """20 g of ice cannot chill a drink to its freezing point."""
    found = melt(DAIQUIRI, Chilling(ice_g=20.0))

    assert (found.water_g, found.ran_out) == (20.0, True)
    assert 0.0 < found.final_c < 22.0


def test_a_drink_gets_no_colder_than_its_freezing_point() -> None:
    assert melt(DAIQUIRI, Chilling(stop_c=-15.0)) == melt(DAIQUIRI, Chilling())


@given(abv=STRENGTH, sugar=SUGAR, start=st.floats(5.0, 25.0))
def test_more_melts_from_a_warmer_start(abv: float, sugar: float, start: float) -> None:
    drink = mix(100.0, abv, sugar, 1.0)

    assert melt(drink, Chilling(start_c=start)).water_g < melt(drink, Chilling(start_c=start + 2.0)).water_g


@given(abv=STRENGTH, sugar=SUGAR, stop=st.floats(-3.0, -0.5))
def test_stopping_earlier_melts_less(abv: float, sugar: float, stop: float) -> None:
    drink = mix(100.0, abv, sugar, 0.5)
    end = melt(drink, Chilling())
    assume(end.final_c < stop)

    assert melt(drink, Chilling(stop_c=stop)).water_g < end.water_g


@given(abv=STRENGTH, sugar=SUGAR, ice=st.floats(-18.0, 0.0))
def test_it_ends_at_the_freezing_point_of_what_is_strained(abv: float, sugar: float, ice: float) -> None:
    drink = mix(100.0, abv, sugar, 1.0)
    found = melt(drink, Chilling(ice_c=ice))
    strained = tuple(grams + found.water_g * (row == WATER) for row, grams in enumerate(drink))

    assert 0.0 < found.water_g < 120.0
    assert found.final_c == pytest.approx(freezing_point(strained), abs=1e-6)


@given(factor=st.floats(0.5, 20.0), abv=STRENGTH)
def test_everything_twice_melts_twice(factor: float, abv: float) -> None:
    drink = mix(100.0, abv, 10.0, 1.0)
    more: Composition = tuple(factor * grams for grams in drink)
    larger = melt(more, Chilling(ice_g=120.0 * factor, vessel_j_per_k=64.0 * factor))

    assert larger.water_g == pytest.approx(factor * melt(drink, Chilling()).water_g, rel=1e-6)


@given(abv=STRENGTH, vessel=st.floats(0.0, 150.0))
def test_a_weighed_drink_gives_back_the_vessel(abv: float, vessel: float) -> None:
    drink, chilling = mix(105.0, abv, 10.0, 1.0), Chilling(vessel_j_per_k=vessel)

    assert vessel_constant(drink, chilling, melt(drink, chilling).water_g) == pytest.approx(vessel, abs=1e-5)


@pytest.mark.parametrize("melt_g", [0.0, 5.0, 120.0])
def test_a_weighing_that_cannot_be_gives_no_vessel(melt_g: float) -> None:
    with pytest.raises(CannotError):
        vessel_constant(DAIQUIRI, Chilling(), melt_g)


def test_nothing_melts_nothing() -> None:
    assert melt(NOTHING, Chilling()).water_g == 0.0


@pytest.mark.parametrize(
    ("drink", "chilling"),
    [
        (mix(60.0, 57.0, 0.0, 0.0), Chilling()),
        (DAIQUIRI, Chilling(start_c=31.0)),
        (DAIQUIRI, Chilling(stop_c=23.0)),
        (DAIQUIRI, Chilling(ice_g=1000.0, ice_c=-30.0, start_c=-5.0)),
    ],
    ids=["57 % vol", "warm start", "stop above start", "colder than known"],
)
def test_beyond_its_range_it_refuses(drink: Composition, chilling: Chilling) -> None:
    with pytest.raises(BalancerError) as caught:
        melt(drink, chilling)

    assert caught.value.problems()[0].remedy


@pytest.mark.parametrize(
    ("grams", "printed"),
    [
        ({"ethanol": 11.0, "water": 89.0}, -5.00),
        ({"glucose": 15.0, "water": 85.0}, -1.88),
        ({"fructose": 15.0, "water": 85.0}, -1.86),
        ({"sucrose": 40.0, "water": 60.0}, -4.45),
        ({"citric": 12.0, "water": 88.0}, -1.38),
    ],
)
def test_freezing_point_of_one_solute(grams: dict[str, float], printed: float) -> None:
    """[CRC] Concentrative properties of aqueous solutions."""
    assert freezing_point(composition(grams)) == pytest.approx(printed, abs=0.08)


def test_a_spirit_freezes_below_what_is_known() -> None:
    with pytest.raises(OutOfRangeError):
        freezing_point(mix(100.0, 40.0, 0.0, 0.0))
    assert mix(100.0, 40.0, 0.0, 0.0)[ETHANOL] > 0.0


def test_page_of_dilution_is_up_to_date() -> None:
    assert dilution_page.PAGE.read_text("utf-8") == dilution_page.page(), "run: python tests/dilution_page.py --write"
