"""A strength from a refractometer."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking.measure import Read, measured
from balancer.cli.completion import BATCHES, SYRUPS, SYRUPS_AND_BATCHES
from balancer.cli.options import Alone, CauseText, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.logbook import log_measured
from balancer.desk.rail import rail_after
from balancer.output.data.measure import measure_data
from balancer.output.screen.measure import measure_text
from balancer.output.working.measure import measure_steps


@answering(steps=True, lists=True)
def command(  # noqa: PLR0913, PLR0917 - one for each option
    desk: Desk,
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="READING ... [SYRUP]",
            autocompletion=SYRUPS_AND_BATCHES,
            help="What it reads, °Bx, or like 1.4201nD, 1.235SG; and the syrup that was read, or its batch.",
        ),
    ],
    syrup: Annotated[
        str | None, typer.Option("--syrup", "-s", metavar="NAME", autocompletion=SYRUPS, help="Or the syrup so.")
    ] = None,
    batch: Annotated[
        str | None, typer.Option("--batch", "-B", metavar="BATCH", autocompletion=BATCHES, help="Or its batch so.")
    ] = None,
    temperature: Annotated[
        str | None, typer.Option("--temperature", "-t", metavar="TEMP", help="Of prism and sample, like 28C.")
    ] = None,
    atc: Annotated[
        bool | None, typer.Option("--atc/--no-atc", help="The instrument corrects for temperature itself, or not.")
    ] = None,
    scale: Annotated[str | None, typer.Option("--scale", metavar="RANGE", help="Its range, like 0-55.")] = None,
    division: Annotated[
        str | None, typer.Option("--division", metavar="BRIX", help="Between two of its lines.")
    ] = None,
    accuracy: Annotated[str | None, typer.Option("--accuracy", metavar="BRIX", help="As its maker states.")] = None,
    zero: Annotated[str | None, typer.Option("--zero", metavar="BRIX", help="What it reads in water.")] = None,
    acid: Annotated[
        str | None, typer.Option("--acid", metavar="ACID", help="Acid of the syrup, as citric, like 12g/kg.")
    ] = None,
    abv: Annotated[str | None, typer.Option("--abv", metavar="PERCENT", help="Alcohol of the syrup.")] = None,
    dilute: Annotated[
        str | None, typer.Option("--dilute", metavar="SAMPLE+WATER", help="Mixed before reading, like 100g+100g.")
    ] = None,
    cause: CauseText = None,
    log: Annotated[bool, typer.Option("--log", "-l", help="Keep the reading in the batch log.")] = False,
    by: Annotated[str | None, typer.Option("--by", metavar="WHO", help="Who read it, for the log.")] = None,
    alone: Alone = False,
    yes: Yes = False,
) -> Answer:
    """The strength of a syrup by a refractometer, how sure it is, and what it means for the menu."""
    readings, name = values.numbers_and_name(words)
    read = Read(
        readings,
        temperature=temperature or None,
        atc=atc,
        scale=scale,
        division=division or None,
        accuracy=accuracy or None,
        zero=zero or None,
        acid=acid,
        abv=abv or None,
        dilute=dilute,
    )
    one = measured(desk, read, name, syrup=syrup, batch=batch, cause=cause, alone=alone, for_log=log, is_meant=yes)
    judged, syrup_id, found = one.outcome.result, one.syrup_id, one.batch
    past = desk.in_use.past_of(syrup_id, besides=found) if syrup_id and not alone else ()
    why = values.cause(cause) if cause else None
    logged, moved = None, None
    if log:
        done = log_measured(desk, judged, syrup_id or "", found, by=by, cause=why)
        logged, moved = done.batch.id, rail_after(desk, done)
    return Answer(
        lambda: measure_text(
            judged, desk.house, logged, is_new=found is None, past=past, today=desk.today, moved=moved
        ),
        lambda: measure_data(judged, logged, moved),
        lambda: measure_steps(judged),
        about=one.outcome.about,
        touching=one.outcome.touching,
    )
