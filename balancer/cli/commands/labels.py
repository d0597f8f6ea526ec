"""Labels for the bottles of batches."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("labels")
@answers
def labels_command(
    batches: Annotated[
        list[str] | None, typer.Argument(metavar="[BATCH]...", help="Only these; all made or open if left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="F", help="The file to print into: .pdf, .png or .svg.")
    ] = None,
    size: Annotated[
        str, typer.Option("--size", metavar="SIZE", help="62 (mm roll), 2x1 (inches) or 70x37 (24 on an A4 sheet).")
    ] = "62",
    copies: Annotated[int, typer.Option("--copies", metavar="N", help="How many of each.")] = 1,
    skip: Annotated[
        int, typer.Option("--skip", metavar="N", help="Places of a started 70x37 sheet to leave empty.")
    ] = 0,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A label for every batch in the house: its strength, its last day, its allergens, what to pour."""
    from balancer.cli.bench import Bench
    from balancer.cli.labels import Order, print_labels
    from balancer.errors import UsageError

    if out is None:
        raise UsageError("usage", "--out: nothing says which file to print into", "give it, like --out labels.pdf")
    order = Order.of(out, size, copies, skip)
    print_labels(Bench(specs, as_json=as_json), batches or [], order)
