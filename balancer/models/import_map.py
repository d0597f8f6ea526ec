"""The map of an import: which column of a spreadsheet holds what, and what its cells leave unsaid."""

from __future__ import annotations

import re
from typing import Annotated, Final

from pydantic import Field, PlainValidator

from balancer.errors import QuantityError
from balancer.models.fields import FileModel, Name, Text, Texts, fail, plain_text
from balancer.units import Quantity, find_unit, known_units, parse_quantity

DRINK_FIELDS: Final = (
    "drink", "id", "family", "method", "time", "glass", "ice", "strain", "garnish", "dilution", "weighed before",
    "weighed after", "chill ice", "chill ice temperature", "chill start", "chill vessel", "chill stop", "steps",
    "extras", "zero proof", "notes", "version", "date", "by", "written for",
)  # fmt: skip
"""What a column may say of a drink as a whole."""

POUR_FIELDS: Final = ("ingredient", "amount", "unit", "fixed", "top")
"""What a column may say of one pour; with a number behind it, of the pour of that number."""

ALL_POURS: Final = "pours"
"""A column whose cells each hold all pours of a drink."""

LAYOUTS: Final = ("rows", "blocks")
"""How a sheet lays out its drinks: rows below headings, or a name with its lines below."""

_NUMBERED: Final = re.compile(r"(?P<field>\S.*?) (?P<number>[1-9][0-9]{0,2})")
_DELIMITER_WORDS: Final = {"tab": "\t", "comma": ",", "semicolon": ";", "bar": "|"}


def numbered(field: str) -> tuple[str, int]:
    """A field and its number, 0 when it has none.

    >>> numbered("amount 2"), numbered("glass")
    (('amount', 2), ('glass', 0))
    """
    found = _NUMBERED.fullmatch(field)
    return (found["field"], int(found["number"])) if found else (field, 0)


def is_field(field: str) -> bool:
    """Whether a map may name a column for this."""
    name, number = numbered(field)
    return name in POUR_FIELDS if number else name in (*DRINK_FIELDS, *POUR_FIELDS, ALL_POURS)


def _field(value: object) -> str:
    name = " ".join(str(value).split()).casefold()
    if not is_field(name):
        known = ", ".join((*DRINK_FIELDS, *POUR_FIELDS, ALL_POURS))
        raise fail("import-field", f'"{value}" is nothing a column can hold', f"known: {known}; ingredient 1, amount 1")
    return name


def _row_number(value: object) -> int:
    text = plain_text(value, "3").strip()
    if not re.fullmatch(r"[1-9][0-9]{0,4}", text):
        raise fail("number", f'"{text}" is not the number of a row', "write it like 3")
    return int(text)


def _delimiter(value: object) -> str:
    text = str(value) if str(value) in _DELIMITER_WORDS.values() else plain_text(value, "tab").strip().casefold()
    found = _DELIMITER_WORDS.get(text, text)
    if found not in _DELIMITER_WORDS.values():
        raise fail("choice", f'"{text}" does not part cells here', 'write tab, ",", ";" or "|"')
    return found


def _encoding(value: object) -> str:
    text = plain_text(value, "utf-8").strip().casefold().replace("_", "-")
    text = {"utf8": "utf-8", "utf16": "utf-16", "cp1252": "windows-1252", "cp1250": "windows-1250"}.get(text, text)
    if text not in ("utf-8", "utf-16", "windows-1252", "windows-1250"):
        raise fail("choice", f'"{text}" is not read here', "write utf-8, utf-16, windows-1252 or windows-1250")
    return text


def pour_unit(value: object) -> str:
    """A unit of volume or mass, as the table has it. Raises PydanticCustomError for any other."""
    text = plain_text(value, "oz").strip()
    unit = find_unit(text)
    if unit is None or unit.kind not in ("volume", "mass"):
        raise fail("unit", f'"{text}" is not a unit to pour in', f"use one of {known_units()}")
    return unit.name


def _layout(value: object) -> str:
    text = plain_text(value, "blocks").strip().casefold()
    if text not in LAYOUTS:
        raise fail("choice", f'"{text}" is no layout known here', f"write {' or '.join(LAYOUTS)}")
    return text


def top_amount(value: object) -> Quantity:
    """What tops a drink where its row says no amount. Raises PydanticCustomError where it is no volume."""
    text = value if isinstance(value, Quantity) else plain_text(value, "90 ml").strip()
    try:
        found = text if isinstance(text, Quantity) else parse_quantity(text)
    except QuantityError as error:
        raise fail(error.code, error.reason, "write it like 90 ml") from None
    if found.kind != "volume" or found.value <= 0:
        raise fail("unit-kind", f'"{text}" does not top a drink', "write it like 90 ml")
    return found


class ImportMap(FileModel):
    """How to read one spreadsheet.

        columns: {drink: Cocktail, ingredient: Item, amount: Qty}
        heading row: 3
        unit: oz

    columns      the heading of the column that holds a field, or the column's letter
    heading_row  row of the headings as the spreadsheet numbers it; found by itself when absent
    unit         of every amount that has none
    method       of every drink that has none
    top          of everything that tops a drink and says no amount
    layout       rows or blocks; found by itself when absent
    ignore       headings of columns that are not to be read
    ingredient_columns  headings of columns that each hold the amounts of one ingredient, called as the heading
    ingredients  what a name in the spreadsheet is called in the house; the same name where it is to stay
    glasses      likewise of a glass
    leave_out    names that are not poured, like a garnish among the pours
    pantry       names that the house gets out of the pantry where it lacks them
    """

    columns: dict[Annotated[str, PlainValidator(_field)], Name] = Field(default_factory=dict)
    heading_row: Annotated[int, PlainValidator(_row_number)] | None = Field(None, alias="heading row")
    unit: Annotated[str, PlainValidator(pour_unit)] | None = None
    method: Text | None = None
    top: Annotated[Quantity, PlainValidator(top_amount)] | None = None
    layout: Annotated[str, PlainValidator(_layout)] | None = None
    delimiter: Annotated[str, PlainValidator(_delimiter)] | None = None
    encoding: Annotated[str, PlainValidator(_encoding)] | None = None
    ignore: Texts = ()
    ingredient_columns: Texts = Field((), alias="ingredient columns")
    ingredients: dict[str, Name] = Field(default_factory=dict)
    glasses: dict[str, Name] = Field(default_factory=dict)
    leave_out: Texts = Field((), alias="leave out")
    pantry: Texts = ()
