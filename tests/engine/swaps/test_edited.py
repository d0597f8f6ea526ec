"""What a changed spec means. Expected values are ratios of what is poured, worked out by hand."""

from __future__ import annotations

from typing import Any

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.edited import DrinkEdited, drink_edited, standard_edited
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, RUM, bar, drink, ingredient, syrup

AMARO = ingredient("amaro", abv="28 %")


def edited(old: Drink, new: Drink, of: str) -> DrinkEdited:
    before, after = (bar(RUM, LIME, BERRY, AMARO, each) for each in (old, new))
    was, now = (next(pour for pour in each.pours if pour.of == of) for each in (old, new))
    return drink_edited(before, after, old, new, [PourChange(was, of, now.amount)])


def slip(*pours: str) -> Drink:
    return drink("Slip", *pours, dilution="20 %")


def test_the_only_sugar_goes_with_its_pour() -> None:
    result = edited(
        slip("60 ml gold rum", "22.5 ml berry syrup"), slip("60 ml gold rum", "20 ml berry syrup"), "berry-syrup"
    )
    assert result.moved is not None
    assert result.moved.sugar_percent == pytest.approx(100 * (20 / 22.5 - 1))
    assert result.moved.acid_percent is None
    assert (result.pours[0].name, result.sugar_known, result.moves, result.is_new) == ("berry syrup", True, True, False)


def test_the_only_acid_goes_with_its_pour() -> None:
    result = edited(
        slip("60 ml gold rum", "20 ml lime juice"), slip("60 ml gold rum", "25 ml lime juice"), "lime-juice"
    )
    assert result.moved is not None
    assert result.moved.acid_percent == pytest.approx(25)


def test_the_same_in_another_unit_moves_nothing() -> None:
    """An ounce is exactly 29.5735295625 ml where the house does not say."""
    old, new = slip("29.5735295625 ml gold rum", "10 ml berry syrup"), slip("1 oz gold rum", "10 ml berry syrup")
    assert not edited(old, new, "gold-rum").moves


@pytest.mark.parametrize(
    ("pour", "keys", "nearest"),
    [
        ("20 ml gold rum", {}, ()),
        ("21 ml gold rum", {}, (20.0, 22.5)),
        ("2 cl gold rum", {}, ()),
        ("1 barspoon gold rum", {"barspoon": "3 ml"}, ()),  # not measured by jigger
        ("21 g gold rum", {}, ()),
        ("21 ml gold rum", {"pour_style": "free"}, ()),
        ("20 ml gold rum", {"jigger_lines": ["15 ml", "25 ml"]}, (15.0, 25.0)),
    ],
)
def test_what_the_jigger_cannot_pour(pour: str, keys: dict[str, Any], nearest: tuple[float, ...]) -> None:
    old, new = slip("60 ml gold rum"), slip(pour)
    before, after = (bar(RUM, each, jigger_step="2.5 ml", **keys) for each in (old, new))
    change = PourChange(old.pours[0], "gold-rum", new.pours[0].amount)
    (row,) = drink_edited(before, after, old, new, [change]).pours
    assert row.nearest == tuple(Amount(ml) for ml in nearest)


def test_unknown_sugar_is_said() -> None:
    result = edited(slip("20 ml amaro", "20 ml berry syrup"), slip("20 ml amaro", "10 ml berry syrup"), "berry-syrup")
    assert not result.sugar_known
    assert result.moved is not None
    assert result.moved.sugar_percent == pytest.approx(-50)


def test_drinks_of_a_standard() -> None:
    """Poured by weight, the sugar goes with the strength: 52 to 50."""
    only, none = slip("60 ml gold rum", "20 g berry syrup"), drink("Dry", "60 ml gold rum", dilution="20 %")
    before = bar(RUM, LIME, BERRY, only, none)
    after = Bar(bar(RUM, LIME, syrup("berry syrup", standard="52 °Bx"), only, none).specs)
    result = standard_edited(before, after, BERRY)
    assert (result.old_brix, result.new_brix) == (50.0, 52.0)
    ((poured, moved),) = result.drinks
    assert poured.id == "slip"
    assert moved == pytest.approx(4.0)
