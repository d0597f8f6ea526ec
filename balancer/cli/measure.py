"""What `measure` and `correct` are asked, out of their options."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pydantic import ValidationError

from balancer.cli import values
from balancer.cli.bench import Bench
from balancer.cli.desk import Desk
from balancer.engine.batch.events import add, batch_in_house, reading
from balancer.engine.prep.measure import Judged, log_draft, open_batch_of
from balancer.engine.prep.readings import Amount, Diluted, Readings
from balancer.errors import QuantityError, UsageError
from balancer.files.house.load import Loaded, load_house
from balancer.files.log.batch_log import lost_ids
from balancer.models.batch import Batch, Cause
from balancer.models.house import House, Instrument
from balancer.models.names import NameIndex
from balancer.models.specs import Specs
from balancer.units import Kind, Measures, parse_number, parse_quantity


def house_desk(specs: Path, *, as_json: bool) -> Desk:
    """The house alone, for a question that names nothing of it: a folder is not needed."""
    return Desk(specs, as_json=as_json, read=_house_only)


def _house_only(specs: Path) -> Loaded:
    house, problems = load_house(specs)
    return Loaded(Specs(house, {}, {}, {}, NameIndex(), NameIndex()), problems, (), problems, 1)


def ask(
    specs: Path, syrup: str | None, batch: str | None, *, log: bool, as_json: bool
) -> tuple[Desk, str | None, Batch | None]:
    """The folder, the syrup's id, and its batch in the log: the one named or, for logging, the open one.

    Without a name the house is enough. The log's problems touch what is answered from it.
    Raises UsageError for a batch of something else, and for logging what has no name.
    """
    if log and not (syrup or batch):
        raise UsageError("usage", "--log: nothing says which syrup was read", "add --syrup or --batch")
    if not (batch or log):
        if syrup is None:
            return house_desk(specs, as_json=as_json), None, None
        desk = Desk(specs, as_json=as_json)
        return desk, desk.find("syrups", syrup), None
    bench = Bench(specs, as_json=as_json)
    read_log_of(bench, touches=not log)  # what is logged stays logged, whatever else is broken
    syrup_id = bench.find("syrups", syrup) if syrup else None
    if batch is None:
        return bench, syrup_id, open_batch_of(bench.before, syrup_id or "")
    found = batch_in_house(bench.before, bench.loaded.specs, batch)
    if found.liquid not in bench.loaded.specs.syrups or (syrup_id and found.liquid != syrup_id):
        raise UsageError("wrong-kind", f"{found.id} is a batch of {found.liquid}", "name a batch of the syrup")
    return bench, found.liquid, found


def read_log_of(bench: Bench, *, touches: bool) -> None:
    """Look at the log; its problems are told, and touch the answer or not."""
    problems = bench.read()
    bench.loaded = bench.loaded._replace(problems=(*bench.loaded.problems, *problems))
    bench.touching.extend(problems if touches else ())


def log_reading(
    desk: Desk, judged: Judged, syrup_id: str | None, batch: Batch | None, *, cause: Cause | None, by: str | None
) -> str:
    """Append a reading: to its batch, or as a new one of the syrup. Returns the batch's id."""
    if not isinstance(desk, Bench):
        raise TypeError("only a desk with a log can write")
    specs, draft = desk.loaded.specs, log_draft(judged, desk.stamp(by), cause)
    if batch is not None:
        written = desk.log(lambda log: reading(log, specs, batch.id, draft))
    else:
        made = replace(draft, liquid=syrup_id, made=desk.today)
        written = desk.log(lambda log: add(log, specs, made, reserved=lost_ids(desk.folder)))
    return written[0].batch


def readings_of(
    house: House,
    shown: list[str],
    instrument: Instrument,
    *,
    zero: str | None,
    temperature: str | None,
    dilute: str | None,
    acid: str | None,
    abv: str | None,
) -> Readings:
    """What was seen, and how. Raises UsageError for what is not a reading, an amount or a temperature."""
    return Readings(
        shown=tuple(values.brix(text, "READING") for text in shown),
        instrument=instrument,
        zero_brix=values.measure(zero, "--zero", "strength", "°Bx", low=-20.0, high=20.0) if zero else 0.0,
        temperature_c=_temperature(temperature) if temperature else None,
        diluted=_diluted(dilute, house.measures()) if dilute else None,
        acid=values.concentration(acid, "--acid") if acid else None,
        abv_percent=zero_or_more(abv, "--abv", "share", "%", 100.0) if abv else None,
        scale_division_g=house.scale.division if house.scale else 1.0,
    )


def instrument_of(
    house: House, *, atc: bool | None, scale: str | None, division: str | None, accuracy: str | None
) -> Instrument:
    """The house's instrument with what the options say otherwise."""
    instrument = house.instrument or Instrument()
    changed: dict[str, object] = {} if atc is None else {"atc": atc}
    if scale:
        try:
            written = scale if "b" in scale.casefold() else f"{scale} °Bx"  # a file wants the unit, a person may not
            changed["scale"] = Instrument.model_validate({"scale": written}).scale
        except ValidationError:
            raise UsageError("usage", f'--scale: "{scale}" is not the range of a scale', "write it like 0-55") from None
    if division:
        changed["division"] = values.uncertainty(division, "--division")
    if accuracy:
        changed["accuracy"] = values.uncertainty(accuracy, "--accuracy")
    return instrument.model_copy(update=changed)


def zero_or_more(text: str, option: str, kind: Kind, unit: str, high: float) -> float:
    """A number that may be zero, with or without its unit."""
    try:
        if parse_number(text) == 0.0:
            return 0.0
    except QuantityError:
        pass
    return values.measure(text, option, kind, unit, low=0.0, high=high)


def _temperature(text: str) -> float:
    return values.measure(text, "--temperature", "temperature", "°C", low=-30.0, high=100.0)


def _diluted(text: str, measures: Measures) -> Diluted:
    parts = text.split("+")
    if len(parts) != 2:
        raise UsageError("usage", f'--dilute: "{text}" is not sample and water', "write it like 100g+100g or 30ml+60ml")
    sample, water = (_amount(part, measures) for part in parts)
    return Diluted(sample, water)


def _amount(text: str, measures: Measures) -> Amount:
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        raise UsageError("usage", f"--dilute: {error.reason}", "write it like 100g+100g or 30ml+60ml") from None
    by_volume = found.kind == "volume"
    if not by_volume and found.kind != "mass":
        raise UsageError("usage", f'--dilute: "{text}" is no amount', "write it like 100g+100g or 30ml+60ml")
    value = measures.ml(found) if by_volume else found.base
    if not 0.0 < value <= 100_000.0:
        raise UsageError("usage", f'--dilute: "{text}" cannot be mixed', "give amounts above zero")
    return Amount(value, by_volume)
