"""The bar's data as a table for a spreadsheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("export")
@answers
def export_command(
    what: Annotated[
        str,
        typer.Argument(
            metavar="WHAT",
            help="drinks: the specs, a pour in each row; totals: what each drink holds; batches: the log's.",
        ),
    ],
    out: Annotated[Path, typer.Option("--out", metavar="F.csv", help="The file; one that is there is replaced.")],
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """The menu, its totals or the batches as a CSV file that a spreadsheet opens. Every digit, units in the heading."""
    from balancer.cli.export import export
    from balancer.errors import UsageError

    if out.suffix.casefold() != ".csv":
        raise UsageError("usage", f'--out: "{out}" is not the name of a table', "end it in .csv")
    export(what, out, specs, as_json=as_json)
