"""A strength from a refractometer."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

import typer
from pydantic import ValidationError

from balancer.cli import names
from balancer.cli.completion import BATCHES, SYRUPS, SYRUPS_AND_BATCHES
from balancer.cli.options import Alone, CauseText, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.logbook import log_measured
from balancer.engine.drink.amount import Amount
from balancer.engine.prep.measure import judge, open_batch_of
from balancer.engine.prep.readings import Diluted, Readings, house_readings
from balancer.errors import QuantityError, UsageError
from balancer.models import batch as batch_model
from balancer.models.house import House, Instrument
from balancer.models.slips import choices
from balancer.output.data.measure import measure_data
from balancer.output.screen.measure import measure_text
from balancer.output.working.measure import measure_steps
from balancer.units import Measures, parse_quantity

_DILUTE_LIKE = "write it like 100g+100g or 30ml+60ml"


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
    why = values.cause(cause) if cause else None
    readings, name = values.numbers_and_name(words)
    if not readings:
        raise UsageError("usage", f'READING: "{name}" is not a number', "give what the refractometer reads, like 54")
    syrup_id, found = _meant(desk, name, syrup, batch, log=log, typed=" ".join(readings))
    read = _readings(readings, temperature, desk.house, zero)
    seen = replace(
        read,
        instrument=_instrument(read.instrument, atc=atc, scale=scale, division=division, accuracy=accuracy),
        zero_brix=values.measure(zero, "--zero", "strength", "°Bx", low=-20.0, high=20.0) if zero else 0.0,
        diluted=_diluted(dilute, desk.house.measures()) if dilute else None,
        acid=values.concentration(acid, "--acid") if acid else None,
        abv_percent=values.zero_or_more(abv, "--abv", "share", "%", 100.0) if abv else None,
    )
    others = {} if alone or syrup_id is None else desk.in_use.strengths
    judged = judge(desk.bar, syrup_id, seen, batch=found, cause=why, others=others, day=desk.today)
    desk.believe([*judged.doubts, *(judged.log_doubts if log else ())], is_meant=yes)
    past = desk.in_use.past_of(syrup_id, besides=found) if syrup_id and not alone else ()
    logged = log_measured(desk, judged, syrup_id or "", found, by=by, cause=why).batch.id if log else None
    return Answer(
        lambda: measure_text(judged, desk.house, logged, is_new=found is None, past=past, today=desk.today),
        lambda: measure_data(judged, logged),
        lambda: measure_steps(judged),
        about=[*([syrup_id] if syrup_id else []), *judged.drinks],
        touching=desk.loaded.broken_pouring(syrup_id) if syrup_id else (),
    )


def _meant(
    desk: Desk, name: str, syrup: str | None, batch: str | None, *, log: bool, typed: str
) -> tuple[str | None, batch_model.Batch | None]:
    """The syrup's id, and its batch in the log: the one named or, for logging, the open one.

    name  what stands beside the readings: a syrup or a batch; "" when nothing does
    typed the readings, as they were typed
    Without a name the house is enough; without a batch the log is not read.
    Raises UsageError for a batch of something else, and for logging what has no name.
    """
    if name and (syrup or batch):
        option = "--syrup" if syrup else "--batch"
        raise UsageError("usage", f'"{name}" and {option}: one of them says what was read', "leave one out")
    if log and not (name or syrup or batch):
        raise UsageError("usage", "--log: nothing says which syrup was read", "add its name: measure 54 ras --log")
    if not (name or syrup or batch):
        desk.only_house()
        return None, None
    if name:
        syrup_id, found = names.syrup_or_batch(desk, name)
        if found:
            return found.liquid, found
    else:
        syrup_id = None if syrup is None else names.syrup(desk.loaded, syrup)
    if batch:
        found = names.syrup_batch(desk.batches, desk.specs, batch, syrup_id, desk.today)
        return found.liquid, found
    return syrup_id, open_batch_of(desk.batches, syrup_id or "", desk.today, typed) if log else None


def _readings(texts: list[str], temperature: str | None, house: House, zero: str | None) -> Readings:
    """What was read, all on one scale, with the instrument it comes from."""
    seen = values.on_one_scale(texts, "READING")
    if zero and seen[0].scale != "°Bx":
        raise UsageError(
            "usage", "--zero: it is in °Bx, and the readings are not", "set the instrument with water, and leave it out"
        )
    celsius = values.temperature(temperature, "--temperature") if temperature else None
    return house_readings(house, seen, celsius)


def _instrument(
    instrument: Instrument, *, atc: bool | None, scale: str | None, division: str | None, accuracy: str | None
) -> Instrument:
    """An instrument with what the options say otherwise."""
    changed: dict[str, object] = {} if atc is None else {"atc": atc}
    if scale:
        try:
            written = scale if "b" in scale.casefold() else f"{scale} °Bx"  # a file wants the unit, a person may not
            changed["scale"] = Instrument.model_validate({"scale": written}).scale
        except ValidationError:
            raise UsageError(
                "usage", f'--scale: "{scale}" is not the range of a refractometer', "write it like 0-55"
            ) from None
    if division:
        changed["division"] = values.uncertainty(division, "--division")
    if accuracy:
        changed["accuracy"] = values.uncertainty(accuracy, "--accuracy")
    return instrument.model_copy(update=changed)


def _diluted(text: str, measures: Measures) -> Diluted:
    parts = text.split("+")
    if len(parts) != 2:
        raise UsageError("usage", f'--dilute: "{text}" is not sample and water', _DILUTE_LIKE)
    sample, water = (_amount(part.strip(), text, measures) for part in parts)
    return Diluted(sample, water)


def _amount(part: str, text: str, measures: Measures) -> Amount:
    try:
        found = parse_quantity(part)
    except QuantityError as error:
        remedy = _DILUTE_LIKE
        if error.code == "unit-missing":
            remedy = f"{' or '.join(choices(part, ['mass'], ['g', 'ml']))}? {_DILUTE_LIKE}"
        raise UsageError("usage", f'--dilute: {error.reason} in "{text}"', remedy) from None
    by_volume = found.kind == "volume"
    if not by_volume and found.kind != "mass":
        raise UsageError("usage", f'--dilute: "{part}" is no amount', _DILUTE_LIKE)
    value = measures.ml(found) if by_volume else found.base
    if not 0.0 < value <= 100_000.0:
        raise UsageError("usage", f'--dilute: "{part}" cannot be mixed', "give amounts above zero")
    return Amount(value, "ml" if by_volume else "g")
