"""A new bar's folder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.files.house.starter import start
from balancer.output.data.start import start_data
from balancer.output.screen.start import start_text


@answering(folder=False)
def command(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="A folder that does not exist yet, or is empty.")],
    demo: Annotated[bool, typer.Option("--demo", help="The demo house instead of the starter files.")] = False,
) -> Answer:
    """Write a commented starter folder. It holds one drink, one syrup and the house's own measures."""
    written = start(folder, demo=demo)
    return Answer(lambda: start_text(folder, written), lambda: start_data(folder, written))
