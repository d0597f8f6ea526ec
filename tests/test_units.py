"""Amounts as people write them: what is read, what is refused, and that what is written is read back."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from typing import TYPE_CHECKING, get_args

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from balancer.errors import QuantityError
from balancer.units import (
    UNITS,
    US_FLUID_OUNCE_ML,
    Kind,
    Measures,
    Quantity,
    find_unit,
    format_fraction,
    format_number,
    format_quantity,
    known_units,
    parse_number,
    parse_pour,
    parse_quantity,
    split_pour,
    tidy_amount,
)
from tests.examples import examples
from tests.reference.facts import facts, half_digit

if TYPE_CHECKING:
    from collections.abc import Callable

NAMES = [unit.name for unit in UNITS]
SPELLINGS = [(spelling, unit.name) for unit in UNITS for spelling in (unit.name, *unit.spellings)]
PARSERS: list[Callable[[str], object]] = [parse_number, parse_quantity, parse_pour]

FUZZ = settings(deadline=None, max_examples=examples(400))
ANY_TEXT = st.text(st.characters())  # lone surrogates too
NEARLY = st.text(st.sampled_from("0123456789.,/½⅓²٣⅟ -+eEº˚°%xmloz\u00a0\u2044\u2212–'’_\n"), max_size=14)
ORDINARY = st.floats(1e-9, 1e12) | st.floats(-1e12, -1e-9) | st.just(0.0)
# On a kitchen fraction, or off it by less than a person would see.
FRACTION_OR_NEAR = st.builds(
    lambda top, bottom, off: top / bottom * (1.0 + off),
    st.integers(1, 5000),
    st.sampled_from((1, 2, 3, 4, 5, 6, 8, 16, 32)),
    st.just(0.0) | st.floats(-1e-7, 1e-7),
)


def refusal(parse: Callable[[str], object], text: str) -> QuantityError:
    with pytest.raises(QuantityError) as caught:
        parse(text)
    return caught.value


# What is read


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", 0.0), ("60", 60.0), ("22.5", 22.5), ("22,5", 22.5), (".75", 0.75), (",75", 0.75),
        ("3/4", 0.75), ("3 / 4", 0.75), ("3\u20444", 0.75), ("3\u22154", 0.75), ("3/2", 1.5),
        ("1 1/2", 1.5), ("1\u00a01/2", 1.5), ("1 1\u20442", 1.5), ("1  1/2", 1.5),
        ("½", 0.5), ("1½", 1.5), ("1 ½", 1.5), ("1\u202f½", 1.5), ("1  ½", 1.5), ("10½", 10.5),
        ("1/3", 1 / 3), ("1⅓", 4 / 3), ("2 2/3", 8 / 3),
        ("-5", -5.0), ("\u22125", -5.0), ("+5", 5.0), ("- 5", -5.0), ("-1½", -1.5), ("-1 1/2", -1.5),
        (" 22,5\t", 22.5), ("007", 7.0), ("1,0000", 1.0), ("0,125", 0.125), ("0,000", 0.0), ("1.000", 1.0),
        ("1.125", 1.125), ("999999999999999", 999999999999999.0),
    ],
)  # fmt: skip
def test_numbers_as_people_write_them(text: str, value: float) -> None:
    assert parse_number(text) == value


@pytest.mark.parametrize(
    ("glyph", "value"),
    [
        # The Unicode names: VULGAR FRACTION ONE QUARTER, ONE HALF, ...
        ("¼", 1 / 4), ("½", 1 / 2), ("¾", 3 / 4), ("⅓", 1 / 3), ("⅔", 2 / 3), ("⅕", 1 / 5), ("⅖", 2 / 5), ("⅗", 3 / 5),
        ("⅘", 4 / 5), ("⅙", 1 / 6), ("⅚", 5 / 6), ("⅛", 1 / 8), ("⅜", 3 / 8), ("⅝", 5 / 8), ("⅞", 7 / 8),
    ],
)  # fmt: skip
def test_a_fraction_sign_adds_to_the_whole_before_it(glyph: str, value: float) -> None:
    """NFKC would make 1½ into 11/2, which is 5.5."""
    assert parse_number(glyph) == value
    assert parse_number(f"1{glyph}") == 1 + value


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("22,5 ml", Quantity(22.5, "ml")),
        ("22.5\u00a0ml", Quantity(22.5, "ml")),
        ("22.5\u202fml", Quantity(22.5, "ml")),
        ("22.5ml", Quantity(22.5, "ml")),
        ("1½ oz", Quantity(1.5, "oz")),
        ("1½oz", Quantity(1.5, "oz")),
        ("1 1/2 oz", Quantity(1.5, "oz")),
        (".75 oz", Quantity(0.75, "oz")),
        ("3/4 fl. oz.", Quantity(0.75, "oz")),
        ("2 FL OZ", Quantity(2.0, "oz")),
        ("2  fl  oz", Quantity(2.0, "oz")),
        ("2 fl.oz", Quantity(2.0, "oz")),
        ("2 Dashes", Quantity(2.0, "dash")),
        ("1 tbsp.", Quantity(1.0, "tablespoon")),
        ("50 °Bx", Quantity(50.0, "°Bx")),
        ("50ºBx", Quantity(50.0, "°Bx")),
        ("50 ˚Bx", Quantity(50.0, "°Bx")),
        ("50° Bx", Quantity(50.0, "°Bx")),
        ("50 º brix", Quantity(50.0, "°Bx")),
        ("40%", Quantity(40.0, "%")),
        ("40 % vol", Quantity(40.0, "%")),
        ("40 ％", Quantity(40.0, "%")),
        ("46 g/l", Quantity(46.0, "g/l")),
        ("46 g/L", Quantity(46.0, "g/l")),
        ("46 g\u2044kg", Quantity(46.0, "g/kg")),
        ("1,03 kg/l", Quantity(1.03, "g/ml")),
        ("28C", Quantity(28.0, "°C")),
        ("\u22125 ºC", Quantity(-5.0, "°C")),
        ("1 day", Quantity(1.0, "days")),
        ("0 ml", Quantity(0.0, "ml")),
    ],
)
def test_quantities_as_people_write_them(text: str, expected: Quantity) -> None:
    assert parse_quantity(text) == expected


@pytest.mark.parametrize(("spelling", "name"), SPELLINGS)
def test_every_spelling_of_the_table_is_read_in_any_case(spelling: str, name: str) -> None:
    for text in (f"2 {spelling}", f"2{spelling.upper()}", f"2 {spelling}."):
        assert parse_quantity(text) == Quantity(2.0, name)


def test_no_spelling_means_two_units() -> None:
    spellings = [spelling.casefold() for spelling, _ in SPELLINGS]
    assert len(spellings) == len(set(spellings))
    assert all(spelling == spelling.casefold() for unit in UNITS for spelling in unit.spellings)


@pytest.mark.parametrize("word", ["", " ", ".", "cube", "ml lime", "mll", "oz/ml", "µl", "K"])
def test_an_unknown_unit_is_none(word: str) -> None:
    assert find_unit(word) is None


# What is refused


@pytest.mark.parametrize(
    ("text", "one", "other"),
    [
        ("1,000 ml", "1000", "1.0"),
        ("1,500 ml", "1500", "1.5"),
        ("12,125 g", "12125", "12.125"),
        ("-1,000", "1000", "1.0"),
    ],
)
@pytest.mark.parametrize("parse", PARSERS)
def test_a_comma_before_three_digits_is_ambiguous(
    parse: Callable[[str], object], text: str, one: str, other: str
) -> None:
    error = refusal(parse, text)
    assert error.code == "number-ambiguous"
    assert error.remedy == f"write {one} or {other}"


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "ml", "of", "x5 ml", "nan ml", "NaN", "inf", "-inf ml", "infinity oz", "1e3 ml", "1E3",
        "1e-3 g", "1e+3 g", "1.5e3 ml", "1/0 oz", "0/0", "1 1/0 oz", "1/00 oz", "1_000 ml", "1 000 ml",
        "1\u00a0000 ml", "1\u202f000 ml", "1'000 ml", "1’000 ml", "1,000,000 ml", "1.000,5 ml", "1,000.5 ml",
        "1,5,5 ml", "1.5.5 ml", "1..5 ml", "1/2/3 oz", "1 1/2/3 oz", "1.5/2 oz", "1/2.5 oz", "½/2 oz", "1½/2 oz",
        "½ / 2 oz", "½½ oz", "1½½ oz", "½1 oz", "1/2½ oz", "0.5½ oz", "1-2 dashes", "1 - 2 dashes", "1–2 dashes",
        "½–¾ oz", "1-1/2 oz", "--5 ml", "+-5 ml", "5. ml", "/5 ml", "1/12345 oz", "12345/2 oz", "1 12345/2 oz",
    ],
)  # fmt: skip
@pytest.mark.parametrize("parse", PARSERS)
def test_what_is_not_one_plain_number_is_refused(parse: Callable[[str], object], text: str) -> None:
    error = refusal(parse, text)
    assert error.code == "number"
    assert error.text == text
    assert error.remedy


@pytest.mark.parametrize(
    "text",
    [
        "٣ ml",
        "１ ml",
        "१ ml",
        "² ml",
        "① ml",
        "Ⅷ ml",
        "一 ml",
        "2² ml",
        "2٣ ml",
        "1１ ml",
        "2① ml",
        "⅟3 oz",
        "2⅟3 oz",
        "↉ oz",
    ],
)
@pytest.mark.parametrize("parse", PARSERS)
def test_only_plain_digits_are_digits(parse: Callable[[str], object], text: str) -> None:
    """int() and float() would read several of these; str.isdigit() more."""
    assert refusal(parse, text).code == "number"


@pytest.mark.parametrize(
    "text",
    ["9" * 16, "9" * 5000, "0." + "1" * 31, "1/" + "3" * 5000, "9" * 5000 + "/2", "5" * 5000 + "½"],
    ids=["16 digits", "5000 digits", "31 decimals", "below", "above", "whole"],
)
@pytest.mark.parametrize("parse", PARSERS)
def test_endless_digits_are_refused(parse: Callable[[str], object], text: str) -> None:
    """5000 digits are beyond what int() takes (4300); they must not end in its ValueError."""
    assert refusal(parse, f"{text} ml").code == "number"


@pytest.mark.parametrize("text", ["0", "22.5", "1½", " 3/4 "])
def test_every_number_carries_its_unit_zero_too(text: str) -> None:
    error = refusal(parse_quantity, text)
    assert error.code == "unit-missing"
    assert f"{text.strip()} ml" in error.remedy


def test_an_unknown_unit_is_refused_with_the_known_ones() -> None:
    error = refusal(parse_quantity, "2 cubes")
    assert error.code == "unit"
    assert '"cubes"' in error.reason
    assert known_units() in error.remedy


@pytest.mark.parametrize("text", ["22.5 ml", "5 %", "3 x"])
def test_a_bare_number_takes_no_unit(text: str) -> None:
    assert refusal(parse_number, text).code == "number"


@FUZZ
@given(ANY_TEXT | NEARLY)
@example("1/0")
@example("\ud800")
@example("1\ud800")
@example("0" * 5000)
def test_any_text_gives_a_quantity_or_a_quantity_error(text: str) -> None:
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        assert error.code in {"number", "number-ambiguous", "unit", "unit-missing"}  # noqa: PT017
        assert error.reason and error.remedy  # noqa: PT017, PT018
    else:
        assert math.isfinite(found.value)
        assert found.unit in NAMES


@FUZZ
@given(ANY_TEXT | NEARLY)
def test_any_text_gives_a_number_or_a_quantity_error(text: str) -> None:
    try:
        value = parse_number(text)
    except QuantityError as error:
        assert error.code in {"number", "number-ambiguous"}  # noqa: PT017
    else:
        assert math.isfinite(value)
        assert not set(text) & set("eE²٣⅟_'’")


@FUZZ
@given(ANY_TEXT | NEARLY | st.builds("{} {}".format, NEARLY, ANY_TEXT))
def test_any_text_gives_a_pour_or_a_quantity_error(text: str) -> None:
    try:
        found, name = parse_pour(text)
    except QuantityError as error:
        assert error.code in {"number", "number-ambiguous"}  # noqa: PT017
    else:
        assert math.isfinite(found.value)
        assert name == " ".join(name.split())
        assert found.unit or not name


@pytest.mark.parametrize(
    "text",
    [" " * 200_000, "1" + " " * 200_000 + "/", "-" + " " * 200_000 + "x", "1 " * 100_000],
    ids=["blanks", "digit, blanks", "sign, blanks", "digits and blanks"],
)
def test_long_blanks_are_refused(text: str) -> None:
    """Every stretch of blanks is looked at once; for every way to share it out would take minutes."""
    refusal(parse_number, text)


# There and back


@FUZZ
@given(ORDINARY | FRACTION_OR_NEAR, st.sampled_from(NAMES), st.booleans())
@example(1 / 3, "oz", False)
@example(0.5 + 1e-10, "oz", True)
@example(1e12 - 0.25, "part", True)
@example(1 / 480, "oz", True)
@example(1.0, "days", True)
def test_what_is_written_is_read_back(value: float, unit: str, glyphs: bool) -> None:
    back = parse_quantity(format_quantity(Quantity(value, unit), glyphs=glyphs))
    assert back.unit == unit
    assert back.value == pytest.approx(value, rel=1e-12, abs=0.0)


@FUZZ
@given(ORDINARY)
@example(1e-9)
@example(1.2345678901234567e-9)
@example(1e12)
@example(0.1 + 0.2)
def test_a_written_number_is_read_back_exactly(value: float) -> None:
    assert parse_number(format_number(value)) == value


@FUZZ
@given(st.floats(allow_nan=False, allow_infinity=False))
@example(5e-324)
@example(1.7976931348623157e308)
@example(-0.0)
def test_a_number_never_has_an_exponent(value: float) -> None:
    text = format_number(value)
    assert re.fullmatch(r"-?[0-9]+(\.[0-9]*[1-9])?", text)
    assert float(text) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"), (-0.0, "0"), (60.0, "60"), (22.5, "22.5"), (-0.5, "-0.5"), (1e-9, "0.000000001"),
        (1e12, "1000000000000"), (1e16, "10000000000000000"), (100.0, "100"), (0.1, "0.1"), (7, "7"),
    ],
)  # fmt: skip
def test_a_number_is_written_short(value: float, text: str) -> None:
    assert format_number(value) == text


@pytest.mark.parametrize(
    ("value", "glyph", "plain"),
    [
        (1.0, "1", "1"), (0.5, "½", "1/2"), (1.5, "1½", "1 1/2"), (1 / 3, "⅓", "1/3"), (5 / 3, "1⅔", "1 2/3"),
        (0.375, "⅜", "3/8"), (0.2, "⅕", "1/5"), (2.0625, "2 1/16", "2 1/16"), (1 / 32, "1/32", "1/32"),
    ],
)  # fmt: skip
def test_kitchen_fractions(value: float, glyph: str, plain: str) -> None:
    assert format_fraction(value) == glyph
    assert format_fraction(value, glyphs=False) == plain


@pytest.mark.parametrize("value", [0.0, -0.5, 0.7, 0.333, 0.5 + 1e-10, 1 / 64, 1e-12, math.nan, math.inf, -math.inf])
def test_what_is_no_kitchen_fraction(value: float) -> None:
    assert format_fraction(value) is None


def test_a_jigger_mark_in_a_house_ounce_is_still_a_fraction() -> None:
    """Steps are multiplied and divided by the ounce; the rounding of that must not hide the fraction."""
    for ounce in (30.0, US_FLUID_OUNCE_ML, 28.4130625):
        for eighths in range(1, 200):
            text = format_fraction((0.125 * ounce) * eighths / ounce, glyphs=False)
            assert text is not None
            assert sum(Fraction(part) for part in text.split()) == Fraction(eighths, 8)


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Quantity(0.75, "oz"), "¾ oz"),
        (Quantity(1.5, "part"), "1½ parts"),
        (Quantity(2.0, "dash"), "2 dashes"),
        (Quantity(1.0, "dash"), "1 dash"),
        (Quantity(0.5, "barspoon"), "½ barspoon"),
        (Quantity(22.5, "ml"), "22.5 ml"),
        (Quantity(50.0, "°Bx"), "50 °Bx"),
        (Quantity(1.0, "days"), "1 day"),
        (Quantity(7.0, "days"), "7 days"),
        (Quantity(1.0, "weeks"), "1 week"),
        (Quantity(2.0, "cube"), "2 cube"),
    ],
)
def test_a_quantity_is_written_as_a_person_writes_it(quantity: Quantity, text: str) -> None:
    assert str(quantity) == text


# Units and measures


MEASURES = facts("measures")


@pytest.mark.parametrize("row", [row for row in MEASURES if row["volume_ml"]], ids=lambda row: row["row"])
def test_units_have_their_published_size(row: dict[str, str]) -> None:
    house = Measures(ounce=float(row["ounce_ml"])) if row["ounce_ml"] else Measures()
    exact = row["kind"] == "exact unit"
    tolerance = 1e-15 * float(row["volume_ml"]) if exact else half_digit(row["volume_ml"])
    assert house.ml(parse_quantity(row["written"])) == pytest.approx(float(row["volume_ml"]), rel=0.0, abs=tolerance)


@pytest.mark.parametrize("row", [row for row in MEASURES if row["low_ml"]], ids=lambda row: row["row"])
def test_bar_measures_are_within_what_is_in_print(row: dict[str, str]) -> None:
    assert float(row["low_ml"]) <= Measures().ml(parse_quantity(row["written"])) <= float(row["high_ml"])


def test_the_fluid_ounce_follows_from_its_definition() -> None:
    """231 cubic inches of 2.54 cm make a gallon, 128 fluid ounces: International Yard and Pound Agreement (1959)."""
    gallon_ml = 231 * Fraction(254, 100) ** 3
    assert float(gallon_ml / 128) == US_FLUID_OUNCE_ML


@pytest.mark.parametrize(
    ("text", "ml"),
    [("1 ml", 1.0), ("7.5 cl", 75.0), ("0,7 l", 700.0), ("3/4 oz", 22.5), ("2 dashes", 2.0), ("1 barspoon", 4.0),
     ("2 tsp", 9.0), ("1 tbsp", 14.0), ("20 drops", 0.8), ("1 part", 25.0)],
)  # fmt: skip
def test_a_house_decides_its_measures(text: str, ml: float) -> None:
    house = Measures(ounce=30.0, dash=1.0, barspoon=4.0, teaspoon=4.5, tablespoon=14.0, drop=0.04, part=25.0)
    assert house.ml(parse_quantity(text)) == pytest.approx(ml, rel=1e-15)


def test_every_unit_of_volume_has_a_size() -> None:
    assert all(Measures().ml(Quantity(2.0, unit.name)) > 0.0 for unit in UNITS if unit.kind == "volume")


@pytest.mark.parametrize("quantity", [Quantity(100.0, "g"), Quantity(1.0, "cube"), Quantity(5.0, "%")])
def test_what_is_not_a_volume_has_no_millilitres(quantity: Quantity) -> None:
    with pytest.raises(QuantityError, match="is not a volume"):
        Measures().ml(quantity)


@pytest.mark.parametrize(
    ("text", "base"),
    [
        ("2 cl", 20.0), ("1,5 l", 1500.0), ("2 kg", 2000.0), ("50 °Bx", 50.0), ("5 %", 5.0), ("46 g/l", 46.0),
        ("1.03 g/cm3", 1.03), ("4 °C", 4.0), ("2 weeks", 14.0),
        # Fixed points of the two scales: ice, boiling water, and where they meet.
        ("32 °F", 0.0), ("212 °F", 100.0), ("-40 °F", -40.0),
    ],
)  # fmt: skip
def test_base_units(text: str, base: float) -> None:
    assert parse_quantity(text).base == pytest.approx(base, rel=1e-15, abs=1e-15)


@pytest.mark.parametrize("unit", ["oz", "dash", "barspoon", "teaspoon", "tablespoon", "drop", "part", "cube", ""])
def test_what_a_house_decides_has_no_base(unit: str) -> None:
    with pytest.raises(QuantityError, match="has no fixed size"):
        _ = Quantity(1.0, unit).base


def test_kinds() -> None:
    assert {unit.kind for unit in UNITS} == set(get_args(Kind)) - {"count"}
    assert all(Quantity(1.0, unit.name).kind == unit.kind for unit in UNITS)
    assert Quantity(1.0, "cube").kind == "count"
    assert known_units("concentration") == "g/kg, g/l"


# Pours


@pytest.mark.parametrize(
    ("text", "amount", "name"),
    [
        ("60 ml gold rum", Quantity(60.0, "ml"), "gold rum"),
        ("60ml gold rum", Quantity(60.0, "ml"), "gold rum"),
        ("60 ml of gold rum", Quantity(60.0, "ml"), "gold rum"),
        ("60 ml OF  gold   rum ", Quantity(60.0, "ml"), "gold rum"),
        ("1½ oz lime juice", Quantity(1.5, "oz"), "lime juice"),
        ("1 1/2 oz lime juice", Quantity(1.5, "oz"), "lime juice"),
        ("¾oz lime juice", Quantity(0.75, "oz"), "lime juice"),
        ("2 fl oz gin", Quantity(2.0, "oz"), "gin"),
        ("2  fl.  oz.  gin", Quantity(2.0, "oz"), "gin"),
        ("2 fluid ounces of gin", Quantity(2.0, "oz"), "gin"),
        ("2\u00a0dashes\u00a0of\u00a0aromatic bitters", Quantity(2.0, "dash"), "aromatic bitters"),
        ("2\tdashes\tbitters", Quantity(2.0, "dash"), "bitters"),
        ("22,5 ml raspberry syrup", Quantity(22.5, "ml"), "raspberry syrup"),
        ("1 cube granulated sugar", Quantity(1.0, "cube"), "granulated sugar"),
        ("8 leaves of mint", Quantity(8.0, "leaves"), "mint"),
        ("0 ml gin", Quantity(0.0, "ml"), "gin"),
        ("5 % saline", Quantity(5.0, "%"), "saline"),
        # A name stays as written: its º is not a degree, its ⁄ and − are its own.
        ("30 ml Barkeep’s Nº 7", Quantity(30.0, "ml"), "Barkeep’s Nº 7"),
        ("30 ml half\u2044half \u2212 light", Quantity(30.0, "ml"), "half\u2044half \u2212 light"),
        ("30 ml 2:1 syrup", Quantity(30.0, "ml"), "2:1 syrup"),
        ("30 ml offaly liqueur", Quantity(30.0, "ml"), "offaly liqueur"),
        # No name, no unit: the caller says so.
        ("22.5 ml", Quantity(22.5, "ml"), ""),
        ("22.5 ml of", Quantity(22.5, "ml"), ""),
        ("1 cube", Quantity(1.0, "cube"), ""),
        ("22.5", Quantity(22.5, ""), ""),
        ("22.5 ", Quantity(22.5, ""), ""),
    ],
)
def test_pours_as_people_write_them(text: str, amount: Quantity, name: str) -> None:
    assert parse_pour(text) == (amount, name)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("22.5 ml lime juice", ("22.5", " ml", " lime juice")),
        ("  1 1/2oz  of gin ", ("  1 1/2", "oz", "  of gin ")),
        ("3 fl. oz\u00a0gin", ("3", " fl. oz", "\u00a0gin")),
        ("2 cubes", ("2", " cubes", "")),
        ("22,5", ("22,5", "", "")),
    ],
)
def test_a_pour_in_its_parts(text: str, parts: tuple[str, str, str]) -> None:
    assert split_pour(text) == parts
    assert "".join(parts) == text


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("20ml", "20 ml"),
        ("3/4oz", "3/4 oz"),
        ("1½oz", "1½ oz"),
        ("22,5\u00a0 ml", "22,5 ml"),
        ("1  1/2 fl  oz", "1 1/2 fl oz"),
    ],
)
def test_an_amount_as_typed_is_tidied(typed: str, written: str) -> None:
    assert tidy_amount(typed) == written
    assert parse_pour(typed) == parse_pour(written)


@pytest.mark.parametrize(("spelling", "name"), SPELLINGS)
def test_a_pour_takes_every_spelling(spelling: str, name: str) -> None:
    assert parse_pour(f"2 {spelling} of lime juice") == (Quantity(2.0, name), "lime juice")
