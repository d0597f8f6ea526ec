"""One amount in ml or g, and what it is of a liquid."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount, amount_of, poured_in
from tests.engine.builders import PLAIN, RUM, bar, drink, ingredient

DRY = ingredient("white sugar", sugar="1000 g/kg", each={"cube": "4 g"})
ONE_GRAM_A_ML = ingredient("still water", sugar="0 g/l", density="1 g/ml")
HOUSE = bar(RUM, PLAIN, DRY, ONE_GRAM_A_ML)


def test_a_syrup_weighs_what_the_tables_say() -> None:
    """Standard sucrose tables: 50 °Bx is 1.2296 g/ml at 20 °C."""
    plain = HOUSE.liquid("plain-syrup")
    assert Amount(22.5).grams(plain) == pytest.approx(22.5 * 1.2296, rel=1e-4)
    assert Amount(27.666, "g").ml(plain) == pytest.approx(22.5, rel=1e-4)
    assert Amount(22.5).ml(plain) == 22.5
    assert Amount(27.7, "g").grams(plain) == 27.7


def test_what_can_only_be_weighed_has_no_volume() -> None:
    dry = HOUSE.liquid("white-sugar")
    assert Amount(4.0, "g").ml(dry) is None
    assert Amount(4.0).grams(dry) is None
    assert Amount(4.0, "g").grams(dry) == 4.0


@given(st.floats(0.1, 1000.0), st.sampled_from(["ml", "g"]))
def test_there_and_back(value: float, unit: Any) -> None:
    plain = HOUSE.liquid("plain-syrup")
    amount = Amount(value, unit)
    back = amount_of(amount.ml(plain), amount.grams(plain) or 0.0, unit)
    assert back.unit == unit
    assert back.value == pytest.approx(value, rel=1e-12)
    assert amount.weigh(plain.density or 0.0) == pytest.approx(amount.grams(plain))


def test_a_ml_is_no_gram_even_of_water() -> None:
    assert Amount(5.0).is_same(Amount(5.0 + 1e-7))
    assert not Amount(5.0).is_same(Amount(5.001))
    assert not Amount(5.0).is_same(Amount(5.0, "g"))
    assert Amount(5.0, "g").of(7.0) == Amount(7.0, "g")


@pytest.mark.parametrize(
    ("pour", "keys", "unit"),
    [
        ("22.5 ml plain-syrup", {}, "ml"),
        ("3/4 oz plain-syrup", {}, "ml"),
        ("28 g plain-syrup", {}, "g"),
        ("22.5 ml plain-syrup", {"pour_style": "scale"}, "g"),
        ("22.5 ml plain-syrup", {"pour_style": "free"}, "ml"),
        ("1 cube white-sugar", {}, "g"),
        ("4 g white-sugar", {}, "g"),
    ],
)
def test_what_a_bar_pours_in(pour: str, keys: dict[str, Any], unit: str) -> None:
    kept = bar(RUM, PLAIN, DRY, **keys)
    (written,) = drink("Slip", pour).pours
    assert poured_in(kept.specs.house, written, kept.liquid(written.of)) == unit


def test_where_no_volume_is_known_the_weight_is_the_amount() -> None:
    assert amount_of(None, 4.0, "ml") == Amount(4.0, "g")
    assert amount_of(20.0, 24.6, "ml") == Amount(20.0)
    assert amount_of(20.0, 24.6, "g") == Amount(24.6, "g")
