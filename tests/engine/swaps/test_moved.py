"""What moved, worked by hand; the thresholds against the tables of facts."""

from __future__ import annotations

import re

import pytest

from balancer.components import composition
from balancer.engine.drink.totals import Glass, contribute
from balancer.engine.swaps.moved import (
    THRESHOLDS,
    Held,
    change,
    fill,
    glass_of,
    moved,
    noticed,
    sweetness_change,
    words_for,
)
from balancer.models.drink import Drink
from tests.engine.builders import BERRY, LIME, PLAIN, RUM, bar, drink, ingredient
from tests.reference.facts import facts

WATER = ingredient("water", sugar="0 g/l", allergens=[])


def glass(spec: Drink) -> Glass:
    house_bar = bar(RUM, LIME, PLAIN, BERRY, WATER)
    return glass_of(spec, contribute(house_bar, spec, {}, {}))


def sour(syrup_ml: float = 20.0, lime_ml: float = 20.0) -> Drink:
    pours = ["60 ml gold rum", f"{lime_ml} ml lime juice", f"{syrup_ml} ml plain syrup"]
    return drink("Sour", *pours, dilution="50 %", glass="coupe")


@pytest.mark.parametrize("quantity", list(THRESHOLDS))
def test_every_threshold_is_a_row_of_the_facts(quantity: Held) -> None:
    threshold = THRESHOLDS[quantity]
    (row,) = [row for row in facts("difference_thresholds") if row["row"] == threshold.row]

    assert row["source"].startswith(threshold.source)
    if threshold.unit == "%":
        assert (float(row["low_percent"]), float(row["high_percent"])) == (threshold.low, threshold.high)
    else:
        printed = re.search(r"([0-9.]+)-([0-9.]+) in mouth", row["absolute"])
        assert printed is not None
        assert (float(printed[1]), float(printed[2])) == (threshold.low, threshold.high)


@pytest.mark.parametrize(
    ("percent", "words"),
    [
        (0.0, "not expected"),
        (4.9, "not expected"),
        (-5.0, "side by side"),
        (9.9, "side by side"),
        (10.0, "trained taster"),
        (-20.0, "most guests"),
        (300.0, "most guests"),
    ],
)
def test_words_for_a_change_of_sugar_or_acid(percent: float, words: str) -> None:
    assert words in words_for(percent)


def test_sugar_acid_volume_and_abv_by_hand() -> None:
    """20 ml syrup of 0.6148 g/ml more: sugar doubles but for the lime's 0.35 g; acid and alcohol stay."""
    old, new = glass(sour(syrup_ml=20.0)), glass(sour(syrup_ml=40.0))
    found = moved(old, new)

    syrup_g, lime_g = 20.0 * 0.6148, 20.0 * 1.0234 * 0.0169
    assert found.sugar_percent == pytest.approx(100.0 * syrup_g / (syrup_g + lime_g), abs=0.02)
    assert found.acid_percent == pytest.approx(0.0, abs=1e-12)
    assert found.volume_percent == pytest.approx(20.0, abs=0.3)  # volumes nearly add: 100 to 120 ml
    assert found.mix_volume_percent == pytest.approx(20.0, abs=0.3)
    assert found.abv_points == pytest.approx(16.0 / 1.2 - 16.0, abs=0.05)  # 24 ml alcohol in 150 and in 180 ml
    assert found.sweetness is not None
    assert change("abv", old, new) == pytest.approx(100.0 * (1.0 / 1.2 - 1.0), abs=0.3)


def test_what_is_not_there_has_no_change() -> None:
    dry = glass(drink("Dry", "60 ml gold rum", "20 ml water", method="stirred"))
    found = moved(dry, dry)

    assert (found.sugar_percent, found.acid_percent, found.sweetness) == (None, None, None)
    assert change("sweetness", dry, dry) is None


def test_without_a_known_dilution_the_mix_still_moves() -> None:
    spec = drink("Odd", "60 ml gold rum", "20 ml plain syrup", method="thrown")
    more = drink("Odd", "60 ml gold rum", "30 ml plain syrup", method="thrown")
    found = moved(glass(spec), glass(more))

    assert (found.abv_points, found.volume_percent) == (None, None)
    assert found.mix_volume_percent == pytest.approx(12.5, abs=0.3)  # 80 to 90 ml
    assert noticed(glass(spec), glass(more)) == ()
    assert fill(bar(glasses={"coupe": "180 ml"}), spec, glass(spec), glass(more)) is None


def test_sweetness_of_fructose_for_sucrose_is_the_published_range() -> None:
    """10 g fructose for 10 g sucrose: 1.14 to 1.80 times as sweet."""
    found = sweetness_change(composition({"sucrose": 10.0}), composition({"fructose": 10.0}))

    assert found == pytest.approx((14.0, 80.0))


def test_one_sugar_is_equally_sweet_in_both_drinks() -> None:
    """More of the same fructose is exactly that much sweeter, whatever fructose is worth."""
    found = sweetness_change(composition({"fructose": 10.0}), composition({"fructose": 12.0}))

    assert found == pytest.approx((20.0, 20.0))


def test_what_is_tasted_is_the_change_per_100_ml() -> None:
    """20 ml water before ice at 50 % dilution: 150 to 180 ml in the glass, so all is a sixth weaker."""
    old = glass(sour())
    weak = drink("Sour", "60 ml gold rum", "20 ml lime juice", "20 ml plain syrup", "20 ml water", dilution="50 %")
    sugar, acid, abv = noticed(old, glass(weak))

    assert (sugar.quantity, acid.quantity, abv.quantity) == ("sugar", "acid", "abv")
    assert (sugar.change, acid.change) == pytest.approx((-16.7, -16.7), abs=0.3)
    assert sugar.words == acid.words == "likely noticed by a trained taster"
    assert abv.change == pytest.approx(16.0 / 1.2 - 16.0, abs=0.05)
    assert abv.words == "may be noticed side by side"


def test_the_glass_before_and_after() -> None:
    """100 ml and half of it water is 150 ml, 83 % of 180; 150 ml and half of it is more than it holds."""
    old, new = glass(sour()), glass(sour(syrup_ml=70.0))
    found = fill(bar(glasses={"coupe": "180 ml"}), sour(), old, new)

    assert found is not None
    assert found.before_ml == pytest.approx(150.0, rel=0.005)
    assert (found.glass_ml, found.overflows) == (180.0, True)
    same = fill(bar(glasses={"Coupe": "180 ml"}), sour(), old, old)
    assert same is not None
    assert not same.overflows
    assert same.after_percent == pytest.approx(83.0, abs=0.5)
    assert fill(bar(), sour(), old, new) is None
