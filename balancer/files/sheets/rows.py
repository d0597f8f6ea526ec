"""The rows of a spreadsheet as drinks that are not yet read: which cells belong to which drink and pour."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final, NamedTuple

from balancer.errors import Problem
from balancer.files.sheets.headings import Places
from balancer.files.sheets.jotted import is_only_said, jotted_pour
from balancer.files.sheets.spreadsheet import Row, Sheet
from balancer.models.import_map import ALL_POURS, DRINK_FIELDS, POUR_FIELDS, numbered
from balancer.models.imported import SkippedRow
from balancer.models.lengths import MOST
from balancer.models.names import slug
from balancer.unseen import NO_TEXT

MOST_LETTERS: Final = MOST["name"]
"""A longer name is the text of another column."""

MOST_DRINKS: Final = 3000
MOST_POURS: Final = 50_000
MOST_FAULTS: Final = 60_000
"""What no sheet of specs has; nothing further is read."""

LISTS: Final = ("steps", "extras", "notes")
_NAMES: Final = ("drink", "id", *POUR_FIELDS)
_TOTALS: Final = ("total", "totals", "sum", "subtotal", "sub-total", "grand-total", "average", "count")
_ERRORS: Final = re.compile(r"#(?:REF!|N/A|VALUE!|NAME\?|DIV/0!|NUM!|NULL!|SPILL!|CALC!)|Err:[0-9]{3}")
_HALF: Final = re.compile(r"\s*[0-9]+,[0-9]+\s*[a-z]*\s*", re.IGNORECASE)
"""A number with a decimal comma that was taken for two cells."""

_COMMA_AND_NUMBER: Final = re.compile(r",\s+(?=[0-9.¼½¾⅓⅔⅛])|(?<![0-9]),(?=[0-9.¼½¾⅓⅔⅛])")
_COMMA: Final = re.compile(r",\s+|(?<![0-9]),(?=[0-9.¼½¾⅓⅔⅛])")
_DIGITS: Final = re.compile(r"[0-9]{1,3}")
_WORDS: Final = ("method", "glass", "ice", "strain", "garnish", "family", "by", *LISTS)
"""Fields where a bare number says nothing."""

_BULLET: Final = re.compile(r"^[•·*‣–-]\s+")


class Cell(NamedTuple):
    """What one cell says, its blanks tidied; column is counted from 0, -1 when there is no such column."""

    row: int
    column: int
    text: str

    @property
    def lines(self) -> list[str]:
        """Its lines, without the empty ones."""
        return [tidy for line in self.text.splitlines() if (tidy := " ".join(line.split()))]


@dataclass
class RawPour:
    """One pour: its cells by field, or the text of a whole pour out of one cell."""

    place: Cell
    cells: dict[str, str] = field(default_factory=dict)
    whole: str | None = None


@dataclass
class RawDrink:
    """One drink: its name, its rows, its cells by field, and its pours. faulty when a row of it is not sound.

    lost  the fields of cells that are told already, * for all of them
    """

    name: Cell
    rows: list[int] = field(default_factory=list)
    values: dict[str, list[Cell]] = field(default_factory=dict)
    pours: list[RawPour] = field(default_factory=list)
    faulty: bool = False
    lost: set[str] = field(default_factory=set)

    @property
    def key(self) -> str:
        """What tells it from other drinks."""
        given = self.values.get("id")
        return slug(given[0].text if given else "") or slug(self.name.text) or self.name.text.casefold()


class Faults:
    """What is wrong, row by row, each said in the same way."""

    def __init__(self, sheet: Sheet, places: Places) -> None:
        self._sheet = sheet
        self._places = places
        self.found: list[Problem] = []

    def add(self, code: str, row: int, column: int, message: str, remedy: str) -> None:
        """A fault in a row; column is counted from 0, or -1 when it is about the whole row."""
        where = f"row {row}" if column < 0 else f"row {row}, {self._places.heading(column)}"
        place = column + 1 if column >= 0 else None
        self.found.append(Problem(code, f"{where}: {message}", remedy, self._sheet.path, row, place))

    def problems(self) -> list[Problem]:
        """All of them, from the top of the sheet down."""
        return sorted(self.found, key=lambda problem: (problem.line or 0, problem.column or 0))


class Rows:
    """Reads the rows below the headings into drinks."""

    def __init__(self, sheet: Sheet, places: Places, faults: Faults) -> None:
        self.drinks: list[RawDrink] = []
        self.skipped: list[SkippedRow] = []
        self.pours = 0
        self._places = places
        self._faults = faults
        self._current: RawDrink | None = None
        self._first: dict[str, RawDrink] = {}
        self._is_wide = any(number > 1 for number in places.numbers)  # then every row is a drink
        words = {column for name, column in places.columns.items() if name in _WORDS}
        amounts = [column for name, column in places.columns.items() if numbered(name)[0] == "amount"]
        self._before_words = [column for column in amounts if column + 1 in words]
        for row in sheet.rows[places.heading_row :]:
            if not row.is_empty:
                self._read(row)
            if len(self.drinks) > MOST_DRINKS or self.pours > MOST_POURS or len(faults.found) > MOST_FAULTS:
                break
        for drink in self.drinks:
            if not drink.pours and not drink.faulty:
                faults.add(
                    "import-no-pours", drink.name.row, drink.name.column,
                    f'"{short(drink.name.text)}" has no pours', "write them, or delete the row if it is a title",
                )  # fmt: skip
                drink.faulty = True

    def _read(self, row: Row) -> None:
        if row.cells == self._places.headings:
            self.skipped.append(SkippedRow(row.number, "headings again"))
            return
        total = self._total(row)
        if total:
            self.skipped.append(SkippedRow(row.number, f'"{total}"'))
            return
        flaw = row.flaw or self._ragged(row)
        if flaw:
            self._faults.add(flaw[0], row.number, -1, flaw[1], flaw[2])
            drink = self._drink_of(row, None)
            if drink is not None:
                drink.faulty = True
                drink.lost.add("*")
            return
        cells = dict(self._cells(row))
        drink = self._drink_of(row, cells)
        if drink is None:
            if cells:
                self._faults.add(
                    "import-no-drink", row.number, self._places.columns["drink"], "no drink is named here or above",
                    "write the drink's name in this row",
                )  # fmt: skip
            return
        unsound = {name for name, _ in self._filled(row)} - cells.keys()
        if unsound:
            drink.faulty = True
            drink.lost |= unsound
        for name, cell in cells.items():
            if name in DRINK_FIELDS and name != "drink":
                self._value(drink, name, cell)
        lost = {numbered(name)[1] for name in unsound if numbered(name)[0] in (*POUR_FIELDS, ALL_POURS)}
        before = len(drink.pours)
        drink.pours += self._pours(row, cells, lost, drink)
        self.pours += len(drink.pours) - before
        drink.rows.append(row.number)

    def _total(self, row: Row) -> str | None:
        """The word of a row that adds up others, or None."""
        columns = self._places.columns
        name, pour = (self._text(row, columns.get(key, -1)) for key in ("drink", "ingredient"))
        if not name and slug(pour[:MOST_LETTERS]) in _TOTALS:
            return pour
        if any(self._text(row, columns[key]) for key in columns if numbered(key)[0] in ("ingredient", ALL_POURS)):
            return None
        words = [name] if name else [" ".join(cell.split()) for cell in row.cells]
        return next((word for word in words if slug(word[:MOST_LETTERS]) in _TOTALS), None)

    def _ragged(self, row: Row) -> tuple[str, str, str] | None:
        last = max((index for index, cell in enumerate(row.cells) if cell.strip()), default=0)
        known = max(len(self._places.headings), *(column + 1 for column in self._places.columns.values()))
        split = any(_HALF.fullmatch(f"{a},{b}") for a, b in pairwise(row.cells)) and len(row.cells) > known
        if last < known and not split and not self._is_parted(row):
            return None
        return (
            "import-ragged", f"there are {max(last + 1, len(row.cells))} cells, and {known} headings",
            "a cell that holds a comma or another mark that parts cells needs quotes: \"22,5\"",
        )  # fmt: skip

    def _is_parted(self, row: Row) -> bool:
        """Whether an amount without a unit is followed by a bare number where none belongs: 4,5 taken for two cells."""
        return any(
            _DIGITS.fullmatch(self._text(row, column)) and _DIGITS.fullmatch(self._text(row, column + 1))
            for column in self._before_words
        )

    def _text(self, row: Row, column: int) -> str:
        return " ".join(row.cells[column].split()) if 0 <= column < len(row.cells) else ""

    def _filled(self, row: Row) -> Iterator[tuple[str, int]]:
        """The fields that this row says something of."""
        for name, column in self._places.columns.items():
            if column < len(row.cells) and row.cells[column].strip():
                yield name, column

    def _cells(self, row: Row) -> Iterator[tuple[str, Cell]]:
        """The sound cells of a row, the others being told."""
        for name, column in self._filled(row):
            raw = row.cells[column]
            lines = [" ".join(line.split()) for line in raw.splitlines()]
            cell = Cell(row.number, column, "\n".join(lines).strip())
            limit = MOST_LETTERS if numbered(name)[0] in _NAMES else None
            fault = unsound(raw, cell.text, limit)
            if fault is not None:
                self._faults.add(fault[0], row.number, column, fault[1], fault[2])
            elif name in ("drink", "id") and len(cell.lines) > 1:
                message = f'several lines are in one cell: "{short(" / ".join(cell.lines))}"'
                self._faults.add("import-lines", row.number, column, message, "write it in one line")
            else:
                yield name, cell

    def _drink_of(self, row: Row, cells: dict[str, Cell] | None) -> RawDrink | None:
        """The drink a row belongs to: the one it names, or else the one above."""
        column = self._places.columns["drink"]
        name = self._text(row, column)[:MOST_LETTERS]  # a longer one is told, and known by its beginning
        if not name:
            return self._current
        current = self._current
        drink = RawDrink(Cell(row.number, column, name))
        if cells is not None and "id" in cells:
            drink.values["id"] = [cells["id"]]
        if current is not None and self._continues(current, drink, row):
            return current
        if cells is not None and "drink" not in cells:
            drink.faulty = True
        twin = self._first.setdefault(drink.key, drink)
        if twin is not drink and cells is not None:
            self._faults.add(
                "import-drink-twice", row.number, column,
                f'"{short(name)}" is in row {twin.name.row} already', "give one of them another name, or delete it",
            )  # fmt: skip
            drink.faulty = twin.faulty = True
        self._current = drink
        self.drinks.append(drink)
        return drink

    def _continues(self, current: RawDrink, drink: RawDrink, row: Row) -> bool:
        """Whether a row that names the same drink again goes on with it; where a row is a drink it does not."""
        if slug(current.name.text) != slug(drink.name.text) or (
            not slug(drink.name.text) and current.name.text.casefold() != drink.name.text.casefold()
        ):
            return False
        if "id" in drink.values and drink.key != current.key:
            return False
        return not self._is_wide and not (ALL_POURS in self._places.columns and self._holds_many(row, current))

    def _holds_many(self, row: Row, current: RawDrink) -> bool:
        text = row.cells[self._places.columns[ALL_POURS]] if self._places.columns[ALL_POURS] < len(row.cells) else ""
        return len(split_pours(text)) > 1 or len(current.pours) > len(current.rows)

    def _value(self, drink: RawDrink, name: str, cell: Cell) -> None:
        said = drink.values.setdefault(name, [])
        if name in LISTS:
            if cell.text not in [one.text for one in said]:
                said.append(cell)
            return
        if said and said[0].text.casefold() != cell.text.casefold():
            self._faults.add(
                "import-differs", cell.row, cell.column,
                f'"{short(cell.text)}", but "{short(said[0].text)}" in row {said[0].row} of the same drink',
                "keep one of the two, or name the next drink",
            )  # fmt: skip
            drink.faulty = True
        elif not said:
            said.append(cell)

    def _pours(self, row: Row, cells: dict[str, Cell], lost: set[int], drink: RawDrink) -> Iterator[RawPour]:
        """The pours of a row, in the order of their columns."""
        for number in self._places.numbers:
            end = f" {number}" if number else ""
            found = {name: cells[f"{name}{end}"] for name in POUR_FIELDS if f"{name}{end}" in cells}
            if number in self._places.called and "amount" in found:
                found["ingredient"] = found["amount"]._replace(text=self._places.called[number])
            if number in lost or not set(found) & {"ingredient", "amount"}:
                continue
            place = found.get("amount") or found["ingredient"]
            if f"amount{end}" not in self._places.columns and f"unit{end}" not in self._places.columns:
                place = found["ingredient"]
                flags = {name: cell.text for name, cell in found.items() if name in ("fixed", "top")}
                whole = split_pours(place.text, only_numbers=True) if number else [" ".join(place.text.split())]
                for text in whole:
                    yield RawPour(place, flags, self._topped(place.column, text))
                continue
            counts = {len(cell.lines) for cell in found.values()}
            if len(counts) > 1:
                self._faults.add(
                    "import-lines", row.number, place.column, "one cell has several lines, and the next not as many",
                    "write one pour in a row",
                )  # fmt: skip
                drink.faulty = True
                drink.lost.add(ALL_POURS)
                continue
            for index in range(counts.pop()):
                yield RawPour(place, {name: cell.lines[index] for name, cell in found.items()})
        if ALL_POURS in cells and 0 not in lost:
            flags = {name: cells[name].text for name in cells if name in ("fixed", "top") and not self._places.numbers}
            for text in split_pours(cells[ALL_POURS].text):
                yield RawPour(cells[ALL_POURS], flags, text)

    def _topped(self, column: int, text: str) -> str:
        """A whole pour out of a column of what tops a drink: there a name alone is enough."""
        is_name = text[:1].isalpha() and self._places.tops(column) and not jotted_pour(text).is_top
        return f"top {text}" if is_name and jotted_pour(text).text == text else text


def unsound(raw: str, text: str | None = None, limit: int | None = None) -> tuple[str, str, str] | None:
    """What is wrong with a cell whatever it is for, as code, message and remedy; None when it is sound.

    text   the same with its blanks tidied
    limit  the most letters it may have
    """
    said = raw if text is None else text
    hidden = NO_TEXT.search(raw)
    if hidden:
        return (
            "invisible", f"an invisible character (U+{ord(hidden[0]):04X}) is in this cell", "type the cell again"
        )  # fmt: skip
    if _ERRORS.fullmatch(said):
        message = f'"{said}" is an error of the spreadsheet, not a value'
        return "import-error-value", message, "mend the formula and save again"
    if limit is not None and len(said) > limit:
        message = f"{len(said)} letters are too many for this: {short(said)}"
        return "import-too-long", message, "shorten it; is it another column's text?"
    return None


def split_pours(text: str, *, only_numbers: bool = False) -> list[str]:
    """The pours in one cell: by its lines and semicolons, and by commas where the next number starts.

    In a cell of one line, by every comma with a blank behind, unless only numbers start a pour there.

    >>> split_pours("60 ml gin,22,5 ml lime juice"), split_pours("60 ml gin, stirred")
    (['60 ml gin', '22,5 ml lime juice'], ['60 ml gin', 'stirred'])
    """
    lines = [part for part in re.split(r"[\r\n;]", text) if part.strip()]
    comma = _COMMA if len(lines) < 2 and not only_numbers else _COMMA_AND_NUMBER
    parts: Iterable[str] = _rejoined([part for line in lines for part in comma.split(line)])
    tidied = (_BULLET.sub("", " ".join(part.split())).strip(",; ") for part in parts)
    return [part for part in tidied if part]


def _rejoined(parts: Iterable[str]) -> list[str]:
    """Parts of a text, with what only says how the one before is: "20 ml lime juice, fresh" is one pour."""
    found: list[str] = []
    for part in parts:
        if found and is_only_said(part):
            found[-1] += f", {part}"
        else:
            found.append(part)
    return found


def short(text: str) -> str:
    """As much of a text as a message repeats.

    >>> len(short(300 * "x"))
    61
    """
    return text if len(text) <= 60 else f"{text[:60]}…"
