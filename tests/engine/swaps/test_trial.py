"""A new spec beside the old one."""

from __future__ import annotations

import pytest

from balancer.engine.drink.totals import totals
from balancer.engine.swaps.adjust import adjust
from balancer.engine.swaps.adjust_goals import Asked, Wanted
from balancer.engine.swaps.kept import changes_of
from balancer.engine.swaps.swap import swap
from balancer.engine.swaps.trial import trial_of_changes
from balancer.models.changes import AlsoChanged, PourChange
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient, syrup

NUT = syrup("nut syrup", allergens=["tree nuts"], cautions=["keep its jigger apart"])
SPIRITED = syrup("spirited syrup", abv="10 %", allergens=[])
EGG = ingredient("egg white", kind="egg", sugar="7 g/kg", density="1.03 g/ml", allergens=["eggs"])
SOUR = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup", dilution="45 %", version="3")
DRY = drink("Dry", "30 ml lime juice", "22.5 ml berry syrup", dilution="45 %", zero_proof="true")
HOUSE = bar(RUM, LIME, BERRY, PLAIN, NUT, SPIRITED, EGG, SOUR, DRY)


def test_a_swap_is_tasted_as_it_would_be_written() -> None:
    """What moved is what the swap says moved; the version is the next one, the place in the file the same."""
    found = swap(HOUSE, SOUR, "berry-syrup", "nut-syrup")
    made = trial_of_changes(HOUSE, SOUR, changes_of(HOUSE, SOUR, found.pours, "berry-syrup"))
    moved = made.result.moved
    assert moved.sugar_percent == pytest.approx(found.moved.sugar_percent)
    assert moved.abv_points == pytest.approx(found.moved.abv_points)
    assert moved.volume_percent == pytest.approx(found.moved.volume_percent)
    assert made.result.gained == found.gained == ("tree nuts",)
    assert made.result.tasting == found.taste
    assert [pour.of for pour in made.new.drink.pours] == ["gold-rum", "lime-juice", "nut-syrup"]
    assert (made.old.drink.version, made.new.drink.version) == ("3", "4")
    assert [caution.text for caution in made.cautions_gained] == ["keep its jigger apart"]
    assert made.stands_in is not None
    assert (made.stands_in[0], made.stands_in[1].liquid.id) == ("nut-syrup", "berry-syrup")


def test_an_adjusted_drink_is_tasted_as_it_would_be_written() -> None:
    found = adjust(HOUSE, SOUR, Asked(Wanted(percent=-15.0), None, None, None, None))
    made = trial_of_changes(HOUSE, SOUR, changes_of(HOUSE, SOUR, found.pours))
    assert made.result.moved.sugar_percent == pytest.approx(found.moved.sugar_percent)
    assert made.result.moved.abv_points == pytest.approx(found.moved.abv_points)
    assert made.result.is_same_drink
    assert made.result.gained == ()
    assert made.stands_in is None


def test_alcohol_is_counted_where_there_is_more_of_it() -> None:
    """10 ml more rum of 40 % vol: 10 × 0.4 × 0.7893 = 3.16 g (ethanol 0.7893 g/ml, [OIML R 22])."""
    more = trial_of_changes(HOUSE, SOUR, [PourChange(SOUR.pours[0], "gold-rum", Quantity(70.0, "ml"))])
    assert more.alcohol_added_g == pytest.approx(3.157, abs=0.01)
    assert not more.had_no_alcohol
    less = trial_of_changes(HOUSE, SOUR, [PourChange(SOUR.pours[0], "gold-rum", Quantity(50.0, "ml"))])
    assert less.alcohol_added_g == 0.0


def test_alcohol_in_a_drink_that_had_none_is_told() -> None:
    made = trial_of_changes(HOUSE, DRY, [PourChange(DRY.pours[1], "spirited-syrup", Quantity(22.5, "ml"))])
    assert made.had_no_alcohol
    assert made.alcohol_added_g == pytest.approx(totals(HOUSE, made.new.drink).ethanol_g)
    same = trial_of_changes(HOUSE, DRY, [PourChange(DRY.pours[1], "berry-syrup", Quantity(20.0, "ml"))])
    assert not same.had_no_alcohol


def test_alcohol_nobody_knows_is_not_none() -> None:
    odd = ingredient("odd spirit", kind="spirit", density="0.95 g/ml", sugar="0 g/l")
    house = bar(RUM, LIME, BERRY, odd, SOUR)
    made = trial_of_changes(house, SOUR, [PourChange(None, "odd-spirit", Quantity(10.0, "ml"))])
    assert made.alcohol_added_g is None
    assert made.result.unknown == ("odd spirit",)


def test_raw_egg_that_comes_is_a_caution() -> None:
    made = trial_of_changes(HOUSE, SOUR, [PourChange(None, "egg-white", Quantity(20.0, "ml"))])
    assert [(caution.name, caution.text) for caution in made.cautions_gained] == [("egg white", "raw egg")]
    assert made.result.gained == ("eggs",)


def test_another_glass_and_a_stated_dilution_go_along() -> None:
    made = trial_of_changes(HOUSE, SOUR, [], AlsoChanged("coupe", 50.0))
    assert (made.new.drink.glass, made.new.drink.dilution, made.new.drink.weighed) == ("coupe", 50.0, None)


def test_water_that_no_file_names_may_be_added() -> None:
    """10 ml more before ice, and no sugar; the house has none called water."""
    made = trial_of_changes(HOUSE, SOUR, [PourChange(None, "water", Quantity(10.0, "ml"))])
    assert HOUSE.specs.find_liquid("water") is None
    assert made.result.mix_volume_ml == pytest.approx(10.0, abs=0.3)  # mixing contracts
    assert made.result.moved.sugar_percent == pytest.approx(0.0)
    assert made.result.unknown == ()
