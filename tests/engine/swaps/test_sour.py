"""One sour for another: acid is held, and the sum of it is done by hand. A syrup that nobody has made yet."""

from __future__ import annotations

import random

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.fits import fits
from balancer.engine.swaps.made_up import with_syrup
from balancer.engine.swaps.roles import is_sour, is_sweet, usually_held
from balancer.engine.swaps.swap import swap
from balancer.errors import CannotError
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, SOUR, bar, drink, ingredient, syrup

LEMON = ingredient("lemon juice", kind="juice", sugar="25.2 g/l", acid="57.5 g/l", allergens=[])
YUZU = ingredient("yuzu juice", kind="juice", sugar="20 g/l", allergens=[])
CITRIC = ingredient("citric acid", kind="seasoning", acid="1000 g/kg", acids={"citric": "100 %"}, sugar="0 g/kg")
ORANGE = ingredient("orange juice", kind="juice", sugar="84 g/kg", acid="12 g/kg", allergens=[])
WATER_OFF = ingredient("soda", sugar="0 g/l", allergens=[])


def exact(house: Bar, spec: Drink, *asked: object) -> dict[str, float]:
    return {pour.liquid.id: pour.exact.value for pour in swap(house, spec, *asked).pours}  # type: ignore[arg-type]


def test_lemon_for_lime_holds_the_acid() -> None:
    """46 g/l over 57.5 g/l are 0.8: 18 ml for 22.5, and the syrup stays."""
    house = bar(RUM, LIME, LEMON, BERRY, SOUR)
    found = swap(house, SOUR, "lime-juice", "lemon-juice")

    assert (found.held, found.is_of_a_sour) == (("acid",), True)
    assert found.new_pour.exact.value == pytest.approx(18.0, rel=1e-9)
    assert found.new_pour.poured.value == 17.5
    assert found.exact.acid_g == pytest.approx(found.old.acid_g, rel=1e-9)
    assert {pour.liquid.id for pour in found.free_pours} == {"lemon-juice"}
    assert found.verdict == "swap"


def test_with_sugar_the_main_syrup_is_free_too() -> None:
    """Acid: 22.5 × 46 ÷ 57.5 = 18 ml of lemon; what its sugar is more than the lime's comes off the syrup."""
    house = bar(RUM, LIME, LEMON, BERRY, SOUR)
    found = exact(house, SOUR, "lime-juice", "lemon-juice", ("sugar", "acid"))

    lime, berry = house.liquid("lime-juice"), house.liquid("berry-syrup")
    more = 18.0 * 0.0252 - 22.5 * lime.sugar_g_per_ml
    assert found["lemon-juice"] == pytest.approx(18.0, rel=1e-9)
    assert found["berry-syrup"] == pytest.approx(22.5 - more / berry.sugar_g_per_ml, rel=1e-9)
    assert found["gold-rum"] == 60.0


def test_there_and_back_for_random_sours() -> None:
    """Of 100 random pairs the way back is the written pour, and acid in is acid out."""
    chance = random.Random(8)  # noqa: S311 - cases to try, not secrets
    for _ in range(100):
        one, two = (
            ingredient(
                f"{name} juice",
                kind="juice",
                sugar=f"{chance.uniform(5, 60):.1f} g/l",
                acid=f"{chance.uniform(15, 80):.1f} g/l",
                allergens=[],
            )
            for name in ("one", "two")
        )
        ml = 2.5 * chance.randint(2, 16)
        spec = drink("Sour", "60 ml gold rum", f"{ml} ml one juice", "20 ml plain syrup")
        house = bar(RUM, one, two, PLAIN, spec)
        there = exact(house, spec, "one-juice", "two-juice", ("acid",))
        by_hand = ml * house.liquid("one-juice").acid_g_per_ml / house.liquid("two-juice").acid_g_per_ml
        assert there["two-juice"] == pytest.approx(by_hand, rel=1e-9)
        back = drink("Back", "60 ml gold rum", f"{there['two-juice']!r} ml two juice", "20 ml plain syrup")
        assert exact(house, back, "two-juice", "one-juice", ("acid",))["one-juice"] == pytest.approx(ml, rel=1e-9)


def test_an_acid_by_weight_stands_in_for_a_juice() -> None:
    """22.5 ml at 46 g/l are 1.035 g of citric acid; the scale divides grams."""
    found = swap(bar(RUM, LIME, CITRIC, BERRY, SOUR), SOUR, "lime-juice", "citric-acid")

    assert found.new_pour.exact.unit == "g"
    assert found.new_pour.exact.value == pytest.approx(1.035, rel=1e-6)


@pytest.mark.parametrize(("into", "code"), [("yuzu-juice", "acid-unknown"), ("plain-syrup", "no-acid")])
def test_what_cannot_stand_in_for_a_sour(into: str, code: str) -> None:
    with pytest.raises(CannotError) as caught:
        swap(bar(RUM, LIME, YUZU, PLAIN, BERRY, SOUR), SOUR, "lime-juice", into)
    assert caught.value.code == code
    assert "--hold sugar" in caught.value.remedy


def test_a_sour_of_unknown_acid_cannot_go_by_its_acid() -> None:
    spec = drink("Yuzu", "60 ml gold rum", "22.5 ml yuzu juice", "20 ml plain syrup")
    house = bar(RUM, LIME, YUZU, PLAIN, spec)
    with pytest.raises(CannotError, match="nobody knows the acid of yuzu juice"):
        swap(house, spec, "yuzu-juice", "lime-juice")
    assert swap(house, spec, "yuzu-juice", "lime-juice", ("sugar",)).held == ("sugar",)


def test_what_is_sour_and_what_is_sweet() -> None:
    house = bar(RUM, LIME, LEMON, YUZU, ORANGE, BERRY, WATER_OFF, CITRIC)
    assert [each for each in house.specs.ingredients if is_sour(house, each)] == [
        "lime-juice",
        "lemon-juice",
        "yuzu-juice",
        "citric-acid",
    ]
    assert (usually_held(house, "lime-juice"), usually_held(house, "orange-juice")) == (("acid",), ("sugar",))
    assert is_sweet(house, "berry-syrup")
    assert not is_sweet(house, "orange-juice")


def test_fits_goes_by_sugar_and_says_where_a_sour_is_swapped() -> None:
    with pytest.raises(CannotError) as caught:
        fits(bar(RUM, LIME, BERRY, PLAIN, SOUR), SOUR, "lime-juice", ["plain-syrup"])
    assert "balancer swap" in caught.value.remedy


def test_a_made_up_syrup_is_like_one_of_a_file() -> None:
    """60 °Bx at 1.2865 g/ml for 50 at 1.2296: 22.5 × 0.6148 ÷ 0.7719, and its allergens are not known."""
    invented = syrup("syrup of 60 °Bx", standard="60 °Bx")
    house = bar(RUM, LIME, PLAIN, drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup"))
    with_it = with_syrup(house, invented)
    found = swap(with_it, house.specs.drinks["sour"], "plain-syrup", invented.id)

    assert found.new_pour.exact.value == pytest.approx(22.5 * 0.6148 / (0.6 * 1.2865), rel=1e-4)
    assert found.unknown == (invented.id,)
    assert invented.id not in house.specs.syrups
