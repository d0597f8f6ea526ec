"""The cells of a pour: amounts as people write them, dates that were fractions, and what is refused."""

from __future__ import annotations

from dataclasses import replace

import pytest

from balancer.errors import QuantityError
from balancer.files.sheets.cells import Manner, Said, flag, fraction_of_date, said_pour, said_whole
from balancer.files.sheets.rows import split_pours
from balancer.units import Measures, Quantity

HOUSE = Manner(
    None,
    decimal_comma=False,
    is_own=lambda unit, name: (unit, name) == ("cubes", "sugar"),
    is_known=lambda name: name == "3 oz cordial",
    measures=Measures(),
)
OUNCES = replace(HOUSE, unit="oz")
MILLILITRES = replace(HOUSE, unit="ml")
COMMAS = replace(MILLILITRES, decimal_comma=True)


@pytest.mark.parametrize(
    ("date", "fraction"),
    [
        ("3-Apr", "3/4"), ("03-Apr", "3/4"), ("04-Mar", "3/4"), ("Mar-04", "3/4"), ("1/2/2026", "1/2"),
        ("2026-03-04", "3/4"), ("2026-03-04 00:00:00", "3/4"), ("02.01.2026", "1/2"), ("01.02.", "1/2"),
        ("3. Apr", "3/4"), ("04. Mrz", "3/4"), ("1-Jan", "1"), ("2-Jan-26", "1/2"), ("Jan-32", "1/32"),
        ("1/2/26", "1/2"), ("5-Août", "5/8"),
        ("3/4", None), ("22.5", None), ("1 1/2", None), ("22.5 ml", None), ("1-2", None), ("2 cubes", None), ("", None),
        ("60 mar", "3/60"),
    ],
)  # fmt: skip
def test_fractions_that_became_dates(date: str, fraction: str | None) -> None:
    assert fraction_of_date(date) == fraction


@pytest.mark.parametrize(
    ("amount", "unit", "text", "value"),
    [
        ("3/4", "oz", "3/4 oz", Quantity(0.75, "oz")),
        (".75", "OZ", ".75 oz", Quantity(0.75, "oz")),
        ("22.5ml", "", "22.5 ml", Quantity(22.5, "ml")),
        ("1½ oz", "", "1½ oz", Quantity(1.5, "oz")),
        ("1 ½", "oz", "1 ½ oz", Quantity(1.5, "oz")),
        ("22,5", "ml", "22,5 ml", Quantity(22.5, "ml")),
        ("60.0", "ml", "60 ml", Quantity(60.0, "ml")),
        ("2", "dash", "2 dashes", Quantity(2.0, "dash")),
        ("1", "dash", "1 dash", Quantity(1.0, "dash")),
        ("30 ml", "ml", "30 ml", Quantity(30.0, "ml")),
        ("2 fl oz", "", "2 fl oz", Quantity(2.0, "oz")),
        ("2", "cubes", "2 cubes", Quantity(2.0, "cubes")),
        ("", "rinse", "rinse", Quantity(1.0, "rinse")),
        ("rinse", "", "rinse", Quantity(1.0, "rinse")),
    ],
)
def test_amounts_in_cells_of_their_own(amount: str, unit: str, text: str, value: Quantity) -> None:
    assert said_pour(amount, unit, "sugar", HOUSE) == Said(text, value, "sugar")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("60 ml gin", Said("60 ml", Quantity(60.0, "ml"), "gin")),
        ("60ml of gin", Said("60 ml", Quantity(60.0, "ml"), "gin")),
        ("2 cubes sugar", Said("2 cubes", Quantity(2.0, "cubes"), "sugar")),
        ("rinse anise spirit", Said("rinse", Quantity(1.0, "rinse"), "anise spirit")),
        ("1 1/2 fl oz dry gin", Said("1 1/2 fl oz", Quantity(1.5, "oz"), "dry gin")),
    ],
)
def test_whole_pours(text: str, said: Said) -> None:
    assert said_whole(text, HOUSE) == said


@pytest.mark.parametrize(
    "text",
    [
        "22.5 ml lime juice/15 ml rich syrup", "60 ml gin and 1 dash bitters", "1 oz / 30 ml gin",
        "22.5ml (3/4 oz) lime", "2 oz gin & 3/4oz lime", "60 ml gin • 20 ml lime",
    ],
)  # fmt: skip
def test_several_pours_are_never_one_ingredient(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        said_whole(text, HOUSE)
    assert caught.value.code == "import-several"


def test_what_the_house_calls_so_is_no_second_pour() -> None:
    assert said_whole("20 ml 3 oz cordial", HOUSE).name == "3 oz cordial"


@pytest.mark.parametrize(
    "text",
    ["1 egg white", "8 mint leaves", "2 shots vodka", "1 bottle gin", "2 dash(es) orange bitters", "5 Tbs syrup"],
)
def test_a_count_is_no_millilitre(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        said_whole(text, MILLILITRES)
    assert caught.value.code == "unit-missing"


def test_an_assumed_unit() -> None:
    assert said_pour("2", "", "gin", OUNCES) == Said("2 oz", Quantity(2.0, "oz"), "gin")
    assert said_whole("2 old gin", OUNCES) == Said("2 oz", Quantity(2.0, "oz"), "old gin")


@pytest.mark.parametrize(
    ("amount", "unit", "name", "manner", "code"),
    [
        ("3-Apr", "oz", "gin", HOUSE, "import-date"),
        ("3-Apr oz", "", "gin", HOUSE, "import-date"),
        ("Mar-04 dashes", "", "gin", HOUSE, "import-date"),
        ("46085", "", "gin", OUNCES, "import-date"),
        ("46085", "", "gin", HOUSE, "import-date"),
        ("1,000", "ml", "gin", HOUSE, "number-ambiguous"),
        ("1.000", "ml", "gin", COMMAS, "number-ambiguous"),
        ("60", "", "gin", HOUSE, "unit-missing"),
        ("8", "", "mint leaves", OUNCES, "unit-missing"),
        ("8", "", "mint leaves", MILLILITRES, "unit-missing"),
        ("1", "", "egg white", MILLILITRES, "unit-missing"),
        ("2", "", "orange bitters", MILLILITRES, "unit-missing"),
        ("3/4", "", "lime juice", MILLILITRES, "unit-missing"),
        ("11/2", "oz", "gin", HOUSE, "number-ambiguous"),
        ("01.02", "", "gin", OUNCES, "import-date"),
        ("60 ml", "", "gin + 22.5 ml lime juice", HOUSE, "import-several"),
        ("1 oz", "", "/ 30 ml gin", HOUSE, "import-several"),
        ("60", "glugs", "gin", HOUSE, "unit"),
        ("60 ml", "oz", "gin", HOUSE, "unit"),
        ("60 ml / 2 oz", "", "gin", HOUSE, "unit"),
        ("2", "°Bx", "gin", HOUSE, "unit-kind"),
        ("1-2", "dashes", "gin", HOUSE, "number"),
        ("some", "", "gin", HOUSE, "number"),
        ("0", "ml", "gin", HOUSE, "value"),
        ("-2", "ml", "gin", HOUSE, "value"),
        ("1/0", "oz", "gin", HOUSE, "number"),
        ("", "", "gin", HOUSE, "amount-missing"),
        ("", "ml", "gin", HOUSE, "amount-missing"),
        ("", "", "7 year rum", HOUSE, "amount-missing"),
        ("60 ml", "", "", HOUSE, "name-missing"),
        ("1e3", "ml", "gin", HOUSE, "number"),
    ],
)
def test_what_is_refused(amount: str, unit: str, name: str, manner: Manner, code: str) -> None:
    with pytest.raises(QuantityError) as caught:
        said_pour(amount, unit, name, manner)
    assert caught.value.code == code
    assert caught.value.remedy


def test_a_date_says_what_it_probably_was() -> None:
    with pytest.raises(QuantityError, match="probably 3/4"):
        said_pour("04-Mar", "", "gin", HOUSE)


@pytest.mark.parametrize(
    ("cell", "pours"),
    [
        ("60 ml gin\n20 ml lime juice\n", ["60 ml gin", "20 ml lime juice"]),
        ("• 60 ml gin,\n- 20 ml lime juice", ["60 ml gin", "20 ml lime juice"]),
        ("60 ml gin; 22,5 ml lime juice", ["60 ml gin", "22,5 ml lime juice"]),
        ("60 ml gin, 22,5 ml lime juice", ["60 ml gin", "22,5 ml lime juice"]),
        ("", []),
    ],
)
def test_pours_in_one_cell(cell: str, pours: list[str]) -> None:
    assert split_pours(cell) == pours


@pytest.mark.parametrize(("text", "is_so"), [("", False), ("no", False), ("Yes", True), ("x", True), ("✓", True)])
def test_flags(text: str, is_so: bool) -> None:
    assert flag(text) is is_so


EGGS = replace(
    HOUSE,
    is_own=lambda unit, name: (unit, name) in {("cubes", "sugar"), ("cube", "sugar"), ("white", "egg white")},
    is_known={"egg white", "sugar", "mint leaves"}.__contains__,
    count_unit={"egg white": "white", "mint leaves": "leaf"}.get,
    pantry_counts=lambda name: name == "whole egg",
)


@pytest.mark.parametrize("unit", [None, "ml"])
@pytest.mark.parametrize(
    ("text", "amount", "name"),
    [
        ("1 egg white", Quantity(1.0, "white"), "egg white"),
        ("2 egg whites", Quantity(2.0, "white"), "egg white"),
        ("1 sugar cube", Quantity(1.0, "cube"), "sugar"),
        ("2 sugar cubes", Quantity(2.0, "cubes"), "sugar"),
        ("8 mint leaves", Quantity(8.0, "leaf"), "mint leaves"),
    ],
)
def test_a_count_is_of_the_own_unit_of_the_house(unit: str | None, text: str, amount: Quantity, name: str) -> None:
    said = said_whole(text, replace(EGGS, unit=unit))
    assert (said.amount, said.name) == (amount, name)


def test_so_much_egg_is_by_volume() -> None:
    """Nobody pours fifteen whites: and in a column of ounces one is an ounce."""
    assert said_whole("15 egg white", replace(EGGS, unit="ml")).amount == Quantity(15.0, "ml")
    assert said_whole("1 egg white", replace(EGGS, unit="oz")).amount == Quantity(1.0, "oz")
    assert said_whole("30 egg yolk", MILLILITRES).amount == Quantity(30.0, "ml")


@pytest.mark.parametrize("unit", [None, "ml"])
@pytest.mark.parametrize(
    ("text", "says", "never"),
    [
        ("1 whole egg", 'take it with --pantry, or write it by volume, like "50 ml"', "extras"),
        ("1 egg yolk", "or what one weighs as each: in its ingredient's file", "extras"),
        ("3 lemon cubes", "write it as a unit of its sugar", "extras"),
        ("8 basil leaves", 'write "8 basil leaves" under extras', "--unit"),
        ("3 slices cucumber", "under extras", "--unit"),
    ],
)
def test_a_count_that_nobody_knows_says_how_to_write_it(unit: str | None, text: str, says: str, never: str) -> None:
    """`1 egg white` was to be written as "1 ml", then was too little for ml, then belonged under extras."""
    with pytest.raises(QuantityError) as caught:
        said_whole(text, replace(EGGS, unit=unit))
    assert says in caught.value.remedy
    assert never not in caught.value.remedy


def test_a_cell_of_slices_says_so() -> None:
    with pytest.raises(QuantityError) as caught:
        said_pour("3 slices", "", "cucumber", HOUSE)
    assert caught.value.remedy.startswith('write "3 slices cucumber" under extras')
