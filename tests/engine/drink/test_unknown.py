"""What the files leave out: sums run over the known part, are marked, and are never above the whole."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.totals import Totals, totals
from balancer.models.ingredient import Ingredient
from tests.engine.builders import BERRY, LIME, RUM, bar, drink, ingredient

STRONG = ingredient("stranger", kind="spirit", sugar="0 g/l")
SHARP = ingredient("stranger", kind="juice", sugar="20 g/kg")
SWEET = ingredient("stranger", kind="liqueur", abv="20 %")
NOTHING = ingredient("stranger", kind=None)


def made(thing: Ingredient, amount: str = "45 ml", **keys: Any) -> Totals:
    """A drink of rum, lime and berry syrup with something of which a file says little."""
    one = drink("One", "30 ml gold rum", f"{amount} stranger", "20 ml lime juice", "20 ml berry syrup", **keys)
    return totals(bar(RUM, LIME, BERRY, thing, one), one)


def unknown(result: Totals) -> set[tuple[str, bool]]:
    return {(item.what, item.small) for item in result.unknown if item.what != "allergens"}


@pytest.mark.parametrize(
    ("thing", "least"),
    [(STRONG, {"abv"}), (SHARP, {"acid"}), (SWEET, {"sugar"}), (NOTHING, {"abv", "acid", "sugar"})],
)
def test_what_is_left_out_makes_lower_bounds(thing: Ingredient, least: set[str]) -> None:
    result = made(thing, dilution="40 %")
    assert {what for what in ("abv", "acid", "sugar") if result.is_least(what)} == least
    assert unknown(result) == {(what, False) for what in least}
    assert result.energy_is_least


def test_the_known_part_is_what_is_known() -> None:
    """30 ml at 40 % hold 12 ml of ethanol, 0.78924 g each."""
    result = made(STRONG, dilution="40 %")
    assert result.ethanol_g == pytest.approx(12 * 0.78924, rel=1e-4)
    assert result.standard_drinks == pytest.approx(12 * 0.78924 / 14, rel=1e-4)


@pytest.mark.parametrize("method", ["shaken", "stirred"])
def test_how_much_melts_goes_by_the_alcohol(method: str) -> None:
    result = made(STRONG, method=method)
    assert (result.dilution.basis, result.served) == ("unknown", None)
    assert "stranger" in result.dilution.note


def test_a_balance_of_heat_needs_it_too() -> None:
    result = made(STRONG, chill={"ice": "120 g"})
    assert result.dilution.basis == "unknown"


@pytest.mark.parametrize(("keys", "basis"), [({"dilution": "40 %"}, "stated"), ({"weighed": (100, 150)}, "weighed")])
def test_what_a_person_found_out_stands(keys: dict[str, Any], basis: str) -> None:
    if "weighed" in keys:
        before, after = keys["weighed"]
        keys = {"weighed": {"before": f"{before} g", "after": f"{after} g"}}
    result = made(STRONG, **keys)
    assert result.dilution.basis == basis
    assert result.served is not None


def test_a_dash_does_not_change_the_ice_but_its_alcohol_is_not_known() -> None:
    result = made(STRONG, "2 dash")
    assert result.dilution.basis == "shaken"
    assert result.is_least("abv")


def test_a_top_does_not_meet_the_ice() -> None:
    assert made(STRONG.model_copy(update={"top": True})).dilution.basis == "shaken"


def test_a_rinse_moves_no_sum() -> None:
    one = drink("One", "30 ml gold rum", "rinse stranger", "20 ml berry syrup")
    result = totals(bar(RUM, BERRY, NOTHING, one), one)
    assert unknown(result) == {("abv", True), ("acid", True), ("sugar", True), ("amount", True)}
    assert not result.energy_is_least


def test_sugar_to_acid_is_no_bound_without_the_acid() -> None:
    """More acid would make it less: nothing can be said."""
    assert made(SHARP, dilution="40 %").sugar_to_acid is None
    assert made(SWEET, dilution="40 %").sugar_to_acid is not None


@pytest.mark.parametrize("abv", [0, 15, 26.5, 40])
@pytest.mark.parametrize("sugar", [50, 150, 383, 600])
def test_by_weight_and_without_its_alcohol_nobody_knows_what_a_ml_holds(abv: float, sugar: int) -> None:
    """What alcohol makes lighter holds less in a ml than the same without: the known part is the least of all."""
    known = ingredient("stranger", abv=f"{abv} %", sugar=f"{sugar} g/kg", acid="10 g/kg")
    less = ingredient("stranger", kind="liqueur", sugar=f"{sugar} g/kg", acid="10 g/kg")
    whole, part = made(known, dilution="40 %"), made(less, dilution="40 %")
    assert part.sugar_g <= whole.sugar_g
    assert part.acid_g <= whole.acid_g
    assert part.sugar_g > 0.75 * whole.sugar_g
    assert {what for what, _ in unknown(part)} == {"abv", "sugar", "acid"}


def test_weighed_it_is_not_more_either() -> None:
    known = ingredient("stranger", abv="26 %", sugar="383 g/kg")
    less = ingredient("stranger", kind="liqueur", sugar="383 g/kg")
    assert made(less, "40 g", dilution="40 %").sugar_g <= made(known, "40 g", dilution="40 %").sugar_g


def test_no_sugar_by_weight_is_none_by_volume() -> None:
    thing = ingredient("stranger", kind="spirit", sugar="0 g/kg")
    assert unknown(made(thing, dilution="40 %")) == {("abv", False)}
