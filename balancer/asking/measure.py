"""A strength from the readings of a refractometer, and what it means for the menu."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from pydantic import ValidationError

from balancer.asking import names
from balancer.asking.outcome import Outcome
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.values import TextOrNumber
from balancer.engine.drink.amount import Amount
from balancer.engine.prep.measure import Judged, judge, open_batch_of
from balancer.engine.prep.readings import Diluted, Readings, house_readings
from balancer.errors import ProblemsError, QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.models.house import Instrument
from balancer.models.slips import choices
from balancer.output.data.measure import measure_data
from balancer.units import Measures, parse_quantity

_DILUTE_LIKE = "write it like 100g+100g or 30ml+60ml"


@dataclass(frozen=True, slots=True)
class Read:
    """What was read, as it was typed, and how.

    readings     of one sample; a number is °Bx
    temperature  of prism and sample; atc: the instrument corrects for it
    scale, division, accuracy  of the instrument, where it is not the house's
    zero         what it reads in water
    acid, abv    of the syrup, where its file does not say
    dilute       sample and water that were mixed before reading
    """

    readings: Sequence[TextOrNumber]
    temperature: TextOrNumber | None = None
    atc: bool | None = None
    scale: str | None = None
    division: TextOrNumber | None = None
    accuracy: TextOrNumber | None = None
    zero: TextOrNumber | None = None
    acid: str | None = None
    abv: TextOrNumber | None = None
    dilute: str | None = None


@dataclass(frozen=True, slots=True)
class OneReading:
    """What a reading means; of which syrup, by its id, and of which batch of the log."""

    outcome: Outcome[Judged]
    syrup_id: str | None
    batch: Batch | None


def measured(
    desk: Desk,
    read: Read,
    name: str = "",
    *,
    syrup: str | None = None,
    batch: str | None = None,
    cause: str | None = None,
    alone: bool = False,
    for_log: bool = False,
    is_meant: bool = False,
) -> OneReading:
    """The strength of a sample, how sure it is, and what it means where the syrup is known.

    name     of a syrup or a batch, or of either under its own word
    alone    whether every other syrup counts at standard, whatever its open batch reads
    for_log  whether it is to be logged: of the open batch where none is named
    Raises UsageError for what cannot be read so, CannotError for a slip that is not meant.
    """
    why = values.cause(cause, desk.calls("--cause")) if cause else None
    if not read.readings:
        told = f'{desk.calls("READING")}: "{name}" is not a number'
        raise UsageError("usage", told, "give what the refractometer reads, like 54")
    without_log = alone and not (for_log or batch)
    typed = " ".join(map(str, read.readings))
    syrup_id, found = _meant(desk, name, syrup, batch, log=for_log, without_log=without_log, typed=typed)
    others = desk.in_use.strengths if syrup_id is not None and not alone else {}
    judged = judge(desk.bar, syrup_id, _seen(desk, read), batch=found, cause=why, others=others, day=desk.today)
    desk.believe([*judged.doubts, *(judged.log_doubts if for_log else ())], is_meant=is_meant)
    outcome = Outcome(
        judged,
        partial(measure_data, judged),
        about=(*([syrup_id] if syrup_id else []), *judged.drinks),
        touching=desk.loaded.broken_pouring(syrup_id) if syrup_id else (),
    )
    return OneReading(outcome, syrup_id, found)


def _meant(
    desk: Desk, name: str, syrup: str | None, batch: str | None, *, log: bool, without_log: bool, typed: str
) -> tuple[str | None, Batch | None]:
    """The syrup's id, and its batch in the log: the one named or, for logging, the open one.

    name  what stands beside the readings: a syrup or a batch; "" when nothing does
    without_log  whether a log that cannot be read stands in nobody's way
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
        syrup_id, found = _named(desk, name, without_log=without_log, log=log)
        if found:
            return found.liquid, found
    else:
        syrup_id = None if syrup is None else names.syrup(desk.loaded, syrup)
    if batch:
        found = names.syrup_batch(desk.batches, desk.specs, batch, syrup_id, desk.today)
        return found.liquid, found
    return syrup_id, open_batch_of(desk.batches, syrup_id or "", desk.today, typed) if log else None


def _named(desk: Desk, name: str, *, without_log: bool, log: bool) -> tuple[str | None, Batch | None]:
    """A syrup or a batch by name. A syrup's own name asks nothing of the log where nothing else is wanted of it."""
    if without_log and (own := _syrup_named(desk, name)) is not None:
        return own, None
    try:
        return names.syrup_or_batch(desk, name)
    except ProblemsError as error:
        if log or _syrup_named(desk, name) is None:
            raise
        alone = f"; {desk.calls('--alone')} measures without it"
        raise ProblemsError([replace(each, remedy=each.remedy + alone) for each in error.problems()]) from None


def _syrup_named(desk: Desk, name: str) -> str | None:
    """The id of a syrup of that name; None where there is none."""
    try:
        return names.syrup(desk.loaded, name)
    except UsageError:
        return None


def _seen(desk: Desk, read: Read) -> Readings:
    """What was read, all on one scale, with the instrument it comes from."""
    calls = desk.calls
    seen = values.on_one_scale(read.readings, calls("READING"))
    if read.zero is not None and seen[0].scale != "°Bx":
        told = f"{calls('--zero')}: it is in °Bx, and the readings are not"
        raise UsageError("usage", told, "set the instrument with water, and leave it out")
    celsius = None if read.temperature is None else values.temperature(read.temperature, calls("--temperature"))
    readings = house_readings(desk.house, seen, celsius)
    zero = 0.0
    if read.zero is not None:
        zero = values.measure(read.zero, calls("--zero"), "strength", "°Bx", low=-20.0, high=20.0)
    return replace(
        readings,
        instrument=_instrument(desk, readings.instrument, read),
        zero_brix=zero,
        diluted=_diluted(desk, read.dilute) if read.dilute else None,
        acid=values.concentration(read.acid, calls("--acid")) if read.acid else None,
        abv_percent=None if read.abv is None else values.zero_or_more(read.abv, calls("--abv"), "share", "%", 100.0),
    )


def _instrument(desk: Desk, instrument: Instrument, read: Read) -> Instrument:
    """An instrument with what was said of it otherwise."""
    calls, scale = desk.calls, read.scale
    changed: dict[str, object] = {} if read.atc is None else {"atc": read.atc}
    if scale:
        try:
            written = scale if "b" in scale.casefold() else f"{scale} °Bx"  # a file wants the unit, a person may not
            changed["scale"] = Instrument.model_validate({"scale": written}).scale
        except ValidationError:
            told = f'{calls("--scale")}: "{scale}" is not the range of a refractometer'
            raise UsageError("usage", told, "write it like 0-55") from None
    if read.division is not None:
        changed["division"] = values.uncertainty(read.division, calls("--division"))
    if read.accuracy is not None:
        changed["accuracy"] = values.uncertainty(read.accuracy, calls("--accuracy"))
    return instrument.model_copy(update=changed)


def _diluted(desk: Desk, text: str) -> Diluted:
    option = desk.calls("--dilute")
    parts = text.split("+")
    if len(parts) != 2:
        raise UsageError("usage", f'{option}: "{text}" is not sample and water', _DILUTE_LIKE)
    sample, water = (_amount(part.strip(), text, desk.house.measures(), option) for part in parts)
    return Diluted(sample, water)


def _amount(part: str, text: str, measures: Measures, option: str) -> Amount:
    try:
        found = parse_quantity(part)
    except QuantityError as error:
        remedy = _DILUTE_LIKE
        if error.code == "unit-missing":
            remedy = f"{' or '.join(choices(part, ['mass'], ['g', 'ml']))}? {_DILUTE_LIKE}"
        raise UsageError("usage", f'{option}: {error.reason} in "{text}"', remedy) from None
    by_volume = found.kind == "volume"
    if not by_volume and found.kind != "mass":
        raise UsageError("usage", f'{option}: "{part}" is no amount', _DILUTE_LIKE)
    value = measures.ml(found) if by_volume else found.base
    if not 0.0 < value <= 100_000.0:
        raise UsageError("usage", f'{option}: "{part}" cannot be mixed', "give amounts above zero")
    return Amount(value, "ml" if by_volume else "g")
