"""A new bar's folder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import AsJson, answers, app


@app.command("start")
@answers
def start_command(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder that does not exist yet, or is empty.")],
    demo: Annotated[bool, typer.Option("--demo", help="The demo house instead of the starter files.")] = False,
    as_json: AsJson = False,
) -> None:
    """Write a commented starter folder. It holds one drink, one syrup and the house's own measures."""
    from balancer.cli.desk import show, to_text
    from balancer.files.house.starter import start
    from balancer.output.data.start import start_data
    from balancer.output.screen.start import start_text

    written = start(folder, demo=demo)
    show(to_text(start_data(folder, written)) if as_json else start_text(folder, written))
