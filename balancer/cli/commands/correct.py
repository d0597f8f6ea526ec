"""Bringing a batch to strength."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking.correct import corrected
from balancer.cli.completion import BATCHES, LIQUIDS, SYRUPS
from balancer.cli.options import Alone, Uncertainty, VolumeText, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.output.screen.correct import correct_text
from balancer.output.working.correct import correct_steps


@answering(steps=True, lists=True)
def command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    batch: Annotated[
        str | None, typer.Option("--batch", "-B", metavar="BATCH", autocompletion=BATCHES, help="A batch in the log.")
    ] = None,
    syrup: Annotated[
        str | None, typer.Option("--syrup", "-s", metavar="NAME", autocompletion=SYRUPS, help="Or a syrup.")
    ] = None,
    brix: Annotated[str | None, typer.Option("--brix", "-b", metavar="BRIX", help="Its strength now, °Bx.")] = None,
    mass: Annotated[
        str | None, typer.Option("--mass", "-m", metavar="MASS", help="How much there is, like 2kg.")
    ] = None,
    volume: VolumeText = None,
    target: Annotated[
        str | None, typer.Option("--target", metavar="BRIX", help="Strength to reach; standard if left out.")
    ] = None,
    additive: Annotated[
        str | None,
        typer.Option(
            "--with", metavar="WHAT", autocompletion=LIQUIDS, help="water, sugar, something of the house, or its °Bx."
        ),
    ] = None,
    container: Annotated[str | None, typer.Option("--container", metavar="VOLUME", help="What it must fit in.")] = None,
    uncertainty: Uncertainty = None,
    stirred: Annotated[bool, typer.Option("--stirred", help="It was stirred well before it was read.")] = False,
    alone: Alone = False,
    yes: Yes = False,
) -> Answer:
    """What to add to bring a batch to strength, in which order, and what the refractometer should read then."""
    outcome = corrected(
        desk,
        batch,
        syrup,
        brix=brix or None,
        mass=mass or None,
        volume=volume or None,
        target=target or None,
        additive=additive or None,
        container=container or None,
        uncertainty=uncertainty or None,
        stirred=stirred,
        alone=alone,
        is_meant=yes,
    )
    result = outcome.result
    return Answer(
        lambda: correct_text(result, desk.house),
        outcome.data,
        lambda: correct_steps(result),
        about=outcome.about,
        touching=outcome.touching,
    )
