"""A strength from a refractometer."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("measure")
@answers
def measure_command(  # noqa: PLR0913, PLR0917 - one argument an option
    readings: Annotated[list[str], typer.Argument(metavar="READING", help="What the scale shows, °Bx.")],
    syrup: Annotated[str | None, typer.Option("--syrup", metavar="NAME", help="The syrup that was read.")] = None,
    batch: Annotated[str | None, typer.Option("--batch", metavar="BATCH", help="Or its batch in the log.")] = None,
    temperature: Annotated[
        str | None, typer.Option("--temperature", metavar="TEMP", help="Of prism and sample, like 28C.")
    ] = None,
    atc: Annotated[
        bool | None, typer.Option("--atc/--no-atc", help="The instrument corrects for temperature itself, or not.")
    ] = None,
    scale: Annotated[str | None, typer.Option("--scale", metavar="RANGE", help="Its range, like 0-55.")] = None,
    division: Annotated[str | None, typer.Option("--division", metavar="BRIX", help="Between two lines.")] = None,
    accuracy: Annotated[str | None, typer.Option("--accuracy", metavar="BRIX", help="As its maker states.")] = None,
    zero: Annotated[str | None, typer.Option("--zero", metavar="BRIX", help="What it shows of water.")] = None,
    acid: Annotated[
        str | None, typer.Option("--acid", metavar="ACID", help="Acid of the syrup, as citric, like 12g/kg.")
    ] = None,
    abv: Annotated[str | None, typer.Option("--abv", metavar="PERCENT", help="Alcohol of the syrup.")] = None,
    dilute: Annotated[
        str | None, typer.Option("--dilute", metavar="SAMPLE+WATER", help="Mixed before reading, like 100g+100g.")
    ] = None,
    cause: Annotated[
        str | None, typer.Option("--cause", metavar="WHY", help="Why it is off: boiled, watered or sugar.")
    ] = None,
    log: Annotated[bool, typer.Option("--log", help="Keep the reading in the batch log.")] = False,
    by: Annotated[str | None, typer.Option("--by", metavar="WHO", help="Who read it, for the log.")] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """The strength of a syrup by a refractometer, how sure it is, and what it means for the menu."""
    from balancer.cli import values
    from balancer.cli.measure import ask, instrument_of, log_reading, readings_of
    from balancer.engine.prep.measure import judge
    from balancer.output.data.measure import measure_data
    from balancer.output.screen.measure import measure_text
    from balancer.output.working.measure import measure_steps

    why = values.cause(cause) if cause else None
    desk, syrup_id, found = ask(specs, syrup, batch, log=log, as_json=as_json)
    instrument = instrument_of(desk.house, atc=atc, scale=scale, division=division, accuracy=accuracy)
    seen = readings_of(
        desk.house, readings, instrument, zero=zero, temperature=temperature, dilute=dilute, acid=acid, abv=abv
    )
    judged = judge(desk.bar, syrup_id, seen, batch=found, cause=why)
    logged = log_reading(desk, judged, syrup_id, found, cause=why, by=by) if log else None
    working = measure_steps(judged) if steps else []
    text = measure_text(judged, desk.house, logged, is_new=found is None)
    touching = desk.loaded.broken_pouring(syrup_id) if syrup_id else ()
    desk.answer(text, measure_data(judged, logged), working, touching)
