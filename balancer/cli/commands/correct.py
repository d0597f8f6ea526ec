"""Bringing a batch to strength."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("correct")
@answers
def correct_command(  # noqa: PLR0913, PLR0917 - one argument an option
    batch: Annotated[str | None, typer.Option("--batch", metavar="BATCH", help="A batch in the log.")] = None,
    syrup: Annotated[str | None, typer.Option("--syrup", metavar="NAME", help="Or a syrup.")] = None,
    brix: Annotated[str | None, typer.Option("--brix", metavar="BRIX", help="Its strength now, °Bx.")] = None,
    mass: Annotated[str | None, typer.Option("--mass", metavar="MASS", help="How much there is, like 2kg.")] = None,
    volume: Annotated[str | None, typer.Option("--volume", metavar="VOLUME", help="Or how much, like 2l.")] = None,
    target: Annotated[
        str | None,
        typer.Option("--target", metavar="BRIX", help="Strength to reach; standard if left out."),
    ] = None,
    additive: Annotated[
        str | None, typer.Option("--with", metavar="WHAT", help="water, sugar, something of the house, or its °Bx.")
    ] = None,
    container: Annotated[str | None, typer.Option("--container", metavar="VOLUME", help="What it must fit in.")] = None,
    uncertainty: Annotated[
        str | None,
        typer.Option("--uncertainty", metavar="BRIX", help="Standard uncertainty of the strength."),
    ] = None,
    stirred: Annotated[bool, typer.Option("--stirred", help="It was stirred well before it was read.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """What to add to bring a batch to strength, in which order, and what the scale should show then."""
    from balancer.cli import values
    from balancer.cli.correct import additive_for, open_for, open_strengths, target_of, tub_of
    from balancer.engine.prep.tub import correct
    from balancer.output.data.correct import correct_data
    from balancer.output.screen.correct import correct_text
    from balancer.output.working.correct import correct_steps

    desk = open_for(specs, batch, syrup, brix, additive, as_json=as_json)
    house, strengths = desk.house, open_strengths(desk)
    tub = tub_of(desk, batch, syrup, brix=brix, mass=mass, volume=volume, uncertainty=uncertainty, stirred=stirred)
    result = correct(
        desk.bar,
        tub,
        target_of(desk, tub, target),
        additive_for(desk, additive, strengths) if additive else None,
        container_ml=values.volume(container, "--container", house.measures()) if container else None,
        strengths=strengths,
    )
    working = correct_steps(result) if steps else []
    desk.answer(correct_text(result, house), correct_data(result, house), working)
