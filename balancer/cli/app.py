"""The command line: options in, one engine call, an answer out."""

from __future__ import annotations

import copy
import gc
import os
import sys
from collections.abc import Sequence
from typing import Annotated

import typer

from balancer.cli.commands import (
    aim,
    batch,
    bottle,
    calibrate,
    cards,
    chart,
    check,
    compare,
    correct,
    export,
    fits,
    import_,
    labels,
    make,
    measure,
    pour,
    rescale,
    set_,
    sheet,
    standardise,
    start,
    strips,
    swap,
    tonight,
    totals,
)
from balancer.cli.options import app
from balancer.cli.terminal import spell_plainly

COMMANDS = (
    tonight,
    pour,
    start,
    check,
    totals,
    calibrate,
    rescale,
    make,
    chart,
    batch,
    measure,
    correct,
    swap,
    bottle,
    compare,
    aim,
    standardise,
    fits,
    cards,
    sheet,
    import_,
    export,
    set_,
    strips,
    labels,
)
"""Importing a command's module adds it to the app, in this order."""


def _version(wanted: bool) -> None:
    if wanted:
        from balancer import __version__

        typer.echo(f"balancer {__version__}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="The version, and nothing else.")
    ] = False,
) -> None:
    """Keep every drink tasting as designed although syrups vary."""


def app_for(words: Sequence[str]) -> typer.Typer:
    """The app with only the command that is typed; the whole app when none is, or none of its name.

    Before a command runs, typer reads the signatures of all there are: with twenty, a quarter of the start.
    """
    typed = next((word for word in words if not word.startswith("-")), "")
    one = copy.copy(app)
    one.registered_commands = [command for command in app.registered_commands if command.name == typed]
    one.registered_groups = [
        group for group in app.registered_groups if group.typer_instance and group.typer_instance.info.name == typed
    ]
    return one if one.registered_commands or one.registered_groups else app


def main() -> None:
    """Run the command line; no user ever sees a traceback unless they ask for one with BALANCER_DEBUG."""
    gc.disable()  # one command lives for a moment and makes no cycles worth looking for: a tenth of its time
    spell_plainly()
    try:
        app_for(sys.argv[1:])(prog_name="balancer")
    except Exception as error:
        if os.environ.get("BALANCER_DEBUG"):
            raise
        sys.stderr.write(
            f"this is a fault of the program, not yours: {type(error).__name__}: {error}\n"
            "  please report it; BALANCER_DEBUG=1 shows where it happened\n"
        )
        raise SystemExit(1) from None
