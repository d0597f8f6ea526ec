"""When a drink's water comes from the energy balance, and what the `chill` keys mean."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.dilution import chilling_of, made_in, vessel_of
from balancer.engine.drink.energy import Chilling, melt
from balancer.engine.drink.totals import Totals, totals
from balancer.engine.service.rescale import rescale
from balancer.errors import CannotError
from balancer.models.chill import Chill
from tests.engine.builders import BERRY, LIME, RUM, SOUR, bar, drink, house, ingredient

ICE = ingredient("ice", sugar="0 g/kg", melts="true", allergens=[])
POURS = ("60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup")
FREEZER: dict[str, Any] = {"ice": "120 g", "ice temperature": "-18 °C"}


def worked(*pours: str, method: str = "shaken", **keys: Any) -> Totals:
    made = drink("Any", *(pours or POURS), method=method, **keys)
    return totals(bar(RUM, LIME, BERRY, ICE, made), made)


def test_without_the_key_nothing_changes() -> None:
    assert worked().dilution.basis == "shaken"
    assert worked(method="stirred").dilution.basis == "stirred"


def test_a_shaken_drink_that_says_how_it_is_chilled() -> None:
    """Daiquiri, freezer ice: 0.400 of the mix instead of 0.519, by a worked heat balance; judged ±4 points, and more.

    120 g of ice from -18 to -10 °C is 120 × 2.0 × 8 ÷ 333 = 5.8 g of ice melted, 5.5 points: half of it is doubted.
    """
    found = worked(chill=FREEZER).dilution

    assert found.basis == "energy"
    assert found.percent_of_mix == pytest.approx(40.0, abs=1.0)
    assert found.plus_minus_percent == pytest.approx(4.0 + 0.5 * 5.5, abs=0.3)
    assert found.by_ice == ()
    assert found.note == ""
    assert found.final_temperature_c == pytest.approx(-7.6, abs=0.3)


@pytest.mark.parametrize(("ice_c", "plus_minus"), [("0 °C", 4.0), ("-5 °C", 4.0), ("-10 °C", 4.0)])
def test_down_to_ten_below_the_balance_is_as_sure_as_at_zero(ice_c: str, plus_minus: float) -> None:
    chill = {"ice": "120 g", "ice temperature": ice_c}

    assert worked(chill=chill).dilution.plus_minus_percent == plus_minus


def test_more_of_very_cold_ice_is_less_sure() -> None:
    """Doubt goes by the cold that goes in: 250 g hold 250 ÷ 120 of it, 4 + 2.7 × 2.1 = 9.7 points."""
    much = worked(chill={"ice": "250 g", "ice temperature": "-18 °C"}).dilution

    assert much.plus_minus_percent == pytest.approx(4.0 + 0.5 * 5.5 * 250.0 / 120.0, abs=0.8)


def test_cold_ice_of_an_amount_nobody_states_gives_a_range() -> None:
    """12 to 24 points less than wet ice, by 120 to 250 g of it; the first is what is taken."""
    wet = {ice: worked(chill={"ice": f"{ice:g} g"}).dilution.percent_of_mix for ice in (120.0, 250.0)}
    found = worked(chill={"ice temperature": "-18 °C"}).dilution

    assert [row.ice_g for row in found.by_ice] == [120.0, 250.0]
    assert found.by_ice[0].percent_of_mix == found.percent_of_mix
    less = [(wet[row.ice_g] or 0.0) - row.percent_of_mix for row in found.by_ice]
    assert less == pytest.approx([12.0, 24.0], abs=1.0)
    said = f"120 g of ice taken; 250 g gives {found.by_ice[1].percent_of_mix:.0f} %: write yours, like"
    assert found.note.startswith(said)
    assert worked(chill={"ice temperature": "0 °C"}).dilution.by_ice == ()


def test_a_tin_full_of_ice_too_cold_to_tell_is_left_out() -> None:
    """60 ml of rum with 250 g at -30 °C end below -15 °C, where nothing is known."""
    found = worked("60 ml gold rum", chill={"ice temperature": "-30 °C"}).dilution

    assert [row.ice_g for row in found.by_ice] == [120.0]
    assert found.note == "120 g of ice taken: write yours, like chill: {ice: 180 g}"


def test_a_stirred_drink_needs_its_stop() -> None:
    assert worked(method="stirred", chill=FREEZER).dilution.basis == "stirred"

    found = worked(method="stirred", chill={"stop": "-2.5 °C"}).dilution

    assert (found.basis, found.plus_minus_percent, found.final_temperature_c) == ("energy", 7.0, -2.5)


def test_above_zero_only_where_something_was_weighed() -> None:
    """Nothing but the scale knows how long it was stirred: the drink's own weighing, or a vessel that came of one."""
    guessed = worked(method="stirred", chill={"stop": "2 °C"}).dilution
    weighed = worked(method="stirred", chill={"stop": "2 °C"}, weighed={"before": "105 g", "after": "130 g"}).dilution
    vessel = worked(method="stirred", chill={"stop": "2 °C", "vessel": "40 J/K"}).dilution

    assert guessed.basis == "stirred"
    assert guessed.note.startswith("no energy balance: above 0 °C only the scale tells")
    assert (weighed.basis, weighed.melt_water_g) == ("weighed", 25.0)
    assert (vessel.basis, vessel.final_temperature_c) == ("energy", 2.0)


def test_any_method_may_say_where_it_stops() -> None:
    assert worked(method="swizzled", chill={"stop": "-3 °C"}).dilution.basis == "energy"


@pytest.mark.parametrize(("key", "value"), [("dilution", "45 %"), ("weighed", {"before": "108 g", "after": "160 g"})])
def test_what_a_person_wrote_or_weighed_goes_before(key: str, value: Any) -> None:
    assert worked(chill=FREEZER, **{key: value}).dilution.basis in ("stated", "weighed")


def test_without_alcohol_it_is_less_sure() -> None:
    """No drink like that was measured: ±6 points."""
    found = worked("45 ml lime juice", "30 ml berry syrup", chill={}).dilution

    assert (found.basis, found.plus_minus_percent) == ("energy", 6.0)


def test_beyond_the_balance_the_relation_stands_and_says_why() -> None:
    spirit = ingredient("overproof", abv="57 %", sugar="0 g/l", allergens=[])
    strong = drink("Strong", "60 ml overproof", chill={})
    found = totals(bar(spirit, strong), strong).dilution

    assert found.basis == "unknown"
    assert found.note.startswith("no energy balance: ")


def test_the_relation_in_place_of_the_balance_says_that_it_is_for_wet_ice() -> None:
    """Pours from the freezer and ice at -30 °C get colder than anything is known of."""
    found = worked("60 ml gold rum", chill={"ice temperature": "-30 °C", "start": "-5 °C"}).dilution

    assert found.basis == "shaken"
    assert "the relation is for ice at 0 °C: colder ice melts less" in found.note


def test_ice_that_runs_out_is_told() -> None:
    assert worked(chill={"ice": "20 g"}).dilution.note == "all of the ice melts"


def test_ice_among_the_pours_all_melts() -> None:
    """150 g of ice on 105 ml: 150.3 ml of water at 20 °C."""
    found = worked(*POURS, "150 g ice", method="blended")

    assert found.dilution.melt_water_g == pytest.approx(150.0)
    assert found.dilution.percent_of_mix == pytest.approx(100.0 * 150.0 / 0.9982 / found.mix.volume_ml, abs=0.01)
    assert found.mix.volume_ml == pytest.approx(worked().mix.volume_ml)
    assert found.served is not None
    assert found.served.mass_g == pytest.approx(found.mix.mass_g + 150.0)


def test_ice_goes_in_by_weight() -> None:
    with pytest.raises(CannotError, match="by volume"):
        worked(*POURS, "150 ml ice", method="blended")


def test_the_house_speaks_for_shaken_drinks_only_and_a_drink_before_it() -> None:
    here = house(chill=FREEZER | {"start": "25 °C", "stop": "-1 °C"})
    shaken = made_in(drink("A", *POURS, chill={"start": "18 °C"}), here).chill
    bare = made_in(drink("B", *POURS), here).chill
    stirred = drink("C", *POURS, method="stirred")

    assert shaken == Chill.model_validate(FREEZER | {"start": "18 °C"})
    assert bare == Chill.model_validate(FREEZER | {"start": "25 °C"})
    assert made_in(stirred, here) is stirred


def test_what_is_not_said_is_usual() -> None:
    assert chilling_of(Chill()) == Chilling(120.0, 0.0, 22.0, 64.0, None)
    assert chilling_of(Chill.model_validate({"vessel": "80 J/K"})).vessel_j_per_k == 80.0


@pytest.mark.parametrize(
    "keys",
    [
        {"ice": "-5 g"},
        {"ice temperature": "3 °C"},
        {"start": "40 °C"},
        {"stop": "31 °C"},
        {"vessel": "64"},
        {"tin": "1 g"},
    ],
)
def test_what_cannot_be_is_refused(keys: dict[str, str]) -> None:
    with pytest.raises(ValueError, match="validation error"):
        Chill.model_validate(keys)


def test_a_weighed_drink_gives_the_house_its_vessel() -> None:
    """Weighed to what the balance says with 90 J/K, it gives 90 J/K."""
    mix = worked().mix.grams
    gained = melt(mix, Chilling(vessel_j_per_k=90.0)).water_g
    weighed = drink("Weighed", *POURS, weighed={"before": "100 g", "after": f"{100 + gained:.6f} g"})

    assert vessel_of(weighed, mix) == pytest.approx(90.0, abs=0.01)
    with pytest.raises(CannotError, match="not weighed"):
        vessel_of(SOUR, mix)


def test_a_new_pour_changes_the_melt_with_it() -> None:
    """22.5 → 20 ml: less to cool, so the glass loses more than the pour."""
    sour = drink("Sour", *POURS, chill=FREEZER)
    (row,) = rescale(bar(RUM, LIME, BERRY, sour), "berry-syrup", 54.0).rows

    assert row.served_change_ml is not None
    assert row.served_change_ml < row.mix_change_ml < 0.0
