"""One way to print an amount, and a change of one."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.engine.drink.amount import Amount
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_of, change_text, changes_text
from balancer.units import parse_number
from tests.engine.builders import house

WHOLE_GRAMS = house(scale={"division": "1 g"})
TENTHS = house(scale={"division": "0.1 g"})
OUNCES = house(show="oz", ounce="30 ml")


@pytest.mark.parametrize(
    ("amount", "kept", "text"),
    [
        (Amount(22.5), WHOLE_GRAMS, "22.5 ml"),
        (Amount(20.0), WHOLE_GRAMS, "20 ml"),
        (Amount(1.25), WHOLE_GRAMS, "1.25 ml"),
        (Amount(20.46), WHOLE_GRAMS, "20.5 ml"),
        (Amount(22.5), OUNCES, "3/4 oz"),
        (Amount(45.0), OUNCES, "1 1/2 oz"),
        (Amount(12.3), OUNCES, "0.41 oz"),
        (Amount(27.66, "g"), WHOLE_GRAMS, "28 g"),
        (Amount(27.66, "g"), house(), "28 g"),
        (Amount(27.66, "g"), TENTHS, "27.7 g"),
        (Amount(27.66, "g"), house(scale={"division": "0.5 g"}), "27.7 g"),
        (Amount(27.666, "g"), house(scale={"division": "0.01 g"}), "27.67 g"),
        (Amount(27.66, "g"), house(scale={"division": "5 g"}), "28 g"),
        (Amount(7.5, "g"), WHOLE_GRAMS, "7.5 g"),  # as it was written
        (Amount(12.3, "g"), OUNCES, "12.3 g"),  # a weight is never shown in ounces
        (Amount(0.31415, "g"), WHOLE_GRAMS, "0.3 g"),  # nor as nothing
        (Amount(0.0), WHOLE_GRAMS, "0 ml"),
    ],
)
def test_an_amount_with_its_unit(amount: Amount, kept: House, text: str) -> None:
    assert amount_text(amount, kept) == text


@pytest.mark.parametrize(
    ("spec", "poured", "kept", "text"),
    [
        (Amount(22.5), Amount(20.0), TENTHS, "22.5 → 20 ml"),
        (Amount(22.5), Amount(15.0), OUNCES, "3/4 → 1/2 oz"),
        (Amount(28.2, "g"), Amount(27.7, "g"), TENTHS, "28.2 → 27.7 g"),
        (Amount(28.21, "g"), Amount(27.68, "g"), WHOLE_GRAMS, "28.2 → 27.7 g"),
        (Amount(22.5), Amount(22.54), TENTHS, "22.5 → 22.54 ml"),
        (Amount(22.5), Amount(22.41), OUNCES, "3/4 → 0.747 oz"),
        (Amount(15.0), Amount(15.0), TENTHS, "15 ml"),
        (Amount(15.0), Amount(15.0 + 1e-9), TENTHS, "15 ml"),
        (Amount(0.0), Amount(5.0), TENTHS, "0 → 5 ml"),
    ],
)
def test_a_change_has_its_unit_once_and_two_numbers_that_differ(
    spec: Amount, poured: Amount, kept: House, text: str
) -> None:
    assert change_text(spec, poured, kept) == text


def test_a_volume_and_a_weight_are_never_set_side_by_side() -> None:
    with pytest.raises(ValueError, match="not in one unit"):
        change_text(Amount(22.5), Amount(27.7, "g"), TENTHS)


def test_changes_in_a_row_name_a_unit_where_it_ends() -> None:
    pairs = [
        (Amount(22.5), Amount(20.0)),
        (Amount(30.0), Amount(27.5)),
        (Amount(28.2, "g"), Amount(27.7, "g")),
        (Amount(15.0), Amount(12.5)),
    ]
    assert (
        changes_text(change_of(*pair, TENTHS) for pair in pairs)
        == "22.5 → 20 · 30 → 27.5 ml · 28.2 → 27.7 g · 15 → 12.5 ml"
    )


HOUSES = st.builds(
    lambda show, ounce, division: house(show=show, ounce=f"{ounce} ml", scale={"division": f"{division} g"}),
    st.sampled_from(["ml", "oz"]),
    st.sampled_from(["30", "29.5735295625", "28.4130625"]),
    st.sampled_from(["0.01", "0.05", "0.1", "0.5", "1", "2", "5"]),
)
AMOUNTS = st.builds(Amount, st.floats(0.01, 500.0), st.sampled_from(["ml", "g"]))


@given(AMOUNTS, HOUSES)
def test_what_is_printed_is_the_amount_to_its_last_digit(amount: Amount, kept: House) -> None:
    number, unit = amount_text(amount, kept).rsplit(" ", 1)
    size = kept.ounce if unit == "oz" else 1.0
    assert unit == ("g" if amount.unit == "g" else kept.show)
    printed = _value(number)
    assert printed > 0.0
    assert abs(printed - amount.value / size) <= _half_digit(number)


@given(AMOUNTS, st.floats(0.01, 500.0), HOUSES)
def test_a_change_never_shows_two_numbers_that_are_one(spec: Amount, to: float, kept: House) -> None:
    """One is left out only where what is written reads as the new amount already, or beyond it.

    Written it is as on its card, which is never more than 2 % off; so beyond it means by no more than that.
    """
    number, unit = change_text(spec, spec.of(to), kept).rsplit(" ", 1)
    before, *after = number.split(" → ")
    if after:
        assert before.endswith((" ml", " oz")) or _value(before) != _value(after[0])
        return
    reads = _value(before) * (kept.ounce if unit == "oz" else 1.0)
    if spec.is_same(spec.of(to)):
        assert abs(reads - to) <= (0.02 * to if _is_kitchen(before, unit) else _finest(before, unit, kept))
    elif unit == "g":
        assert abs(reads - to) <= 1e-4
    else:
        rise = 1.0 if to > spec.value else -1.0
        assert (reads - to) * rise >= -1e-4
        assert abs(reads - spec.value) <= (
            0.02 * spec.value if _is_kitchen(before, unit) else _finest(before, unit, kept)
        )


def _is_kitchen(number: str, unit: str) -> bool:
    """Whether it may stand for a volume near it: a half, third, quarter or eighth of an ounce, or whole ones."""
    return unit == "oz" and ("/" in number or "." not in number)


def _finest(number: str, unit: str, kept: House) -> float:
    """Half of what figures are apart: tenths of a ml, hundredths of an ounce; weights are as on the scale."""
    if unit == "g":
        return _half_digit(number)
    return (0.005 * kept.ounce if unit == "oz" else 0.05) + 1e-9


def _value(text: str) -> float:
    return float(parse_number(text))


def _half_digit(text: str) -> float:
    """Half of the last digit that may be printed; a fraction is exact."""
    if "/" in text:
        return 1e-9
    digits = len(text.partition(".")[2])
    return 0.5 * 10.0**-digits + 1e-9 if digits else 0.5 + 1e-9


def test_a_kitchen_fraction_is_exact() -> None:
    assert Fraction(3, 4) == Fraction(amount_text(Amount(22.5), OUNCES).split()[0])
