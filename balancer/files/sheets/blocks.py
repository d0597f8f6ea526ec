"""A sheet without headings: each drink a block of a name, its pours, and lines like "Method: shake"; blanks between.

Tin Lantern
1½ oz gin
3/4 oz lemon juice
Method: shake
Glass: coupe
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import Final, NamedTuple

from balancer.files.sheets.headings import recognised
from balancer.files.sheets.jotted import is_amount, jotted_pour
from balancer.files.sheets.poured import is_not_poured
from balancer.files.sheets.rows import LISTS, MOST_DRINKS, MOST_LETTERS, Cell, Faults, RawDrink, RawPour, short, unsound
from balancer.files.sheets.spreadsheet import Row, Sheet
from balancer.models.import_map import DRINK_FIELDS, POUR_FIELDS
from balancer.models.imported import SkippedRow
from balancer.models.methods import method_of
from balancer.models.names import slug
from balancer.models.pour import RINSE

_BULLET: Final = re.compile(r"^[•·*‣–-]\s+")
_LABEL: Final = re.compile(r"(?P<label>[^\W\d][^:0-9]{0,30}?)\s*:\s*(?P<said>.*)", re.DOTALL)
_GARNISH: Final = re.compile(r"garnish(?:ed)?(?:\s+with)?\s+(?:an?\s+)?(?P<said>\S.*)", re.IGNORECASE)
_SERVED: Final = re.compile(r"serve[ds]?\s+(?:up\s+)?in\s+(?:an?\s+)?(?P<said>\S.*)", re.IGNORECASE)
_POURS: Final = frozenset(["ingredients", "ingredient", "spec", "recipe", "pours", "build"])
_ENDS: Final = re.compile(r"(?<![0-9.,/])[0-9]{1,3}$")
_TRIED: Final = 400
_FIELDS: Final = {*DRINK_FIELDS} - {"drink"}


class _Line(NamedTuple):
    """One row: its filled cells with their columns, and all of it as one text."""

    number: int
    cells: tuple[Cell, ...]
    text: str

    @property
    def place(self) -> Cell:
        return Cell(self.number, self.cells[0].column, self.text)

    @property
    def is_heading(self) -> bool:
        """Whether it heads the pours below: "Ingredient, Amount"."""
        means = [recognised(cell.text) for cell in self.cells]
        return all(meant in POUR_FIELDS or cell.text.strip(":").casefold() in _POURS
                   for meant, cell in zip(means, self.cells, strict=True))  # fmt: skip


def in_blocks(sheet: Sheet) -> bool:
    """Whether a sheet looks like blocks: most of those with pours begin with a line of one cell that is no pour."""
    found = [block for block in _blocks(sheet.rows[:_TRIED], sheet.delimiter) if any(map(_is_pour, block[1:]))]
    return 2 * sum(len(block[0].cells) == 1 and not _is_pour(block[0]) for block in found) > len(found)


class Blocks:
    """Reads the blocks of a sheet into drinks."""

    def __init__(self, sheet: Sheet, faults: Faults, ignored: Iterable[str] = ()) -> None:
        self._ignored = set(map(slug, ignored))
        self.drinks: list[RawDrink] = []
        self.skipped: list[SkippedRow] = []
        self._faults = faults
        self._first: dict[str, RawDrink] = {}
        for row in sheet.rows:
            if row.flaw is not None:
                faults.add(row.flaw[0], row.number, -1, row.flaw[1], row.flaw[2])
        title: _Line | None = None
        for block in _blocks(sheet.rows, sheet.delimiter):
            if len(self.drinks) > MOST_DRINKS:
                break
            if len(block) == 1 and not _is_pour(block[0]) and not _label(block[0]):
                self._pass_over(title)
                title = block[0]
            elif _is_pour(block[0]) or _label(block[0]) or block[0].is_heading:
                self._block(title, block)
                title = None
            else:
                self._pass_over(title)
                self._block(block[0], block[1:])
                title = None
        self._pass_over(title)
        for drink in self.drinks:
            if not drink.pours and not drink.faulty:
                faults.add(
                    "import-no-pours", drink.name.row, drink.name.column, f'"{short(drink.name.text)}" has no pours',
                    "write them, or delete the line if it is a title",
                )  # fmt: skip
                drink.faulty = True

    def _pass_over(self, title: _Line | None) -> None:
        if title is not None:
            self.skipped.append(SkippedRow(title.number, f'"{short(title.text)}" alone'))

    def _block(self, named: _Line | None, lines: list[_Line]) -> None:
        """The lines of one drink. Without a name they go on with the drink above."""
        if named is None and not self.drinks:
            place = lines[0].place
            self._faults.add(
                "import-no-drink", place.row, place.column, "no drink is named here or above",
                "write the drink's name above its lines",
            )  # fmt: skip
            return
        drink = self.drinks[-1] if named is None else self._named(named)
        section = ""
        for line in lines:
            section = self._line(drink, line, section)
            drink.rows.append(line.number)

    def _named(self, line: _Line) -> RawDrink:
        drink = RawDrink(Cell(line.number, line.cells[0].column, line.text[:MOST_LETTERS]), [line.number])
        fault = unsound(line.text, limit=MOST_LETTERS)
        if fault is not None:
            self._fault(drink, line, *fault)
        twin = self._first.setdefault(drink.key, drink)
        if twin is not drink:
            told = f'"{short(line.text)}" is in row {twin.name.row} already'
            self._fault(drink, line, "import-drink-twice", told, "give one of them another name, or delete it")
            twin.faulty = True
        self.drinks.append(drink)
        return drink

    def _line(self, drink: RawDrink, line: _Line, section: str) -> str:
        """One line below a name, under the label of an earlier line if there is one. The label that counts next."""
        fault = unsound(line.text)
        if fault is not None:
            self._fault(drink, line, *fault)
            return section
        labelled = _label(line)
        if labelled is not None:
            label, said = labelled
            if said:
                self._value(drink, label, line, said)
            return "" if said else label
        if line.is_heading:
            return ""
        if section:
            self._value(drink, section, line, line.text)
            return section
        if _is_pour(line):
            drink.pours.append(_pour(line))
            return ""
        found = _GARNISH.fullmatch(line.text) or _SERVED.fullmatch(line.text)
        if found:
            self._value(drink, "garnish" if found.re is _GARNISH else "glass", line, found["said"])
        elif method_of(re.split(r"\W+", line.text)[0]) is not None and drink.pours:
            self._value(drink, "steps" if "method" in drink.values else "method", line, line.text)
        elif method_of(line.text) is not None:
            self._value(drink, "method", line, line.text)
        else:
            self._fault(
                drink, line, "import-line", f'"{short(line.text)}" is neither a pour nor like "Method: shake"',
                "write its amount, or a word with a colon before it; a title has a blank line around it",
            )  # fmt: skip
        return ""

    def _value(self, drink: RawDrink, name: str, line: _Line, text: str) -> None:
        if name not in _FIELDS:
            if is_not_poured(name) or slug(name) in self._ignored:
                self.skipped.append(SkippedRow(line.number, f'"{short(line.text)}"'))
            else:
                self._fault(
                    drink, line, "import-line", f'"{short(name)}" is nothing known here',
                    "write Notes: before it, or list it under ignore in the map",
                )  # fmt: skip
            return
        fault = unsound(text)
        if fault is not None:
            self._fault(drink, line, *fault)
            return
        said = drink.values.setdefault(name, [])
        if said and name == "method":
            said = drink.values.setdefault("steps", [])
        elif said and name not in LISTS and said[0].text.casefold() != text.casefold():
            self._fault(
                drink, line, "import-differs",
                f'"{short(text)}", but "{short(said[0].text)}" in row {said[0].row} of the same drink',
                "keep one of the two, or name the next drink",
            )  # fmt: skip
            return
        said.append(Cell(line.number, line.cells[0].column, text))

    def _fault(self, drink: RawDrink, line: _Line, code: str, message: str, remedy: str) -> None:
        self._faults.add(code, line.number, line.cells[0].column, message, remedy)
        drink.faulty = True


def _blocks(rows: Iterable[Row], delimiter: str) -> Iterator[list[_Line]]:
    """The rows between empty ones; one with a flaw is told elsewhere and breaks nothing."""
    block: list[_Line] = []
    for row in rows:
        if row.is_empty:
            if block:
                yield block
            block = []
        elif row.flaw is None:
            block.append(_line_of(row, delimiter))
    if block:
        yield block


def _line_of(row: Row, delimiter: str) -> _Line:
    cells = [Cell(row.number, index, " ".join(cell.split())) for index, cell in enumerate(row.cells) if cell.strip()]
    cells[0] = cells[0]._replace(text=_BULLET.sub("", cells[0].text))
    if delimiter == ",":
        cells = _mended(cells)
    starts = is_amount(cells[0].text) or (is_amount(cells[-1].text) and not cells[0].text[:1].isnumeric())
    between = " " if starts or delimiter not in ",;" else f"{delimiter} "
    return _Line(row.number, tuple(cells), between.join(cell.text for cell in cells))


def _mended(cells: list[Cell]) -> list[Cell]:
    """Cells with the decimal commas that parted some: nothing is in quotes in a list that somebody typed."""
    found = cells[:1]
    for before, cell in pairwise(cells):
        if cell.column == before.column + 1 and _ENDS.search(before.text) and cell.text[:1].isdigit():
            found[-1] = found[-1]._replace(text=f"{found[-1].text},{cell.text}")
        else:
            found.append(cell)
    return found


def _label(line: _Line) -> tuple[str, str] | None:
    """A label and what stands behind it: the field it means, "" for the pours, or itself where nobody knows it."""
    found = _LABEL.fullmatch(line.text)
    label, said = (found["label"], found["said"].strip(",; ")) if found else ("", "")
    if not found and len(line.cells) > 1 and recognised(line.cells[0].text) in _FIELDS:
        label, said = line.cells[0].text, line.text[len(line.cells[0].text) :].strip(",; ")
    if not label:
        return None
    if label.casefold() in _POURS and not said:
        return "", ""
    meant = recognised(label)
    if meant in _FIELDS:
        return str(meant), said
    return None if is_amount(said) and not is_not_poured(label) else (label, said)


def _is_pour(line: _Line) -> bool:
    """Whether a line says an amount and of what; or rather seems to, so that what is wrong with it is told."""
    jotted = jotted_pour(line.text)
    if jotted.is_top or jotted.text.casefold().startswith(f"{RINSE} "):
        return True
    first = jotted.text[:1]
    return ((first.isnumeric() or first in ".½¼¾") and len(jotted.text.split()) > 1) or _named_first(line) is not None


def _named_first(line: _Line) -> tuple[str, str] | None:
    """Name and amount of a line whose last cell, or last two, are an amount."""
    texts = [cell.text for cell in line.cells]
    for size in (1, 2):
        amount = " ".join(texts[-size:])
        if len(texts) > size and is_amount(amount) and not texts[0][:1].isnumeric():
            return " ".join(texts[:-size]), amount
    return None


def _pour(line: _Line) -> RawPour:
    named = _named_first(line)
    if named is not None and len(line.cells) > 1:
        return RawPour(line.place, {"ingredient": named[0], "amount": named[1]})
    return RawPour(line.place, whole=line.text)
