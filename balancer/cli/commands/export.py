"""The bar's data as a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, cast, get_args

import typer

from balancer.cli.pages import table_file, write_table
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.log_export import export_log
from balancer.engine.batch.notes import closed, describe, in_house
from balancer.engine.drink.menu_totals import menu_totals
from balancer.errors import ProblemsError, UsageError
from balancer.files.house.load import Broken
from balancer.files.house.own_chill import own_chills
from balancer.files.sheets.table import csv_bytes
from balancer.output.data.export import ExportRow, batches_rows, drinks_rows, export_data, totals_rows
from balancer.output.screen.export import export_text
from balancer.output.words.export import Export, What


@answering()
def command(
    desk: Desk,
    what: Annotated[
        str,
        typer.Argument(
            metavar="WHAT",
            help="drinks: the specs, a pour in each row; totals: what each drink holds; batches: the log's; "
            "log: its lines, as Parquet.",
        ),
    ],
    out: Annotated[
        Path,
        typer.Option(
            "--out", "-o", metavar="F.csv|DIR", help="The file, or the folder of the log; what is there is replaced."
        ),
    ],
) -> Answer:
    """The menu, its totals or the batches for a spreadsheet: every digit, units in the heading. Or the log, for many
    bars at once: Parquet, parted by house and month.
    """
    table = _what(what)
    if table == "log":
        return _log(desk, out)
    table_file(desk, out, "--out")
    return _batches(desk, out) if table == "batches" else _menu(desk, table, out)


def _log(desk: Desk, out: Path) -> Answer:
    if out.suffix.casefold() in (".csv", ".parquet"):
        raise UsageError("usage", f'--out: "{out}" is a file\'s name; the log goes into a folder', "name a folder")
    done = export_log(desk, out)
    return Answer(lambda: export_text(done), lambda: export_data(done))


def _batches(desk: Desk, out: Path) -> Answer:
    known = desk.batches
    items = [describe(desk.bar, batch, desk.today) for batch in (*in_house(known), *closed(known))]
    return _written(desk, out, batches_rows(items), Export("batches", out, {"batches": len(items)}, ()))


def _menu(desk: Desk, what: What, out: Path) -> Answer:
    """The drinks or their totals. Raises ProblemsError, and leaves the file as it was, when none of them loads."""
    lost = desk.loaded.broken_of("drinks")
    drinks = list(desk.specs.drinks.values())
    left_out = desk.loaded.left_out("drinks")
    if left_out and not drinks:
        raise ProblemsError(desk.loaded.problems)
    if what == "drinks":
        counts = {"drinks": len(drinks), "pours": sum(len(drink.pours) for drink in drinks)}
        rows = drinks_rows(drinks, desk.specs, own_chills(desk.folder))
        return _written(desk, out, rows, Export(what, out, counts, left_out), lost)
    result = menu_totals(desk.bar, drinks)
    left_out += [drink.name for drink, _ in result.failed]
    desk.noticed += result.problems()
    rows = totals_rows(result.drinks, desk.house)
    return _written(desk, out, rows, Export(what, out, {"drinks": len(result.drinks)}, left_out), lost)


def _what(text: str) -> What:
    for known in get_args(What):
        if text.strip().casefold() == known:
            return cast(What, known)
    raise UsageError("usage", f'"{text}" cannot be exported', f"choose {', '.join(get_args(What))}")


def _written(desk: Desk, out: Path, rows: list[ExportRow], done: Export, lost: list[Broken] | None = None) -> Answer:
    """Write a table. Exit code 1 when drinks that did not load are missing from it."""
    write_table(desk, out, "--out", csv_bytes(rows))
    return Answer(lambda: export_text(done), lambda: export_data(done), touching=lost or ())
