"""Fifty spreadsheets as fifty bars might keep them, each with faults planted in known rows.

The same number always makes the same sheet. A sheet knows its faults as pairs of row and code, rows counted as a
spreadsheet counts them, and the names of the drinks that are sound.
"""

from __future__ import annotations

import csv
import io
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

COUNT: Final = 50
LAYOUTS: Final = ("named", "first", "numbered", "lines", "list", "whole")
"""The drink on every row, on its first row only; numbered columns; all pours in a cell, by lines or semicolons; a
whole pour in the cell of every row."""

ENCODINGS: Final = ("utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "cp1250")
HEADINGS: Final = {
    "drink": ("Drink", "Cocktail", "NAME", "Drink name"),
    "method": ("Method", "technique", "Preparation"),
    "glass": ("Glass", "Glassware"),
    "dilution": ("Dilution",),
    "zero proof": ("Zero proof", "Non-alcoholic"),
    "fixed": ("Fixed",),
    "ingredient": ("Ingredient", "Item", "Product"),
    "amount": ("Amount", "Qty", "Measure"),
    "unit": ("Unit", "UoM"),
    "pours": ("Spec", "Pours", "Recipe"),
}
NAMES: Final = (
    "Heron", "Marsh Light", "Reed, Song", "Low Tide", "Ebb & Flow", "Tin Lantern", "Brick Lane", "Slack Water",
    "Quay 7", "Half Hitch", "Café du Port", "Sea Fret", "#9", "Gull's Cry", "Bell Buoy",
)  # fmt: skip
POURED: Final = (
    ("dry gin", "lime juice", "honey"), ("gold rum", "lemon juice", "egg white"), ("rye whiskey", "white vermouth"),
    ("Gin", "Lemon Juice", "Poire rosé"), ("gold rum", "soda water", "lime juice"),
)  # fmt: skip
AMOUNTS: Final = ("60 ml", "22.5ml", "22,5 ml", "¾ oz", "1 1/2 oz", ".75 oz", "1½ oz", "2 dashes")

VALUES: Final = {
    "60": 60.0, "22.5": 22.5, "22,5": 22.5, "¾": 0.75, "3/4": 0.75, "1 1/2": 1.5, ".75": 0.75, "1½": 1.5, "2": 2.0,
}  # fmt: skip


@dataclass
class Pour:
    """One pour as its cells say it."""

    ingredient: str
    number: str
    unit: str
    fixed: str = ""


@dataclass
class Drink:
    """One drink as its cells say it. faults are codes with the index of the pour they are in, or -1 for its first row.

    ragged, loose and alone are about how its first row is written.
    """

    name: str
    pours: list[Pour]
    method: str = "shaken"
    glass: str = "coupe"
    dilution: str = ""
    zero_proof: str = ""
    faults: list[tuple[str, int]] = field(default_factory=list)
    ragged: bool = False
    loose: bool = False
    second_glass: str = ""


@dataclass
class Planted:
    """One spreadsheet: its bytes, the options it is imported with, its faults, and its sound drinks with amounts."""

    number: int
    raw: bytes
    options: tuple[str, ...]
    faults: set[tuple[int, str]]
    sound: set[str]
    amounts: dict[str, list[tuple[float, str]]]


def _date(drink: Drink, chance: random.Random) -> None:
    drink.pours[0].number = chance.choice(("3-Apr", "04-Mar", "1/2/2026", "2026-03-04", "Mar-04"))
    drink.faults.append(("import-date", 0))


def _ambiguous(drink: Drink, _: random.Random) -> None:
    drink.pours[1].number = "1,000"
    drink.faults.append(("number-ambiguous", 1))


def _no_unit(drink: Drink, _: random.Random) -> None:
    drink.pours[0].unit = ""
    drink.faults.append(("unit-missing", 0))


def _no_number(drink: Drink, _: random.Random) -> None:
    drink.pours[0].number = "some"
    drink.faults.append(("number", 0))


def _twice(drink: Drink, _: random.Random) -> None:
    drink.pours[1].ingredient = drink.pours[0].ingredient
    drink.faults.append(("poured-twice", 1))


def _no_method(drink: Drink, _: random.Random) -> None:
    drink.method = ""
    drink.faults.append(("import-method", -1))


def _no_dilution(drink: Drink, _: random.Random) -> None:
    drink.method = "rolld"
    drink.faults.append(("doubt", -1))


def _bare_dilution(drink: Drink, _: random.Random) -> None:
    drink.dilution = "45"
    drink.faults.append(("unit-missing", -1))


def _error(drink: Drink, chance: random.Random) -> None:
    drink.glass = chance.choice(("#REF!", "#N/A", "#NAME?"))
    drink.faults.append(("import-error-value", -1))


def _hidden(drink: Drink, chance: random.Random) -> None:
    drink.glass = "cou" + chance.choice("\x00\x07\x1b") + "pe"
    drink.faults.append(("invisible", -1))


def _zero_proof(drink: Drink, _: random.Random) -> None:
    drink.zero_proof = "yes"
    drink.pours = [drink.pours[0], Pour("lime juice", "20", "ml")]
    drink.pours[0].ingredient = "dry gin"
    drink.faults.append(("zero-proof", 0))


def _maybe(drink: Drink, _: random.Random) -> None:
    drink.zero_proof = "maybe"
    drink.faults.append(("choice", -1))


def _there(drink: Drink, _: random.Random) -> None:
    drink.name = "Anchor Sour"
    drink.faults.append(("import-exists", -1))


def _ragged(drink: Drink, _: random.Random) -> None:
    drink.ragged = True
    drink.faults.append(("import-ragged", -1))


def _loose(drink: Drink, _: random.Random) -> None:
    drink.loose = True
    drink.faults.append(("quotes", -1))


def _differs(drink: Drink, _: random.Random) -> None:
    drink.second_glass = "rocks"
    drink.faults.append(("import-differs", 1))


def _too_long(drink: Drink, _: random.Random) -> None:
    drink.name = "L" + 300 * "o" + "ng"
    drink.faults.append(("import-too-long", -1))


def _unknown_unit(drink: Drink, _: random.Random) -> None:
    drink.pours[0].unit = "glugs"
    drink.faults.append(("unit", 0))


def _no_amount(drink: Drink, _: random.Random) -> None:
    drink.pours[1].number = drink.pours[1].unit = ""
    drink.faults.append(("amount-missing", 1))


def _no_name(drink: Drink, _: random.Random) -> None:
    drink.pours[1].ingredient = ""
    drink.faults.append(("name-missing", 1))


def _fixed(drink: Drink, _: random.Random) -> None:
    drink.pours[0].fixed = "perhaps"
    drink.faults.append(("choice", 0))


Plant = Callable[[Drink, random.Random], None]
ANYWHERE: Final[tuple[Plant, ...]] = (
    _date, _ambiguous, _no_unit, _no_number, _twice, _no_method, _no_dilution, _bare_dilution, _error, _hidden,
    _zero_proof, _maybe, _there, _ragged, _loose, _too_long,
)  # fmt: skip
BY_COLUMNS: Final[tuple[Plant, ...]] = (_unknown_unit, _no_amount, _no_name, _fixed)
"""Faults that only cells of their own can have."""


def spreadsheet(number: int) -> Planted:
    """One of the fifty."""
    chance = random.Random(number)  # noqa: S311 - the same every time is what is wanted
    layout = LAYOUTS[number % len(LAYOUTS)]
    delimiter = chance.choice(",;\t")
    encoding = ENCODINGS[number % 5 if layout == "lines" else chance.randrange(len(ENCODINGS))]
    unit = chance.choice(("", "ml"))
    drinks = _drinks(chance, layout, unit)
    if encoding == "cp1250":
        for pour in (pour for drink in drinks for pour in drink.pours):
            pour.number = pour.number.replace("1½", "1 1/2").replace("¾", "3/4")
    if encoding.startswith("cp"):  # no NUL in a page of eight bits, or it would look like sixteen
        for drink in drinks:
            drink.glass = drink.glass.replace("\x00", "\x07")
    keys = ["drink", "method", "glass", "dilution", "zero proof"]
    chance.shuffle(keys)
    return _Writer(chance, layout, delimiter, encoding, keys, unit).written(number, drinks)


def _drinks(chance: random.Random, layout: str, unit: str) -> list[Drink]:
    names = chance.sample(NAMES, 6 + chance.randrange(6))
    drinks = [Drink(name, _pours(chance)) for name in names]
    plants = [*ANYWHERE]
    if layout in ("named", "first", "numbered"):
        plants += BY_COLUMNS
    if layout in ("named", "first"):
        plants.append(_differs)
    for drink, plant in zip(drinks[1::2], chance.sample(plants, 1 + chance.randrange(5)), strict=False):
        if plant is not _no_unit or not unit:
            plant(drink, chance)
    for pour in (pour for drink in drinks for pour in drink.pours if pour.unit == unit):
        pour.unit = ""  # it goes without saying
    return drinks


def _pours(chance: random.Random) -> list[Pour]:
    found = []
    for ingredient in chance.choice(POURED):
        amount = chance.choice(AMOUNTS)
        number, unit = (amount[:-2].strip(), amount[-2:]) if amount[-2:] in ("ml", "oz") else tuple(amount.split(" "))
        found.append(Pour(ingredient, number, unit))
    return found


class _Writer:
    """Writes drinks into rows, and remembers in which row each fault came to stand."""

    def __init__(
        self, chance: random.Random, layout: str, delimiter: str, encoding: str, keys: list[str], unit: str
    ) -> None:
        self.chance = chance
        self.layout = layout
        self.delimiter = delimiter
        self.encoding = encoding
        self.keys = keys
        self.unit = unit
        self.lines: list[str] = []
        self.faults: set[tuple[int, str]] = set()
        self.end = chance.choice(("\r\n", "\n"))
        self.has_units = layout in ("named", "first") and chance.random() < 0.5

    def written(self, number: int, drinks: list[Drink]) -> Planted:
        for _ in range(self.chance.randrange(3)):
            self.row([self.chance.choice(("", "The Tin Lantern", "specs, autumn"))])
        self.row(self.headings())
        if self.layout == "first" and self.chance.random() < 0.4:
            self.faults.add((self.row(self.cells({}, [Pour("dry gin", "60", "ml")])), "import-no-drink"))
        for drink in drinks:
            self.drink(drink)
            if self.chance.random() < 0.3:
                self.row([])
        sound = {drink.name for drink in drinks if not drink.faults}
        if self.layout != "first" and self.chance.random() < 0.4:
            again = self.chance.choice(sorted(sound))
            if again != drinks[-1].name or self.layout not in ("named", "whole"):
                row = self.row(self.cells({"drink": again, "method": "stirred"}, [Pour("dry gin", "50", "ml")]))
                self.faults.add((row, "import-drink-twice"))
                sound.discard(again)
        if self.chance.random() < 0.5:
            self.row(self.cells({"drink": "Total"}, []))
        if self.chance.random() < 0.4 and self.layout != "first":
            row = self.row(self.cells({"drink": "LONG DRINKS", "method": "shaken"}, []))
            self.faults.add((row, "import-no-pours"))
        raw = "".join(self.lines).encode(self.encoding)
        options = ("--unit", self.unit) if self.unit else ()
        amounts = {drink.name: [self.amount(pour) for pour in drink.pours] for drink in drinks if drink.name in sound}
        return Planted(number, raw, options, self.faults, sound, amounts)

    def amount(self, pour: Pour) -> tuple[float, str]:
        """What a pour means, by a table of its own."""
        unit = pour.unit or self.unit
        return VALUES[pour.number], "dash" if unit == "dashes" else unit

    def row(self, cells: list[str], *, loose: bool = False) -> int:
        """Write a row, and return its number."""
        text = io.StringIO(newline="")
        if loose:
            text.write('"' + self.delimiter.join(cells) + self.end)
        else:
            csv.writer(text, delimiter=self.delimiter, lineterminator=self.end).writerow(cells)
        self.lines.append(text.getvalue())
        return len(self.lines)

    def headings(self) -> list[str]:
        words = [self.chance.choice(HEADINGS[key]) for key in self.keys]
        if self.layout == "numbered":
            for number in range(1, 4):
                words += [f"{self.chance.choice(HEADINGS[key])} {number}" for key in ("ingredient", "amount", "fixed")]
        elif self.layout in ("lines", "list"):
            words.append(self.chance.choice(HEADINGS["pours"]))
        elif self.layout == "whole":
            words.append("Ingredient")
        else:
            keys = ["ingredient", "amount", *(["unit"] if self.has_units else []), "fixed"]
            words += [self.chance.choice(HEADINGS[key]) for key in keys]
        return words

    def cells(self, values: dict[str, str], pours: list[Pour]) -> list[str]:
        """One row: what is said of the drink, and some of its pours."""
        cells = [values.get(key, "") for key in self.keys]
        if self.layout == "numbered":
            for pour in pours:
                cells += [pour.ingredient, f"{pour.number} {pour.unit}".strip(), pour.fixed]
            return cells + [""] * (3 * (3 - len(pours)))
        if self.layout in ("lines", "list", "whole"):
            between = {"lines": "\n", "list": "; "}.get(self.layout, "")
            return [*cells, between.join(f"{pour.number} {pour.unit} {pour.ingredient}" for pour in pours)]
        if not pours:
            return cells + [""] * (4 if self.has_units else 3)
        pour = pours[0]
        amount = [pour.number, pour.unit] if self.has_units else [f"{pour.number} {pour.unit}".strip()]
        return [*cells, pour.ingredient, *amount, pour.fixed]

    def drink(self, drink: Drink) -> None:
        """The rows of a drink."""
        values = {
            "drink": drink.name, "method": drink.method, "glass": drink.glass, "dilution": drink.dilution,
            "zero proof": drink.zero_proof,
        }  # fmt: skip
        together = self.layout in ("numbered", "lines", "list")
        groups = [drink.pours] if together else [[pour] for pour in drink.pours]
        numbers = []
        for index, pours in enumerate(groups):
            if index:
                named = {"drink": drink.name} if self.layout in ("named", "whole") else {}
                values = named | ({"glass": drink.second_glass} if index == 1 and drink.second_glass else {})
            cells = self.cells(values, pours)
            if drink.ragged and not index:
                cells.append("x")
            if drink.loose and not index:
                cells = [cell.replace(self.delimiter, " ").replace("\n", " ") for cell in cells]
            numbers.append(self.row(cells, loose=drink.loose and not index))
        for code, pour_index in drink.faults:
            self.faults.add((numbers[0 if together or pour_index < 0 else pour_index], code))
            if code == "import-too-long" and self.layout in ("named", "whole"):
                self.faults |= {(number, code) for number in numbers}
