"""What `correct` is asked, out of its options."""

from __future__ import annotations

from pathlib import Path

from balancer.cli import values
from balancer.cli.bench import Bench
from balancer.cli.desk import Desk
from balancer.cli.measure import house_desk, read_log_of, zero_or_more
from balancer.engine.batch.events import batch_in_house, refuse_past
from balancer.engine.prep.correct import SUGAR, WATER, Additive, additive_of, fluid_ounces_weighed, plain
from balancer.engine.prep.tub import Tub
from balancer.errors import CannotError, ProblemsError, QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.words.numbers import trim
from balancer.units import parse_number, parse_quantity

_WORDS = {"water": WATER, "sugar": SUGAR}


def open_for(
    specs: Path, batch: str | None, syrup: str | None, brix: str | None, additive: str | None, *, as_json: bool
) -> Desk:
    """The folder, with its log where that may say something; the house alone when nothing of it is named."""
    by_strength = additive is not None and additive_by_strength(additive) is not None
    if batch or (syrup and not (brix and by_strength)) or (additive and not by_strength):
        bench = Bench(specs, as_json=as_json)
        read_log_of(bench, touches=True)
        return bench
    return Desk(specs, as_json=as_json) if syrup else house_desk(specs, as_json=as_json)


def additive_by_strength(text: str) -> Additive | None:
    """Water, sugar, or a strength; None for a name."""
    word = text.strip().casefold()
    if word in _WORDS:
        return _WORDS[word]
    try:
        parse_number(text)
    except QuantityError:
        try:
            if parse_quantity(text).kind != "strength":
                return None
        except QuantityError:
            return None
    return plain(zero_or_more(text, "--with", "strength", "°Bx", 100.0))


def additive_for(desk: Desk, text: str, strengths: dict[str, float]) -> Additive:
    """What `--with` means. A syrup counts at the strength of its open batch, or at standard."""
    found = additive_by_strength(text)
    if found is not None:
        return found
    ids = desk.loaded.specs.liquid_names.find(text)
    if len(ids) != 1:
        what = f"may be {', '.join(ids[:6])}" if ids else "is nothing this house has"
        raise UsageError(
            "unknown-name", f'--with: "{text}" {what}', "use water, sugar, a name, or a strength like 12.8"
        )
    broken = next((entry for entry in desk.loaded.broken if entry.id == ids[0] and entry.kind != "drinks"), None)
    if broken:
        raise ProblemsError(broken.problems)
    return additive_of(desk.bar, ids[0], strengths)


def open_strengths(desk: Desk) -> dict[str, float]:
    """The strength of each syrup's open batch, where one only is open and read, °Bx by id."""
    in_use = [batch for batch in desk.before if batch.state == "open"] if isinstance(desk, Bench) else []
    liquids = [batch.liquid for batch in in_use]
    return {batch.liquid: batch.brix for batch in in_use if batch.brix is not None and liquids.count(batch.liquid) == 1}


def tub_of(
    desk: Desk,
    batch: str | None,
    syrup: str | None,
    *,
    brix: str | None,
    mass: str | None,
    volume: str | None,
    uncertainty: str | None,
    stirred: bool,
) -> Tub:
    """The batch that is meant, what the options say of it first, then what the log says.

    Raises UsageError when its strength is not known, CannotError when its batch was never read.
    """
    syrup_id = desk.find("syrups", syrup) if syrup else None
    found = _batch(desk, batch, syrup_id, guess=brix is None)
    read_brix = values.brix(brix, "--brix") if brix else None
    strength = read_brix if read_brix is not None else found.brix if found else None
    if strength is None and found:
        remedy = f"read it: balancer measure READING --batch {found.id} --log"
        raise CannotError("no-reading", f"no strength is logged for {found.id}", remedy)
    if strength is None:
        raise UsageError("usage", "nothing says how strong the batch is", "add --brix, or --batch for one in the log")
    if mass and volume:
        raise UsageError("usage", "--mass and --volume: one of them says how much there is", "leave one out")
    measures = desk.house.measures()
    weighed = _mass(mass, desk.house, strength) if mass else None
    filled = values.volume(volume, "--volume", measures) if volume else None
    logged = found if found and read_brix is None else None
    from_log = found.mass if found and weighed is None and filled is None else None
    unsure = zero_or_more(uncertainty, "--uncertainty", "strength", "°Bx", 20.0) if uncertainty else None
    return Tub(
        brix=strength,
        syrup_id=found.liquid if found else syrup_id,
        batch_id=found.id if found else None,
        uncertainty=logged.uncertainty if logged and unsure is None else unsure,
        # A second reading of a batch follows on a stir; an uncertainty from the command line is all of it.
        stirred=stirred or unsure is not None or bool(logged and logged.verified and len(logged.readings) > 1),
        mass_g=weighed if weighed is not None else from_log,
        volume_ml=filled,
        estimated=from_log is not None and found is not None and found.state == "open",
        unread=logged is not None and not logged.verified,
    )


def target_of(desk: Desk, tub: Tub, target: str | None) -> float:
    """The strength to reach: the syrup's standard unless another is asked for."""
    if target:
        return values.brix(target, "--target")
    if tub.syrup_id is None:
        raise UsageError("usage", "nothing says how strong it should become", "add --target, or --syrup for a standard")
    return desk.bar.standard(tub.syrup_id)


def _batch(desk: Desk, text: str | None, syrup_id: str | None, *, guess: bool) -> Batch | None:
    """The batch named; else, to guess by, the only one of the syrup in the house."""
    if not isinstance(desk, Bench):
        return None
    if text is None:
        known = [batch for batch in desk.before if batch.liquid == syrup_id and batch.state in ("made", "open")]
        return known[0] if guess and len(known) == 1 else None
    found = batch_in_house(desk.before, desk.loaded.specs, text)
    refuse_past(found, desk.today)
    if found.liquid not in desk.loaded.specs.syrups or (syrup_id and found.liquid != syrup_id):
        raise UsageError("wrong-kind", f"{found.id} is a batch of {found.liquid}", "name a batch of the syrup")
    return found


def _mass(text: str, house: House, brix: float) -> float:
    """A mass in g. An ounce is a fluid ounce here, and weighing it is a trap worth a sentence."""
    try:
        found = parse_quantity(text)
    except QuantityError:
        return values.mass(text, "--mass")
    if found.unit != "oz":
        return values.mass(text, "--mass")
    got = fluid_ounces_weighed(found.value, brix, house.ounce)
    short = trim(100.0 * (1.0 - got / found.value), 0)
    said = f"{trim(found.value, 2)} oz"
    raise UsageError(
        "ounces",
        f'--mass: "{text}" is a volume: an ounce is a fluid ounce here. {said} on a scale would be only '
        f"{trim(got, 1)} fluid oz of this syrup, {short} % short",
        f"use --volume {text.strip()}, or weigh it in g",
    )
