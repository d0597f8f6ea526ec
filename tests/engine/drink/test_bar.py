"""Amounts as a bar writes them, in ml and in g."""

from __future__ import annotations

import pytest

from balancer.engine.drink.bar import Bar
from balancer.errors import CannotError
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient, syrup

SUGAR = ingredient("granulated sugar", sugar="998 g/kg", each={"cube": "4 g", "teaspoon": "4.2 g", "box": "1 kg"})
TEA = ingredient("tea", sugar="0 g/l", each={"cup": "6 oz"})


def poured(entry: Ingredient | Syrup, text: str, **house: str) -> tuple[float | None, float]:
    """ml and g of one pour."""
    spec = drink("any", text)
    house_bar = bar(entry, spec, **house)
    return house_bar.amount(spec.pours[0], house_bar.liquid(entry.id))


@pytest.mark.parametrize(
    ("text", "ml"),
    [
        ("22.5 ml tea", 22.5),
        ("2 cl tea", 20.0),
        ("0.1 l tea", 100.0),
        ("3/4 oz tea", 22.5),
        ("2 dashes tea", 1.8),
        ("1 barspoon tea", 4.0),
        ("1 tsp tea", 6.0),
        ("1 tbsp tea", 15.0),
        ("10 drops tea", 0.4),
        ("2 parts tea", 50.0),
        ("1 cup tea", 180.0),
    ],
)
def test_a_volume_is_what_the_house_means_by_it(text: str, ml: float) -> None:
    """Every house measure here differs from its default where it can; the ounce reaches into `each` too."""
    house = {
        "ounce": "30 ml",
        "dash": "0.9 ml",
        "barspoon": "4 ml",
        "teaspoon": "6 ml",
        "tablespoon": "15 ml",
        "drop": "0.04 ml",
        "part": "25 ml",
    }

    assert poured(TEA, text, **house)[0] == pytest.approx(ml, abs=1e-12)


def test_the_ounce_is_exact_when_the_house_says_nothing() -> None:
    """A US gallon is 231 cubic inches of 16.387064 ml, 128 fluid ounces."""
    assert poured(TEA, "1 oz tea")[0] == pytest.approx(231.0 * 16.387064 / 128.0, rel=1e-15)


def test_a_volume_weighs_by_its_density() -> None:
    """60 ml at 40 % vol: 948.05 kg/m3 in the alcoholometric table."""
    ml, grams = poured(RUM, "60 ml gold rum")

    assert ml == 60.0
    assert grams == pytest.approx(60.0 * 0.94805, abs=0.0005)


def test_a_weighed_pour_fills_by_its_density() -> None:
    """24.592 g of 50 °Bx, printed at 1.2296 g/ml, fill 20 ml."""
    ml, grams = poured(PLAIN, "24.592 g plain syrup")

    assert grams == 24.592
    assert ml == pytest.approx(20.0, abs=0.003)


@pytest.mark.parametrize(("text", "grams"), [("1 cube granulated sugar", 4), ("2 cubes granulated sugar", 8)])
def test_things_are_counted(text: str, grams: float) -> None:
    """Its own unit, singular or plural; crystals have no volume."""
    assert poured(SUGAR, text) == (None, grams)


def test_an_own_unit_wins_over_the_house() -> None:
    """A teaspoon of sugar is what the ingredient says, not 5 ml of it."""
    assert poured(SUGAR, "2 tsp granulated sugar") == (None, 8.4)


def test_a_rinse_leaves_nothing_known() -> None:
    """The glass is wetted and emptied."""
    assert poured(RUM, "rinse gold rum") == (0.0, 0.0)


def test_a_volume_of_what_is_only_weighed_is_refused() -> None:
    """No density is made up for crystals."""
    with pytest.raises(CannotError, match="nothing tells what a ml of it weighs") as caught:
        poured(SUGAR, "20 ml granulated sugar")

    assert caught.value.code == "density-missing"


@pytest.mark.parametrize("entry", [SUGAR, RUM], ids=lambda entry: entry.name)
def test_a_unit_that_nobody_knows_is_refused(entry: Ingredient) -> None:
    """A count of something the ingredient does not come in."""
    with pytest.raises(CannotError, match='unknown unit "slice"') as caught:
        poured(entry, f"1 slice {entry.name}")

    assert caught.value.code == "unit"


def test_liquids_are_made_once() -> None:
    """Every drink shares them; a strength of its own makes a liquid of its own."""
    house: Bar = bar(LIME, PLAIN)

    assert house.liquid("plain-syrup") is house.liquid("plain-syrup")
    assert house.liquid("plain-syrup", 54.0) is house.liquid("plain-syrup", 54.0)
    assert house.liquid("plain-syrup", 54.0) is not house.liquid("plain-syrup")


def test_standard_and_step_come_from_the_files() -> None:
    """A reading is turned into strength; an eighth of a 30 ml ounce is 3.75 ml."""
    house = bar(syrup("any", standard="66.7 °Bx"), ounce="30 ml", jigger_step="1/8 oz")

    assert house.standard("any") == 66.7
    assert house.step_ml == 3.75
