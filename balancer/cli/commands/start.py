"""A new bar's folder, and ingredients out of the pantry for it or for one that is there."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.errors import UsageError
from balancer.files.house.demo import DEMO_EVENING
from balancer.files.house.pantry import chosen
from balancer.files.house.pantry_copy import add_from_pantry, is_house
from balancer.files.house.starter import start, start_on_base, was_broken_off
from balancer.output.data.start import pantry_data, start_data
from balancer.output.screen.start import pantry_text, start_text


@answering(folder=False)
def command(
    folder: Annotated[
        Path, typer.Argument(metavar="DIR", help="A new or empty folder; with --pantry also that of a house.")
    ],
    demo: Annotated[bool, typer.Option("--demo", help="The demo house instead of the starter files.")] = False,
    pantry: Annotated[
        list[str] | None,
        typer.Option(
            "--pantry", metavar="GROUPS", help="With generic ingredients: juices,sugars or all, or one by its name."
        ),
    ] = None,
    base: Annotated[
        Path | None,
        typer.Option("--base", metavar="DIR", help="A house of a group: it stands on that folder."),
    ] = None,
) -> Answer:
    """A commented folder for your bar. It holds one drink, one syrup and the house's own measures."""
    if base is not None:
        if demo or pantry:
            other = "--demo" if demo else "--pantry"
            remedy = "leave one out" if demo else "first --base, then the same line with --pantry alone"
            raise UsageError("usage", f"--base and {other}: one of them says what the house begins with", remedy)
        house = start_on_base(folder, base)
        return Answer(lambda: start_text(folder, *house), lambda: start_data(folder, *house))
    entries = chosen(pantry) if pantry else ()
    if entries and not demo and is_house(folder) and not was_broken_off(folder):
        found = add_from_pantry(folder, entries)
        return Answer(lambda: pantry_text(folder, found), lambda: pantry_data(folder, found))
    started = start(folder, demo=demo, pantry=entries)
    evening = DEMO_EVENING.date() if demo else None
    return Answer(lambda: start_text(folder, *started, evening), lambda: start_data(folder, *started))
