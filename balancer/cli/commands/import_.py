"""Specs out of a spreadsheet: read, ask what nobody can know, plan, write."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Final

import typer
from pydantic_core import PydanticCustomError

from balancer.cli.desk import Desk
from balancer.cli.runner import Answer, answering
from balancer.errors import ProblemsError, UsageError
from balancer.files.house.pantry_copy import from_pantry
from balancer.files.sheets.headings import (
    MapFile,
    Places,
    essential_problems,
    find_places,
    map_text,
    mapped_headings,
    read_map,
    score,
    with_column,
)
from balancer.files.sheets.plan import plan, unreadable
from balancer.files.sheets.spreadsheet import Sheet, read_sheet
from balancer.files.sheets.write import save_map as write_map
from balancer.files.sheets.write import write as write_files
from balancer.models.import_map import is_field, pour_unit
from balancer.models.imported import Column, Imported
from balancer.models.pantry import PantryEntry
from balancer.output.data.import_ import import_data
from balancer.output.screen.import_ import import_text, pantry_question

_MOST_ASKED: Final = 20
_EXAMPLES: Final = 3


@answering(lists=True)
def command(
    desk: Desk,
    file: Annotated[Path, typer.Argument(metavar="F.csv", help="The spreadsheet, saved as CSV.")],
    map_file: Annotated[Path | None, typer.Option("--map", metavar="F.yaml", help="Which column holds what.")] = None,
    save_map: Annotated[
        Path | None, typer.Option("--save-map", metavar="F.yaml", help="Write the map that was used, to keep and edit.")
    ] = None,
    unit: Annotated[str | None, typer.Option("--unit", metavar="UNIT", help="Of amounts that have none.")] = None,
    method: Annotated[str | None, typer.Option("--method", metavar="WORD", help="Of drinks that have none.")] = None,
    from_the_pantry: Annotated[
        bool, typer.Option("--pantry", help="Take from the pantry what it has by the very name; else --write asks.")
    ] = False,
    write: Annotated[
        bool, typer.Option("--write", "-w", help="Write the files; without it nothing is written.")
    ] = False,
) -> Answer:
    """Drink specs out of a spreadsheet: first what would be written and every fault with its row, then the files."""
    before = desk.loaded
    given = _with_options(read_map(map_file), unit, method)
    known = mapped_headings(given.found)
    sheet = read_sheet(
        file, encoding=given.found.encoding, delimiter=given.found.delimiter, score=lambda rows: score(rows, known)
    )
    places, problems = find_places(sheet, given)
    if places is not None and not problems and is_terminal():
        given, places = _asked(sheet, given, places)
    if places is not None and not problems:
        problems = essential_problems(sheet, places)
    if places is None or problems:
        planned = unreadable(sheet, places, problems)
    else:
        folder = desk.own_folder if write else desk.folder
        planned = plan(folder, before, sheet, places, given)
        wanted = _wanted(planned.result, take_all=from_the_pantry, ask=write and not desk.as_json and is_terminal())
        if wanted:
            planned = plan(folder, before, sheet, places, given, from_pantry(folder, wanted))
        if save_map is not None:
            write_map(save_map, map_text(places, given.found, sheet.path))
    result = write_files(planned) if write and planned.files else planned.result
    return Answer(lambda: import_text(result), lambda: import_data(result), code=1 if result.problems else 0)


def _wanted(result: Imported, *, take_all: bool, ask: bool) -> list[PantryEntry]:
    """What to take out of the pantry: all that it has by the very name, or what a person says; never unasked."""
    offered = [(one.name, one.pantry) for one in result.ingredients if one.pantry]
    if not take_all:
        offered = offered[:_MOST_ASKED] if ask else []
    return [one for name, one in offered if take_all or typer.confirm(pantry_question(name, one), err=True)]


def is_terminal() -> bool:
    """Whether somebody sits there who can be asked."""
    return sys.stdin.isatty()


def _with_options(given: MapFile, unit: str | None, method: str | None) -> MapFile:
    """The map with what the command line says in its place."""
    said = {}
    if unit is not None:
        try:
            said["unit"] = pour_unit(unit)
        except PydanticCustomError as error:
            context = error.context or {}
            raise UsageError("usage", f"--unit: {context.get('message')}", str(context.get("remedy", ""))) from None
    if method is not None:
        if not method.strip():
            raise UsageError("usage", "--method: nothing is written here", "write a method, like shaken")
        said["method"] = " ".join(method.split())
    return given._replace(found=given.found.model_copy(update=said)) if said else given


def _asked(sheet: Sheet, given: MapFile, places: Places) -> tuple[MapFile, Places]:
    """The map with what a person says of the columns that have no place yet."""
    for column in places.unread[:_MOST_ASKED]:
        field = _ask(sheet, places, column)
        if field:
            given = with_column(given, field, column.letter)
    again, problems = find_places(sheet, given)
    if again is None or problems:
        raise ProblemsError(problems)
    return given, again


def _ask(sheet: Sheet, places: Places, column: Column) -> str | None:
    rows = sheet.rows[places.heading_row :]
    cells = (row.cells[column.place] for row in rows if column.place < len(row.cells) and not row.flaw)
    seen = list(dict.fromkeys(" ".join(cell.split())[:20] for cell in cells if cell.strip()))[:_EXAMPLES]
    while True:
        question = f'column {column.letter} "{column.heading}" holds {", ".join(seen) or "nothing"}: what is it?'
        known = "drink, ingredient, amount, glass, …; Enter: not read"
        said = str(typer.prompt(f"{question} ({known})", "", show_default=False, err=True))
        field = " ".join(said.split()).casefold()
        if not field:
            return None
        if is_field(field) and field not in places.columns:
            return field
        typer.echo(f'"{field}" is not open here', err=True)
