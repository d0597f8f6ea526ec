"""Which column of a spreadsheet holds what: by the map, or by the words the trade heads its columns with."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import Problem, ProblemsError
from balancer.files.house.base import read_file
from balancer.files.sheets.spreadsheet import Row, Sheet, letter
from balancer.files.yaml.document import Document, Mapping
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.validate import place, plain, validate
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


def _folded(text: str) -> str:
    return slug(text).replace("-", " ")


_MEANS: Final = {
    _folded(word): one
    for one, words in _WORDS.items()
    for word in (one, *words.split(", "))
} | {_folded(one): one for one in (*DRINK_FIELDS, *POUR_FIELDS, ALL_POURS)}  # fmt: skip


@dataclass(frozen=True)
class Places:
    """Where everything stands.

    heading_row  number of the row of the headings
    columns      column of every field, from 0
    unread       columns that hold something and are not read
    units        the unit that the heading of an amount names, by its column
    """

    heading_row: int
    headings: tuple[str, ...]
    columns: dict[str, int]
    unread: tuple[Column, ...]
    units: dict[int, str] = field(default_factory=dict)

    @property
    def numbers(self) -> list[int]:
        """The numbers of the pours that have columns of their own, 0 for the one without a number."""
        found = {number for name, number in map(numbered, self.columns) if name in ("ingredient", "amount")}
        return sorted(found)

    def heading(self, column: int) -> str:
        """A column as a person finds it: its letter and what it is headed."""
        headed = " ".join(self.headings[column].split()) if column < len(self.headings) else ""
        return f'{letter(column)} "{headed[:40]}"' if headed else letter(column)


class MapFile(NamedTuple):
    """A map and the document it came from, for pointing into it."""

    found: ImportMap
    document: Document | None = None

    def report(self, loc: tuple[str, ...], code: str, message: str, remedy: str) -> Problem:
        """A problem at a place in the map, or about the map as a whole when there is no file of it."""
        if self.document is not None and isinstance(self.document.root, Mapping):
            problem = self.document.report(code, place(self.document.root, loc), message, remedy)
            if problem is not None:
                return problem
        return Problem(code, message, remedy)


def read_map(path: Path | None) -> MapFile:
    """The map in a file, or an empty one.

    Raises ProblemsError with every mistake in it.
    """
    if path is None:
        return MapFile(ImportMap())
    document = read_file(path)
    root = document.root
    found = None
    if isinstance(root, Mapping):
        found = validate(ImportMap, plain(root), root, document)
    elif not document.found:
        document.report("shape", root or 0, "the map holds no keys", "start it like columns: {drink: Cocktail}")
    if found is None or document.found:
        raise ProblemsError(document.problems())
    return MapFile(found, document)


def recognised(heading: str) -> str | None:
    """The field that a heading means in the trade, or None.

    >>> recognised("Cocktail"), recognised("Qty #2"), recognised("Cost")
    ('drink', 'amount 2', None)
    """
    words = _folded(heading[:_CAP])
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
    means = {recognised(cell) or (_folded(cell) if _folded(cell[:_CAP]) in known else None) for cell in row.cells}
    return len(means - {None})


def mapped_headings(found: ImportMap) -> frozenset[str]:
    """The headings that a map names."""
    return frozenset(map(_folded, found.columns.values()))


def find_places(sheet: Sheet, given: MapFile) -> tuple[Places | None, list[Problem]]:
    """Where everything stands, by the map first and by the words of the trade for the rest; and what is wrong."""
    the_map = given.found
    row, problems = _heading_row(sheet, given)
    if row is None:
        return None, problems
    headings = tuple(row.cells)
    folded = [_folded(cell[:_CAP]) for cell in headings]
    columns: dict[str, int] = {}
    for name, wanted in the_map.columns.items():
        at = [index for index, cell in enumerate(folded) if cell and cell == _folded(wanted)]
        if not at and re.fullmatch(r"[A-Z]{1,2}", wanted):
            at = [index for index in range(_width(sheet)) if letter(index) == wanted]
        if len(at) == 1:
            columns[name] = at[0]
        else:
            shown = ", ".join(f'"{" ".join(cell.split())[:40]}"' for cell in headings if cell.strip())
            how = "no column" if not at else f"more than one column ({', '.join(map(letter, at))})"
            message = f'{how} of row {row.number} is headed "{wanted}"'
            remedy = f"write the column's letter; the headings are {shown}" if shown else "write the column's letter"
            problems.append(given.report(("columns", name), "import-heading", message, remedy))
    ignored = set(map(_folded, the_map.ignore))
    taken = set(columns.values())
    seen: dict[str, int] = {}
    for index, heading in enumerate(headings):
        meant = recognised(heading)
        if index in taken or folded[index] in ignored or meant is None or meant in columns:
            continue
        if meant in seen and slug(heading) == slug(meant) != slug(headings[seen[meant]]):
            seen[meant] = index  # the field's own word goes before others for it
        elif meant in seen and (slug(heading) == slug(meant)) == (slug(headings[seen[meant]]) == slug(meant)):
            problems.append(_twice(sheet, row.number, meant, seen[meant], index, headings))
        seen.setdefault(meant, index)
    columns |= seen
    if "drink" not in columns and ALL_POURS in seen and _folded(headings[seen[ALL_POURS]]) in _EITHER:
        columns["drink"] = columns.pop(ALL_POURS)
    columns = _settled(columns)
    used = set(columns.values())
    unread = tuple(
        Column(index, letter(index), " ".join(headings[index].split()) if index < len(headings) else "")
        for index in _filled(sheet, row.number)
        if index not in used and not (index < len(headings) and folded[index] and folded[index] in ignored)
    )
    units = {
        index: found[1]
        for name, index in columns.items()
        if numbered(name)[0] == "amount"
        and index < len(folded)
        and (found := _UNITS_IN_HEADING.search(re.sub(r" [0-9]+$", "", folded[index])))
    }
    return Places(row.number, headings, columns, unread, units), problems


def essential_problems(sheet: Sheet, places: Places) -> list[Problem]:
    """What keeps a spreadsheet from being read at all, now that its headings are known."""
    lacking = [] if "drink" in places.columns else ["drink"]
    if ALL_POURS not in places.columns and not any(numbered(name)[0] == "ingredient" for name in places.columns):
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


def with_column(given: MapFile, name: str, heading: str) -> MapFile:
    """A map with one column more."""
    return given._replace(found=given.found.model_copy(update={"columns": {**given.found.columns, name: heading}}))


def map_text(places: Places, used: ImportMap, path: str) -> str:
    """The map that was used, as a file."""
    lines = [f"# how {plain_or_quoted(Path(path).name)} was read", "columns:"]
    for name, index in places.columns.items():
        headed = " ".join(places.headings[index].split()) if index < len(places.headings) else ""
        twice = sum(_folded(cell) == _folded(headed) for cell in places.headings) > 1
        lines.append(f"  {name}: {plain_or_quoted(letter(index) if twice or not _folded(headed) else headed)}")
    lines.append(f"heading row: {places.heading_row}")
    lines += [f"{key}: {plain_or_quoted(text)}" for key, text in (("unit", used.unit), ("method", used.method)) if text]
    if used.delimiter:
        lines.append(f"delimiter: {'tab' if used.delimiter == chr(9) else plain_or_quoted(used.delimiter)}")
    if used.encoding:
        lines.append(f"encoding: {used.encoding}")
    left = dict.fromkeys((*used.ignore, *(column.heading for column in places.unread if column.heading)))
    if left:
        lines += ["ignore:", *(f"  - {plain_or_quoted(heading)}" for heading in left)]
    if used.ingredients:
        names = used.ingredients.items()
        lines += ["ingredients:", *(f"  {plain_or_quoted(name)}: {plain_or_quoted(to)}" for name, to in names)]
    return "\n".join(lines) + "\n"


def _heading_row(sheet: Sheet, given: MapFile) -> tuple[Row | None, list[Problem]]:
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
        first = best
    return first, []


def _twice(sheet: Sheet, row: int, name: str, first: int, second: int, headings: tuple[str, ...]) -> Problem:
    one, other = (" ".join(headings[index].split())[:40] for index in (first, second))
    both = f'"{one}"' if _folded(one) == _folded(other) else f'"{one}" and "{other}"'
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
