"""Specs out of a spreadsheet: read, ask what nobody can know, plan, write."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Annotated, Any, Final, NamedTuple

import typer
from pydantic_core import PydanticCustomError

from balancer.cli.runner import Answer, answering
from balancer.cli.terminal import ask, say
from balancer.cli.unknown_names import ask_names
from balancer.desk.desk import Desk
from balancer.desk.keeping import parted
from balancer.errors import ProblemsError, UsageError
from balancer.files.house.load import Loaded
from balancer.files.house.outputs import refuse_outputs
from balancer.files.house.pantry_copy import from_pantry
from balancer.files.save import other_names
from balancer.files.sheets.headings import Places, essential_problems, mapped_headings, score
from balancer.files.sheets.jotted import plain_name
from balancer.files.sheets.layout import find_layout
from balancer.files.sheets.map_file import Answers, MapFile, keep_answers, read_map, with_column
from balancer.files.sheets.map_text import map_text
from balancer.files.sheets.plan import Plan, plan, unreadable
from balancer.files.sheets.rows import MOST_LETTERS
from balancer.files.sheets.spreadsheet import Sheet, read_sheet
from balancer.files.sheets.suggest import Suggestions
from balancer.files.sheets.write import save_map as write_map
from balancer.files.sheets.write import write as write_files
from balancer.models.import_map import is_field, pour_unit, top_amount
from balancer.models.imported import Column, Imported
from balancer.models.lengths import refuse_long
from balancer.models.names import slug
from balancer.models.specs import Specs
from balancer.output.data.import_ import import_data
from balancer.output.screen.import_ import import_text, keep_question

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
    top: Annotated[
        str | None, typer.Option("--top", metavar="AMOUNT", help="Of what only tops a drink, like 90ml.")
    ] = None,
    from_the_pantry: Annotated[
        bool, typer.Option("--pantry", help="Take from the pantry what it has by the very name; else you are asked.")
    ] = False,
    write: Annotated[
        bool, typer.Option("--write", "-w", help="Write the files; without it nothing is written.")
    ] = False,
) -> Answer:
    """Drink specs out of a spreadsheet: first what would be written and every fault with its row, then the files."""
    before = desk.loaded
    if save_map is not None:
        refuse_outputs(desk.folder, [save_map], "--save-map")
    if not file.name:  # a folder, or nothing at all
        raise UsageError("usage", f'"{file}" is no file', "name the spreadsheet: balancer import menu.csv")
    kept = file.parent / f"{file.stem}.map.yaml"
    used = map_file or (kept if kept.is_file() else None)
    given = _with_options(read_map(used), unit, method, top)
    known = mapped_headings(given.found)
    sheet = read_sheet(
        file, encoding=given.found.encoding, delimiter=given.found.delimiter, score=lambda rows: score(rows, known)
    )
    is_liquid = _liquids(before.specs, given)
    places, problems = find_layout(sheet, given, is_liquid)
    if places is not None and not problems and is_terminal():
        given, places = _asked(sheet, given, places, is_liquid)
    if places is not None and not problems:
        problems = essential_problems(sheet, places)
    kept_in: Path | None = None
    result: Imported
    if places is None or problems:
        result = unreadable(sheet, places, problems).result
    else:
        folder = desk.own_folder if write else desk.folder
        sources = _Sources(folder, before, sheet, places, take_all=from_the_pantry)
        planned = _planned(sources, given)
        can_ask = not desk.as_json and is_terminal()
        if can_ask and not (answers := ask_names(planned.result, before.specs)).is_empty:
            given = given._replace(found=answers.added_to(given.found))
            planned = _planned(sources, given)
            kept_in = None if save_map else _keep(desk, used or kept, answers)
        if save_map is not None:
            told = [one.column - 1 for one in planned.result.problems if one.code == "import-column" and one.column]
            write_map(save_map, map_text(places, given.found, sheet.path, told))
        result = write_files(folder, before, planned) if write else planned.result
    used = save_map or kept_in or used
    result = result._replace(map=str(used) if used else None)
    return Answer(lambda: import_text(result), lambda: import_data(result), code=1 if result.problems else 0)


class _Sources(NamedTuple):
    """What an import is planned from, beside its map; take_all takes all that the pantry has by the very name."""

    folder: Path
    before: Loaded
    sheet: Sheet
    places: Places
    take_all: bool


def _planned(of: _Sources, given: MapFile) -> Plan:
    """The plan, with what somebody said is to come out of the pantry; never unasked."""
    planned = plan(of.folder, of.before, of.sheet, of.places, given)
    said = set(map(slug, given.found.pantry))
    offered = [one.pantry for one in planned.result.ingredients if one.pantry]
    wanted = [entry for entry in offered if of.take_all or slug(entry.name) in said]
    if not wanted:
        return planned
    return plan(of.folder, of.before, of.sheet, of.places, given, from_pantry(of.folder, wanted))


def _keep(desk: Desk, path: Path, answers: Answers) -> Path | None:
    """Keep answers for the next import: in the map that is used, or, if a person says so, in one beside the sheet."""
    refuse_outputs(desk.folder, [path], "--map")
    if not path.exists() and not ask(keep_question(path.name)):
        return None
    had_names = other_names(path)
    keep_answers(path, answers)
    if had_names:
        desk.noticed.append(parted(path, "the map"))
    return path


def _liquids(specs: Specs, given: MapFile) -> Callable[[str], bool]:
    """Whether something that can be poured has a name, or one like it: by the map, in the house, or in the pantry."""
    said = {slug(name) for name in given.found.ingredients}
    suggestions = cache(lambda: Suggestions(specs))

    def is_liquid(name: str) -> bool:
        plain = plain_name(" ".join(name[:MOST_LETTERS].split()))
        key = slug(plain)
        if not key or key in said or specs.liquid_names.whole(plain) is not None:
            return bool(key)
        return bool(suggestions().of(plain, by_volume=True))

    return is_liquid


def is_terminal() -> bool:
    """Whether somebody sits there who can be asked."""
    return sys.stdin.isatty()


def _with_options(given: MapFile, unit: str | None, method: str | None, top: str | None) -> MapFile:
    """The map with what the command line says in its place."""
    said: dict[str, Any] = {}
    for name, text, read in (("unit", unit, pour_unit), ("top", top, top_amount)):
        if text is None:
            continue
        try:
            said[name] = read(text)
        except PydanticCustomError as error:
            context = error.context or {}
            raise UsageError("usage", f"--{name}: {context.get('message')}", str(context.get("remedy", ""))) from None
    if method is not None:
        if not method.strip():
            raise UsageError("usage", "--method: nothing is written here", "write a method, like shaken")
        refuse_long("name", method, "--method")
        said["method"] = " ".join(method.split())
    return given._replace(found=given.found.model_copy(update=said)) if said else given


def _asked(sheet: Sheet, given: MapFile, places: Places, is_liquid: Callable[[str], bool]) -> tuple[MapFile, Places]:
    """The map with what a person says of the columns that have no place yet."""
    before = given
    for column in places.unread[:_MOST_ASKED]:
        field = _ask(sheet, places, column)
        if field:
            given = with_column(given, field, column.letter)
    if given is before:
        return given, places
    again, problems = find_layout(sheet, given, is_liquid)
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
        said = say(f"{question} ({known}): ", asks=True)
        if said is None:
            raise typer.Abort
        field = said.casefold()
        if not field:
            return None
        if is_field(field) and field not in places.columns:
            return field
        say(f'"{field}" is not open here')
