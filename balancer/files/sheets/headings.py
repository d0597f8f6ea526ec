"""Which column of a spreadsheet holds what: by the map, or by the words the trade heads its columns with."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from balancer.errors import Problem
from balancer.files.sheets.map_file import MapFile
from balancer.files.sheets.poured import PourColumns, by_ingredient, by_role, content, is_role, tops
from balancer.files.sheets.spreadsheet import Row, Sheet, letter
from balancer.models.import_map import ALL_POURS, DRINK_FIELDS, POUR_FIELDS, ImportMap, numbered
from balancer.models.imported import Column
from balancer.models.names import slug

_WORDS: Final = {
    "drink": "cocktail, cocktail name, drink name, name, beverage, serve, recipe name, menu item, title",
    "id": "drink id, code, sku",
    "family": "category, style, type, drink type, class",
    "method": "technique, prep, preparation, mixing, how, build method, method of preparation",
    "time": "shake time, stir time, seconds, timing",
    "glass": "glassware, vessel, glass type, served in",
    "ice": "ice type",
    "strain": "straining, strainer, strain type",
    "garnish": "garnishes, decoration",
    "dilution": "water, melt, added water, dilution percent",
    "weighed before": "weight before, before, before ice",
    "weighed after": "weight after, after, after ice",
    "steps": "instructions, directions, procedure, step",
    "extras": "extra, unmeasured, also add",
    "zero proof": "non alcoholic, alcohol free, na, zero alcohol, nonalcoholic",
    "notes": "note, comment, comments, remark, remarks, bar notes",
    "version": "revision, rev, ver",
    "date": "updated, last updated, date updated, revised",
    "by": "author, creator, created by, written by, bartender",
    "ingredient": "ingredients, ing, ingr, item, product, pour, component, liquid, ingredient name, bottle, modifier",
    "amount": "qty, quantity, measure, amt, volume, dose, how much, measurement, pour size, oz, ml, cl, amount ml, "
    "amount oz, amount cl, qty ml, qty oz, qty cl, volume ml, measure ml, measure oz, measure cl",
    "unit": "uom, units, unit of measure, measure unit",
    "fixed": "locked, do not change",
    "top": "top up, topped, lengthener",
    "pours": "spec, recipe, all ingredients, full spec, ingredients list, ingredient list, recipe text, full recipe",
}  # fmt: skip
"""Headings seen in the trade, by the field they mean; each field means itself too."""

_EITHER: Final = ("spec", "recipe")
"""Headings of all pours; of the drink's name where nothing else is."""

_UNITS_IN_HEADING: Final = re.compile(r"(?:^|\s)(oz|ml|cl)$")
_TRIED_ROWS: Final = 40
_CAP: Final = 120


def folded_heading(text: str) -> str:
    """A heading for comparing: case, marks and signs do not count."""
    return slug(text).replace("-", " ")


_MEANS: Final = {
    folded_heading(word): one
    for one, words in _WORDS.items()
    for word in (one, *words.split(", "))
} | {folded_heading(one): one for one in (*DRINK_FIELDS, *POUR_FIELDS, ALL_POURS)}  # fmt: skip


@dataclass(frozen=True)
class Places:
    """Where everything stands.

    heading_row  number of the row of the headings; 0 where there are none
    columns      column of every field, from 0
    unread       columns that hold something and are not read
    units        the unit that the heading of an amount names, by its column
    called       the ingredient of a numbered pour whose column stands for it
    doubtful     unread columns among those that are poured, and may be so too
    layout       rows, or blocks without headings
    """

    heading_row: int
    headings: tuple[str, ...]
    columns: dict[str, int]
    unread: tuple[Column, ...]
    units: dict[int, str] = field(default_factory=dict)
    called: dict[int, str] = field(default_factory=dict)
    doubtful: frozenset[int] = frozenset()
    layout: str = "rows"

    @property
    def numbers(self) -> list[int]:
        """The numbers of the pours that have columns of their own, 0 for the one without a number."""
        found = {number for name, number in map(numbered, self.columns) if name in ("ingredient", "amount")}
        return sorted(found)

    def tops(self, column: int) -> bool:
        """Whether what stands in a column tops the drink."""
        return column < len(self.headings) and tops(self.headings[column])

    def heading(self, column: int) -> str:
        """A column as a person finds it: its letter and what it is headed."""
        headed = " ".join(self.headings[column].split()) if column < len(self.headings) else ""
        return f'{letter(column)} "{headed[:40]}"' if headed else letter(column)


def recognised(heading: str) -> str | None:
    """The field that a heading means in the trade, or None.

    >>> recognised("Cocktail"), recognised("Qty #2"), recognised("Cost")
    ('drink', 'amount 2', None)
    """
    words = folded_heading(heading[:_CAP])
    if words in _MEANS:
        return _MEANS[words]
    found = re.fullmatch(r"(?P<word>.*[^\s0-9]) ?0*(?P<number>[1-9][0-9]?)", words)
    inside = re.fullmatch(r"(?P<word>\w+) (?P<number>[1-9][0-9]?) (?P<rest>\w+)", words)
    if inside:  # "ingredient 2 amount"
        meant = _MEANS.get(inside["rest"])
        return f"{meant} {inside['number']}" if meant in POUR_FIELDS else None
    meant = _MEANS.get(found["word"].strip()) if found else None
    return f"{meant} {found['number']}" if found and meant in POUR_FIELDS else None


def score(rows: tuple[Row, ...], known: frozenset[str] = frozenset()) -> int:
    """How many fields the best row of headings has; known are headings that a map names, folded."""
    return max((_score(row, known) for row in rows[:_TRIED_ROWS]), default=0)


def _score(row: Row, known: frozenset[str]) -> int:
    means = {
        recognised(cell) or (folded_heading(cell) if folded_heading(cell[:_CAP]) in known or is_role(cell) else None)
        for cell in row.cells
    }
    return len(means - {None})


def mapped_headings(found: ImportMap) -> frozenset[str]:
    """The headings that a map names."""
    return frozenset(map(folded_heading, found.columns.values()))


def find_places(
    sheet: Sheet, given: MapFile, is_liquid: Callable[[str], bool] = lambda _: False
) -> tuple[Places | None, list[Problem]]:
    """Where everything stands, by the map first and by the words of the trade for the rest; and what is wrong.

    is_liquid  whether something that can be poured has this name
    """
    if given.found.layout == "blocks":
        return IN_BLOCKS, []
    row, problems = _heading_row(sheet, given, is_liquid)
    if row is None:
        return None, problems
    return _Finder(sheet, row, given, problems).places(is_liquid), problems


class _Finder:
    """Finds what the columns below one row of headings hold; what is wrong is added to the problems."""

    def __init__(self, sheet: Sheet, row: Row, given: MapFile, problems: list[Problem]) -> None:
        self.sheet = sheet
        self.row = row
        self.given = given
        self.problems = problems
        self.headings = tuple(row.cells)
        self.folded = [folded_heading(cell[:_CAP]) for cell in self.headings]
        ignored = set(map(folded_heading, given.found.ignore))
        self.passed = {index for index, cell in enumerate(self.folded) if cell and cell in ignored}

    def places(self, is_liquid: Callable[[str], bool]) -> Places:
        """Where everything stands."""
        columns = self._mapped()
        said = self._said()
        if not said and not _says_pours(columns, self.headings):
            columns |= by_role(self.sheet, self.row.number, self.headings, {*columns.values(), *self.passed})
        columns |= self._recognised(columns, {*columns.values(), *said, *self.passed})
        columns = _settled(self._with_name(columns))
        found = PourColumns({}, {}, {})
        if "drink" in columns and not _says_pours(columns, ()):
            plain = {name: index for name, index in columns.items() if numbered(name)[0] not in ("amount", "unit")}
            taken = {*plain.values(), *self.passed}
            poured = by_ingredient(self.sheet, self.row.number, self.headings, taken, is_liquid, said)
            found = poured or found
            columns = plain | poured.columns if poured else columns
        return Places(
            self.row.number,
            self.headings,
            columns,
            self._unread({*columns.values(), *self.passed}),
            self._units(columns) | found.units,
            found.called,
            frozenset(found.doubtful),
        )

    def _at(self, wanted: str) -> list[int]:
        """The columns that a map names by their heading, or by a letter."""
        at = [index for index, cell in enumerate(self.folded) if cell and cell == folded_heading(wanted)]
        if not at and re.fullmatch(r"[A-Z]{1,2}", wanted):
            at = [index for index in range(_width(self.sheet)) if letter(index) == wanted]
        return at

    def _mapped(self) -> dict[str, int]:
        """The columns that the map names."""
        columns: dict[str, int] = {}
        for name, wanted in self.given.found.columns.items():
            at = self._at(wanted)
            if len(at) == 1:
                columns[name] = at[0]
                continue
            shown = ", ".join(f'"{" ".join(cell.split())[:40]}"' for cell in self.headings if cell.strip())
            how = "no column" if not at else f"more than one column ({', '.join(map(letter, at))})"
            message = f'{how} of row {self.row.number} is headed "{wanted}"'
            remedy = f"write the column's letter; the headings are {shown}" if shown else "write the column's letter"
            self.problems.append(self.given.report(("columns", name), "import-heading", message, remedy))
        return columns

    def _said(self) -> list[int]:
        """The columns that the map says stand for an ingredient each."""
        found: list[int] = []
        for wanted in self.given.found.ingredient_columns:
            at = self._at(wanted)
            found += at
            if not at:
                message = f'no column of row {self.row.number} is headed "{wanted}"'
                where = ("ingredient columns",)
                remedy = "write its heading, or its letter"
                self.problems.append(self.given.report(where, "import-heading", message, remedy))
        return found

    def _recognised(self, columns: dict[str, int], taken: set[int]) -> dict[str, int]:
        """The columns that words of the trade head, beside those that are known already."""
        seen: dict[str, int] = {}
        headings = self.headings
        for index, heading in enumerate(headings):
            meant = recognised(heading)
            if index in taken or meant is None or meant in columns:
                continue
            if meant in seen and slug(heading) == slug(meant) != slug(headings[seen[meant]]):
                seen[meant] = index  # the field's own word goes before others for it
            elif meant in seen and (slug(heading) == slug(meant)) == (slug(headings[seen[meant]]) == slug(meant)):
                self.problems.append(_twice(self.sheet, self.row.number, meant, seen[meant], index, headings))
            seen.setdefault(meant, index)
        return seen

    def _with_name(self, columns: dict[str, int]) -> dict[str, int]:
        """The same with a column for the drink's name: under "Spec", or in a corner that has no heading."""
        if "drink" in columns:
            return columns
        given = self.given.found.columns
        if ALL_POURS in columns and ALL_POURS not in given and self.folded[columns[ALL_POURS]] in _EITHER:
            columns["drink"] = columns.pop(ALL_POURS)
        elif self.headings and not self.headings[0].strip() and content(self.sheet, self.row.number, 0) == "names":
            columns["drink"] = 0
        return columns

    def _unread(self, used: set[int]) -> tuple[Column, ...]:
        headings = (*self.headings, *[""] * _width(self.sheet))
        filled = [index for index in _filled(self.sheet, self.row.number) if index not in used]
        return tuple(Column(index, letter(index), " ".join(headings[index].split())) for index in filled)

    def _units(self, columns: dict[str, int]) -> dict[int, str]:
        """The units that headings of amounts name."""
        amounts = [index for name, index in columns.items() if numbered(name)[0] == "amount"]
        headed = {index: re.sub(r" [0-9]+$", "", self.folded[index]) for index in amounts if index < len(self.folded)}
        found = {index: _UNITS_IN_HEADING.search(heading) for index, heading in headed.items()}
        return {index: unit[1] for index, unit in found.items() if unit}


IN_BLOCKS: Final = Places(0, (), {}, (), layout="blocks")
"""Of a sheet in blocks: there are no columns."""


def _says_pours(columns: Iterable[str], headings: Iterable[str]) -> bool:
    """Whether a column for ingredients or for whole pours is known, by the map or by a heading of its own."""
    words = [meant for heading in headings if not is_role(heading) and (meant := recognised(heading))]
    return any(name == ALL_POURS or numbered(name)[0] == "ingredient" for name in (*columns, *words))


def essential_problems(sheet: Sheet, places: Places) -> list[Problem]:
    """What keeps a spreadsheet from being read at all, now that its headings are known."""
    if places.layout == "blocks":
        return []
    lacking = [] if "drink" in places.columns else ["drink"]
    if (
        ALL_POURS not in places.columns
        and not places.called
        and not any(numbered(name)[0] == "ingredient" for name in places.columns)
    ):
        lacking.append("ingredient")
    elif ALL_POURS in places.columns and not any(_starts_as_pour(sheet, places)):
        lacking.append("amount")
    shown = ", ".join(f"{column.letter} {column.heading[:30]}".strip() for column in places.unread[:12])
    return [
        Problem(
            "import-heading",
            f"row {places.heading_row}: no column is known to hold the {name}",
            f"say which in a map (--map F.yaml): columns: {{{name}: HEADING}}"
            + (f"; not placed: {shown}" * bool(shown)),
            sheet.path,
            places.heading_row,
        )
        for name in lacking
    ]


def _starts_as_pour(sheet: Sheet, places: Places) -> Iterator[bool]:
    """Whether the cells for whole pours start with an amount: where none does, the amounts are in another column."""
    column = places.columns[ALL_POURS]
    cells = [row.cells[column].strip() for row in sheet.rows[places.heading_row :] if column < len(row.cells)]
    filled = [cell for cell in cells if cell]
    yield not filled
    for cell in filled:
        yield cell[0].isnumeric() or cell[0] in ".,-•*" or cell.casefold().startswith("rinse")


def _heading_row(sheet: Sheet, given: MapFile, is_liquid: Callable[[str], bool]) -> tuple[Row | None, list[Problem]]:
    wanted = given.found.heading_row
    if wanted is not None:
        if wanted <= len(sheet.rows) and not sheet.rows[wanted - 1].is_empty:
            return sheet.rows[wanted - 1], []
        what = "is empty" if wanted <= len(sheet.rows) else f"does not exist: there are {len(sheet.rows)}"
        message = f"row {wanted} {what}"
        return None, [given.report(("heading row",), "import-heading", message, "name the row of the headings")]
    known = mapped_headings(given.found)
    tried = sheet.rows[:_TRIED_ROWS]
    best = max(tried, key=lambda row: _score(row, known), default=None)
    if best is not None and _score(best, known) >= 2:
        return best, []
    first = next((row for row in tried if not row.is_empty), None)
    if first is None:
        return None, [
            Problem("import-empty", "nothing is in this file", "save the sheet with the specs as CSV", sheet.path)
        ]
    if best is not None and _score(best, known) == 1:
        named = {row.number: sum(map(is_liquid, row.cells)) for row in tried if _score(row, known) == 1}
        first = max((row for row in tried if row.number in named), key=lambda row: named[row.number])
    return first, []


def _twice(sheet: Sheet, row: int, name: str, first: int, second: int, headings: tuple[str, ...]) -> Problem:
    one, other = (" ".join(headings[index].split())[:40] for index in (first, second))
    both = f'"{one}"' if folded_heading(one) == folded_heading(other) else f'"{one}" and "{other}"'
    return Problem(
        "import-heading-twice",
        f"row {row}: columns {letter(first)} and {letter(second)}, {both}, both seem to hold the {name}",
        f"say which in the map, like columns: {{{name}: {letter(first)}}}, or number them: {name} 1, {name} 2",
        sheet.path, row, second + 1,
    )  # fmt: skip


def _settled(columns: dict[str, int]) -> dict[str, int]:
    """One ingredient column without amounts and beside no numbered one holds whole pours, as does a list of them."""
    if (
        "pours" not in columns
        and set(columns) & {"ingredient"}
        and not any(numbered(name)[0] in ("amount", "unit") for name in columns)
        and not any(numbered(name)[1] for name in columns)
    ):
        columns = {("pours" if name == "ingredient" else name): index for name, index in columns.items()}
    return columns


def _width(sheet: Sheet) -> int:
    return max((len(row.cells) for row in sheet.rows), default=0)


def _filled(sheet: Sheet, heading_row: int) -> list[int]:
    """The columns with anything in them, from the row of the headings on."""
    found: set[int] = set()
    for row in sheet.rows[heading_row - 1 :]:
        if row.flaw is None:
            found |= {index for index, cell in enumerate(row.cells) if cell.strip()}
    return sorted(found)
