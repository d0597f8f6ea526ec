"""The workbook that a careful person would make of a menu: four sheets, every figure a formula. Written as .ods.

Drinks     one line a drink: sugar as designed, as written tonight, the verdict, and what comes of it
Pours      one line a pour: its sugar, its new pour by °Bx ratio and by sugar, on the jigger, and what is poured
Stock      everything that is poured: its sugar in a ml (or in a g), at standard and as it reads tonight
Density    the printed table
"""

from __future__ import annotations

import zipfile
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Final, NamedTuple
from xml.sax.saxutils import escape, quoteattr

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import contribute
from balancer.models.pour import RINSE
from tests.benchmarks.against.rules import TABLE, ingredient_sugar

Cell = float | str
"""A number, a text, or a formula, which begins with "=" in the words of OpenFormula."""
_MIMETYPE: Final = "application/vnd.oasis.opendocument.spreadsheet"
_NAMESPACES: Final = " ".join(
    f'xmlns:{name}="urn:oasis:names:tc:opendocument:xmlns:{name}:{version}"'
    for name, version in (("office", "1.0"), ("table", "1.0"), ("text", "1.0"), ("of", "1.2"))
)
_MANIFEST: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" manifest:version="1.3">'
    f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{_MIMETYPE}"/>'
    '<manifest:file-entry manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
)
_SETTINGS: Final = '<table:calculation-settings table:use-regular-expressions="false" table:use-wildcards="true"/>'
"""As the office suite itself writes a new workbook: without them a name would be searched as a pattern."""


class Line(NamedTuple):
    """One pour as it is typed into the workbook: in ml, or in g where it is weighed and by_weight says so."""

    drink: str
    what: str
    amount: float
    by_weight: bool
    fixed: bool


class Workbook(NamedTuple):
    """Its sheets by name, each a list of rows; what is poured; and the rows of the syrups on the sheet Stock, by id."""

    sheets: dict[str, list[list[Cell]]]
    lines: list[Line]
    syrup_rows: dict[str, int]


def lines_of(bar: Bar) -> list[Line]:
    """Every pour of the menu, in the order of its drinks; rinses do not count."""
    found = []
    for drink in bar.specs.drinks.values():
        for part in contribute(bar, drink, {}, {}):
            if part.pour.amount.unit == RINSE:
                continue
            weighed = part.pour.amount.kind == "mass" or part.volume_ml is None or part.liquid.density is None
            amount = part.mass_g if weighed else part.volume_ml or 0.0
            found.append(Line(drink.name, part.liquid.name, round(amount, 6), weighed, part.pour.fixed))
    return found


def build(bar: Bar, strengths: Mapping[str, float], *, in_blocks: bool = False) -> Workbook:
    """The workbook of a menu.

    strengths  what every syrup reads tonight, °Bx by id
    in_blocks  a drink's sums go over its own lines alone, which are then never sorted, and not over the whole list
    """
    house, lines = bar.specs.house, lines_of(bar)
    stock, rows = _stock(bar, strengths, {line.what for line in lines})
    sheets: dict[str, list[list[Cell]]] = {
        "Drinks": _drinks(lines, bar.step_ml, house.tolerance, in_blocks=in_blocks),
        "Pours": _pours(lines, len(stock)),
        "Stock": stock,
        "Density": [["°Bx", "g/ml"], *(list[Cell](row) for row in TABLE)],
    }
    return Workbook(sheets, lines, rows)


def _stock(bar: Bar, strengths: Mapping[str, float], poured: set[str]) -> tuple[list[list[Cell]], dict[str, int]]:
    """name, sugar share, standard °Bx, tonight °Bx, g/ml at standard, tonight; sugar in a ml (or g) then and now."""
    rows: list[list[Cell]] = [["what", "share", "standard", "tonight", "g/ml", "g/ml now", "sugar/ml", "now", "by g"]]
    places = {}
    for syrup in bar.specs.syrups.values():
        row = len(rows) + 1
        places[syrup.id] = row
        share = syrup.sugar_share / 100.0
        standard = round(bar.standard(syrup.id), 2)
        densities = [f"={_interpolated(f'[.{column}{row}]')}" for column in "CD"]
        sugars = [f"=[.{brix}{row}]/100*[.{weighs}{row}]*[.B{row}]" for brix, weighs in ("CE", "DF")]
        rows.append([syrup.name, share, standard, strengths.get(syrup.id, standard), *densities, *sugars, 0.0])
    for ingredient in bar.specs.ingredients.values():
        if ingredient.name in poured:
            per_ml, per_g = ingredient_sugar(ingredient)
            row = len(rows) + 1
            rows.append([ingredient.name, 1.0, 0.0, 0.0, 0.0, 0.0, per_ml, f"=[.G{row}]", per_g])
    return rows, places


def _interpolated(brix: str) -> str:
    """A formula for the density at a strength: between two rows of the table, on a straight line."""
    last = len(TABLE) + 1
    keys, values = f"[$Density.$A$2:.$A${last}]", f"[$Density.$B$2:.$B${last}]"
    at = f"MATCH({brix};{keys};1)"
    low, high = f"INDEX({keys};{at})", f"INDEX({keys};{at}+1)"
    below, above = f"INDEX({values};{at})", f"INDEX({values};{at}+1)"
    return f"{below}+({brix}-{low})*({above}-{below})/({high}-{low})"


def _pours(lines: Sequence[Line], stock_rows: int) -> list[list[Cell]]:
    """drink, what, amount, moves; sugar per ml then and now, standard and tonight's °Bx;

    sugar designed, as written; by ratio, on the jigger; by sugar, on the jigger; poured, its sugar.
    """
    head = ["drink", "what", "amount", "moves", "sugar/ml", "now", "standard", "tonight", "sugar", "sugar now"]
    rows: list[list[Cell]] = [[*head, "ratio", "jigger", "by sugar", "jigger", "poured", "sugar then"]]
    names, last = f"[$Stock.$A$2:.$A${stock_rows}]", len({line.drink for line in lines}) + 2
    for number, line in enumerate(lines, start=2):
        at = f"MATCH([.B{number}];{names};0)"

        def of(column: str, at: str = at) -> str:
            return f"=INDEX([$Stock.${column}$2:.${column}${stock_rows}];{at})"

        sugar = [of("I"), of("I")] if line.by_weight else [of("G"), of("H")]
        syrup = f"AND([.D{number}]=1;[.G{number}]>0)"
        verdict = f"INDEX([$Drinks.$E$3:.$E${last}];MATCH([.A{number}];[$Drinks.$A$3:.$A${last}];0))"
        rows.append(
            [
                line.drink,
                line.what,
                line.amount,
                0.0 if line.fixed or line.by_weight else 1.0,
                *sugar,
                of("C"),
                of("D"),
                f"=[.C{number}]*[.E{number}]",
                f"=[.C{number}]*[.F{number}]",
                f"=IF({syrup};[.C{number}]*[.G{number}]/[.H{number}];[.C{number}])",
                f"=IF({syrup};{_on_jigger('K', number)};[.C{number}])",
                f"=IF({syrup};[.C{number}]*[.E{number}]/[.F{number}];[.C{number}])",
                f"=IF({syrup};{_on_jigger('M', number)};[.C{number}])",
                f'=IF({verdict}="as written";[.C{number}];[.N{number}])',
                f"=[.O{number}]*[.F{number}]",
            ]
        )
    return rows


def _on_jigger(column: str, row: int) -> str:
    """A formula for the nearest of a jigger's pours and the written one."""
    exact, written, step = f"[.{column}{row}]", f"[.C{row}]", "[$Drinks.$J$1]"
    marked = f"MAX({step};{step}*INT({exact}/{step}+0.5))"
    return f"IF(ABS({exact}-{written})<=ABS({marked}-{exact});{written};{marked})"


def _drinks(lines: Sequence[Line], step: float, tolerance: float, *, in_blocks: bool) -> list[list[Cell]]:
    """name; sugar designed, as written tonight, off by %; verdict; sugar as poured, off by %."""
    last = len(lines) + 1
    rows: list[list[Cell]] = [
        ["tolerance %", tolerance, "", "", "", "", "", "", "jigger", step],
        ["drink", "sugar", "sugar now", "off %", "verdict", "sugar then", "off % then"],
    ]
    spans = _spans(lines)
    for number, (name, (first, end)) in enumerate(spans.items(), start=3):

        def total(column: str, number: int = number, first: int = first, end: int = end) -> str:
            if in_blocks:
                return f"=SUM([$Pours.{column}{first}:.{column}{end}])"
            return f"=SUMIF([$Pours.$A$2:.$A${last}];[.A{number}];[$Pours.${column}$2:.${column}${last}])"

        rows.append(
            [
                name,
                total("I"),
                total("J"),
                f"=IF([.B{number}]=0;0;100*([.C{number}]/[.B{number}]-1))",
                f'=IF(ABS([.D{number}])<=[.$B$1];"as written";"new pour")',
                total("P"),
                f"=IF([.B{number}]=0;0;100*([.F{number}]/[.B{number}]-1))",
            ]
        )
    return rows


def _spans(lines: Sequence[Line]) -> dict[str, tuple[int, int]]:
    """First and last row of every drink on the sheet Pours."""
    found: dict[str, tuple[int, int]] = {}
    for row, line in enumerate(lines, start=2):
        found[line.drink] = (found.get(line.drink, (row, row))[0], row)
    return found


def save(sheets: Mapping[str, Iterable[Iterable[Cell]]], path: Path) -> None:
    """The sheets as an OpenDocument spreadsheet without values: whoever opens it works the formulas out."""
    tables = "".join(
        f"<table:table table:name={quoteattr(name)}>{''.join(map(_row, rows))}</table:table>"
        for name, rows in sheets.items()
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {_NAMESPACES} office:version="1.3">'
        f"<office:body><office:spreadsheet>{_SETTINGS}{tables}</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("mimetype", _MIMETYPE, zipfile.ZIP_STORED)
        packed.writestr("META-INF/manifest.xml", _MANIFEST)
        packed.writestr("content.xml", content)


def _row(cells: Iterable[Cell]) -> str:
    return f"<table:table-row>{''.join(map(_cell, cells))}</table:table-row>"


def _cell(cell: Cell) -> str:
    if isinstance(cell, float):
        return f'<table:table-cell office:value-type="float" office:value="{cell!r}"/>'
    if cell.startswith("="):
        return f"<table:table-cell table:formula={quoteattr(f'of:{cell}')}/>"
    if not cell:
        return "<table:table-cell/>"
    return f'<table:table-cell office:value-type="string"><text:p>{escape(cell)}</text:p></table:table-cell>'
