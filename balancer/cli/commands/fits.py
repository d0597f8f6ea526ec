"""Which sweetener fits a drink, or the whole menu."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("fits")
@answers
def fits_command(
    drink: Annotated[str | None, typer.Argument(metavar="DRINK", help="Its name, id, or the beginning.")] = None,
    everywhere: Annotated[bool, typer.Option("--all", help="Every drink that pours what goes.")] = False,
    out: Annotated[
        str | None, typer.Option("--out", metavar="NAME", help="What goes; of one drink its main syrup if left out.")
    ] = None,
    csv: Annotated[
        Path | None, typer.Option("--csv", metavar="FILE", help="With --all, the whole table for a spreadsheet.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Every sweetener of the house for a drink, at the same sugar: the one that moves least else comes first."""
    from balancer.cli.desk import Desk
    from balancer.cli.fits import answer_drink, answer_menu
    from balancer.errors import UsageError

    if everywhere == (drink is not None):
        raise UsageError("usage", "name a drink, or give --all for the menu", "see balancer fits --help")
    if csv is not None and not everywhere:
        raise UsageError("usage", "--csv goes with --all", "add --all and --out NAME")
    desk = Desk(specs, as_json=as_json)
    if drink is not None:
        answer_drink(desk, drink, out)
    else:
        answer_menu(desk, out, csv)
