"""Strips for the rail."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("strips")
@answers
def strips_command(
    batches: Annotated[
        list[str] | None, typer.Argument(metavar="[BATCH]...", help="Only these; every open one if left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="F", help="The file to print into: .pdf, .png or .svg.")
    ] = None,
    on: Annotated[
        str, typer.Option("--on", metavar="PAPER", help="a4 or letter, with cut marks; receipt: an 80 mm roll.")
    ] = "a4",
    by: Annotated[
        str | None, typer.Option("--by", metavar="INITIALS", help="Who prints them; a line to write on if left out.")
    ] = None,
    date: Annotated[str | None, typer.Option("--date", metavar="DATE", help="Another night, like 2026-11-25.")] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A strip for every open bottle whose pours change tonight: what to pour instead, until it is empty."""
    from balancer.cli import clock
    from balancer.cli.bench import Bench
    from balancer.cli.strips import print_strips
    from balancer.errors import UsageError

    if out is None:
        raise UsageError("usage", "--out: nothing says which file to print into", "give it, like --out strips.pdf")
    bench = Bench(specs, as_json=as_json)
    print_strips(bench, batches or [], clock.night(date, bench.house), out, on, by)
