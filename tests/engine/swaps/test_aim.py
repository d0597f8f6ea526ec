"""What to make a syrup to, against printed densities and sums done by hand."""

from __future__ import annotations

import pytest

from balancer.engine.drink.amount import Amount
from balancer.engine.swaps.aim import aim
from balancer.engine.swaps.one_for_one import one_for_one
from balancer.errors import CannotError
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink, ingredient, syrup

# Standard sucrose tables, rounded: 50 °Bx 1.2296, 60 °Bx 1.2865 g/ml at 20 °C.
GUM = syrup("gum syrup", sugar_share="80 %", keeps="10 days", allergens=["tree nuts"])
RICH = syrup("rich syrup", standard="66.67 °Bx", allergens=[])
CANE = ingredient("cane liquid", sugar="617.5 g/l", allergens=[])
TART = ingredient("tart liquid", sugar="500 g/l", acid="20 g/l", allergens=[])
SOUR_SYRUP = syrup("sour syrup", acid="9 g/kg", allergens=[])
SUGAR = ingredient("white sugar", sugar="1000 g/kg")
OLD = drink("Old", "60 ml gold rum", "22.5 ml lime juice", "20 ml cane liquid")
TARTER = drink("Tarter", "60 ml gold rum", "22.5 ml lime juice", "20 ml tart liquid")


def test_a_syrup_of_which_four_fifths_are_sugar() -> None:
    """60 °Bx at 1.2865 g/ml, four fifths of it sugar: 0.6 x 0.8 x 1.2865 = 0.6175 g in a ml."""
    found = aim(bar(RUM, LIME, GUM, CANE, OLD), "gum-syrup", "cane-liquid")

    assert found.brix == pytest.approx(60.0, abs=0.01)
    assert found.sugar_g_per_kg == pytest.approx(480.0, abs=0.1)
    assert found.water_g_per_kg == pytest.approx(400.0, abs=0.1)
    assert found.made.sugar_g_per_ml == pytest.approx(0.6175, rel=1e-9)
    # From 50 to 60 °Bx with sugar: 1000 x 10 / 40.
    assert found.from_standard.add == "sugar"
    assert found.from_standard.g_per_kg == pytest.approx(250.0, abs=0.4)
    assert not found.keeps_less


def test_sugar_and_acid_of_the_drink_stay() -> None:
    """20 g/l of acid that the old one brings has to be in the new one too."""
    found = aim(bar(RUM, LIME, PLAIN, TART, TARTER), "plain-syrup", "tart-liquid")

    assert found.made.acid_g_per_ml == pytest.approx(0.020, rel=1e-9)
    assert found.made.sugar_g_per_ml == pytest.approx(0.500, rel=1e-9)
    assert found.acid_added_g_per_kg == pytest.approx(20.0 / (found.made.density or 0.0), rel=1e-9)
    (row,) = found.drinks
    assert (row.spec, row.poured) == (Amount(20.0), Amount(20.0))
    assert (row.moved.sugar_percent, row.moved.acid_percent) == pytest.approx((0.0, 0.0), abs=1e-6)


def test_acid_is_added_to_its_own_acids() -> None:
    """10 g/l of malic as it is and 10 of citric on top: half and half by titration."""
    apple = syrup("apple syrup", acid="10 g/l", acids={"malic": "100 %"}, allergens=[])
    found = aim(bar(RUM, LIME, apple, TART, TARTER), "apple-syrup", "tart-liquid")

    assert found.made.acid_g_per_ml == pytest.approx(0.020, rel=1e-9)
    assert found.acid_added_g_per_kg == pytest.approx(0.5 * found.acid_g_per_kg, rel=1e-9)


def test_acid_is_never_taken_out() -> None:
    """9 g/kg of its own and none wanted."""
    found = aim(bar(RUM, LIME, SOUR_SYRUP, CANE, OLD), "sour-syrup", "cane-liquid")

    assert found.acid_added_g_per_kg == 0.0
    assert found.acid_over_g_per_kg == pytest.approx(9.0, rel=1e-9)
    (row,) = found.drinks
    assert row.moved.sugar_percent == pytest.approx(0.0, abs=1e-6)
    # 20 ml of it at its density: 9 g in a kg.
    assert row.acid_g == pytest.approx(0.009 * 20.0 * (found.made.density or 0.0), rel=1e-9)


def test_a_sour_syrup_has_a_strength_too() -> None:
    """With acid no syrup reaches 85 °Bx; at 50 °Bx 1.2296 g/ml, and acid of 9 g/kg makes it a little denser."""
    brix = one_for_one(SOUR_SYRUP, bar(PLAIN).liquid("plain-syrup"))

    assert brix == pytest.approx(50.0, abs=0.3)
    assert brix is not None
    assert brix < 50.0


@pytest.mark.parametrize(("storage", "crystals"), [("4 °C", True), ("30 °C", False)])
def test_crystals_at_the_storage_temperature(storage: str, crystals: bool) -> None:
    """Sucrose saturates at 64.7 °Bx at 4 °C and 68.2 at 30 (Vavrinecz 1962): 66.67 crystallises in the fridge."""
    pair = drink("Pair", "60 ml gold rum", "20 ml rich syrup")
    found = aim(bar(RUM, PLAIN, RICH, pair, storage=storage), "plain-syrup", "rich-syrup")

    assert found.brix == pytest.approx(66.67, abs=1e-6)
    assert (found.saturated_brix is not None) is crystals
    if found.saturated_brix is not None:
        assert found.saturated_brix == pytest.approx(64.7, abs=0.15)


def test_weaker_than_its_standard_keeps_less_and_others_want_the_standard() -> None:
    pair = drink("Pair", "60 ml gold rum", "20 ml rich syrup")
    plain = drink("Plain", "60 ml gold rum", "20 ml plain syrup")
    found = aim(bar(RUM, PLAIN, RICH, pair, plain), "rich-syrup", "plain-syrup")

    assert found.brix == pytest.approx(50.0, abs=1e-6)
    assert found.keeps_less
    assert found.others == (("Pair", 66.67),)


def test_allergens_it_brings_are_told() -> None:
    (row,) = aim(bar(RUM, LIME, GUM, CANE, OLD), "gum-syrup", "cane-liquid").drinks

    assert row.gained == ("tree nuts",)


def test_only_the_drinks_named() -> None:
    other = drink("Other", "60 ml gold rum", "10 ml cane liquid")
    house = bar(RUM, LIME, GUM, CANE, OLD, other)

    assert [row.drink.name for row in aim(house, "gum-syrup", "cane-liquid").drinks] == ["Old", "Other"]
    assert [row.drink.name for row in aim(house, "gum-syrup", "cane-liquid", [other]).drinks] == ["Other"]
    with pytest.raises(CannotError, match="does not pour"):
        aim(house, "gum-syrup", "cane-liquid", [drink("Dry", "60 ml gold rum")])


@pytest.mark.parametrize(("old", "code"), [("white-sugar", "weighed"), ("gold-rum", "no-sugar")])
def test_what_nothing_can_stand_in_for(old: str, code: str) -> None:
    with pytest.raises(CannotError) as caught:
        aim(bar(RUM, PLAIN, SUGAR), "plain-syrup", old)

    assert caught.value.code == code


def test_no_strength_is_an_answer_with_a_remedy() -> None:
    """At 85 °Bx and about 1.45 g/ml a syrup of a tenth sugar holds 0.12 g in a ml, not 0.5."""
    thin = syrup("thin syrup", sugar_share="10 %")
    with pytest.raises(CannotError, match="no strength") as caught:
        aim(bar(RUM, thin, TART), "thin-syrup", "tart-liquid")

    assert "swap --all" in caught.value.remedy


@pytest.mark.parametrize("sugar", ["1000 g/l", "180 g/l"])
def test_no_bar_makes_a_syrup_below_20_or_above_70(sugar: str) -> None:
    """1000 g/l are 73 °Bx at 1.37 g/ml, and 180 g/l are 17 at 1.07."""
    strange = ingredient("strange liquid", sugar=sugar, allergens=[])
    spec = drink("Strange", "60 ml gold rum", "20 ml strange liquid")
    with pytest.raises(CannotError, match="no bar makes a syrup below 20 or above 70") as caught:
        aim(bar(RUM, PLAIN, strange, spec), "plain-syrup", "strange-liquid")

    assert caught.value.code == "no-strength"
    assert "swap --all" in caught.value.remedy
