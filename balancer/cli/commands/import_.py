"""Specs out of a spreadsheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("import")
@answers
def import_command(
    file: Annotated[Path, typer.Argument(metavar="F.csv", help="The spreadsheet, saved as CSV.")],
    map_file: Annotated[Path | None, typer.Option("--map", metavar="F.yaml", help="Which column holds what.")] = None,
    save_map: Annotated[
        Path | None, typer.Option("--save-map", metavar="F.yaml", help="Write the map that was used, to keep and edit.")
    ] = None,
    unit: Annotated[str | None, typer.Option("--unit", metavar="UNIT", help="Of amounts that have none.")] = None,
    method: Annotated[str | None, typer.Option("--method", metavar="WORD", help="Of drinks that have none.")] = None,
    write: Annotated[bool, typer.Option("--write", help="Write the files; without it nothing is written.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Drink specs out of a spreadsheet: first what would be written and every fault with its row, then the files."""
    from balancer.cli.import_ import Wanted, answer

    answer(Wanted(file, map_file, save_map, unit, method, write, specs, as_json))
