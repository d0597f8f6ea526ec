"""What brings a batch to strength."""

from __future__ import annotations

from functools import partial

from balancer.asking import names
from balancer.asking.additives import additive_by_strength, additive_named
from balancer.asking.outcome import Outcome
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.values import TextOrNumber
from balancer.engine.batch.doubts import measured_doubt
from balancer.engine.batch.events import refuse_past
from balancer.engine.batch.now import is_past
from balancer.engine.batch.read_it import read_it
from balancer.engine.drink.doubts import mass_doubt
from balancer.engine.prep.correct import fluid_ounces_weighed
from balancer.engine.prep.tub import Corrected, Tub, correct, tub_of
from balancer.errors import CannotError, QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.output.data.correct import correct_data
from balancer.output.words.numbers import trim
from balancer.units import parse_quantity


def corrected(  # noqa: PLR0913 - one for each option
    desk: Desk,
    batch: str | None = None,
    syrup: str | None = None,
    *,
    brix: TextOrNumber | None = None,
    mass: TextOrNumber | None = None,
    volume: TextOrNumber | None = None,
    target: TextOrNumber | None = None,
    additive: TextOrNumber | None = None,
    container: TextOrNumber | None = None,
    uncertainty: TextOrNumber | None = None,
    stirred: bool = False,
    alone: bool = False,
    is_meant: bool = False,
) -> Outcome[Corrected]:
    """What to add to a batch of the log, to a syrup, or to something that is only as strong as that.

    Numbers are °Bx, g and ml.
    additive  water, sugar, something of the house, or its strength; the best of them when None
    alone     whether every other syrup counts at standard, whatever its open batch reads
    is_meant  whether what looks like a slip is meant
    Raises UsageError where something is missing or said twice, CannotError where nothing brings it there.
    """
    by_strength = additive_by_strength(additive, desk.calls("--with")) if additive is not None else None
    by_name = str(additive) if additive is not None and by_strength is None else None
    if not (batch or syrup or by_name):
        desk.only_house()
    # The log may say something of the batch, of what is added by its name, and of what the menu pours beside it.
    in_log = desk.batches if batch or by_name or (syrup and brix is None) else ()
    strengths = {} if alone or not (batch or syrup) else desk.in_use.strengths
    tub = _tub(
        desk, in_log, batch, syrup, brix=brix, mass=mass, volume=volume, uncertainty=uncertainty, stirred=stirred
    )
    wanted = _target(desk, tub, target)
    doubts = [mass_doubt(tub.mass_g)] if mass is not None else []
    if tub.syrup_id in desk.specs.syrups:
        typed = [*([tub.brix] if brix is not None else []), *([wanted] if target is not None else [])]
        doubts += [measured_doubt(desk.bar, tub.syrup_id, strength, None) for strength in typed]
    desk.believe(doubts, is_meant=is_meant)
    result = correct(
        desk.bar,
        tub,
        wanted,
        additive_named(desk, by_name) if by_name is not None else by_strength,
        container_ml=_ml(desk, container, "--container"),
        strengths=strengths,
    )
    about = (result.syrup.id,) if result.syrup else ()
    return Outcome(result, partial(correct_data, result, desk.house), about=about)


def _tub(
    desk: Desk,
    in_log: tuple[Batch, ...],
    batch: str | None,
    syrup: str | None,
    *,
    brix: TextOrNumber | None,
    mass: TextOrNumber | None,
    volume: TextOrNumber | None,
    uncertainty: TextOrNumber | None,
    stirred: bool,
) -> Tub:
    """The batch that is meant: what was said of it first, then what the log says.

    Raises UsageError when its strength is not known, CannotError when its batch was never read.
    """
    syrup_id = names.syrup(desk.loaded, syrup) if syrup else None
    found = _batch(desk, in_log, batch, syrup_id, guess=brix is None)
    read_brix = values.brix(brix, desk.calls("--brix")) if brix is not None else None
    strength = read_brix if read_brix is not None else found.brix if found else None
    if strength is None and found:
        remedy = read_it(desk.specs.find_liquid(found.liquid), found.id)
        raise CannotError("no-reading", f"no strength is logged for {found.id}", remedy)
    if strength is None:
        remedy = f"add {desk.calls('--brix')}, or {desk.calls('--batch')} for one in the log"
        raise UsageError("usage", "nothing says how strong the batch is", remedy)
    if mass is not None and volume is not None:
        told = f"{desk.calls('--mass')} and {desk.calls('--volume')}: one of them says how much there is"
        raise UsageError("usage", told, "leave one out")
    weighed = _mass(desk, mass, strength) if mass is not None else None
    filled = _ml(desk, volume, "--volume")
    known = tub_of(found) if found else None
    logged = known if read_brix is None else None
    from_log = found.mass if found and weighed is None and filled is None else None
    unsure = None
    if uncertainty is not None:
        unsure = values.zero_or_more(uncertainty, desk.calls("--uncertainty"), "strength", "°Bx", 20.0)
    return Tub(
        brix=strength,
        syrup_id=found.liquid if found else syrup_id,
        batch_id=found.id if found else None,
        uncertainty=logged.uncertainty if logged and unsure is None else unsure,
        # An uncertainty that was said is all of it.
        stirred=stirred or unsure is not None or bool(logged and logged.stirred),
        mass_g=weighed if weighed is not None else from_log,
        volume_ml=filled,
        estimated=from_log is not None and found is not None and found.state == "open",
        unread=logged is not None and logged.unread,
    )


def _batch(
    desk: Desk, in_log: tuple[Batch, ...], text: str | None, syrup_id: str | None, *, guess: bool
) -> Batch | None:
    """The batch named; else, to guess by, the only one of the syrup in the house that may be used."""
    if text:
        found = names.syrup_batch(in_log, desk.specs, text, syrup_id, desk.today)
        refuse_past(found, desk.today)
        return found
    known = [batch for batch in in_log if batch.liquid == syrup_id and batch.state in ("made", "open")]
    meant = [batch for batch in known if not is_past(batch, desk.today)] or known
    if not guess or len(meant) != 1:
        return None
    refuse_past(meant[0], desk.today)
    return meant[0]


def _target(desk: Desk, tub: Tub, target: TextOrNumber | None) -> float:
    """The strength to reach: the syrup's standard unless another is asked for."""
    if target is not None:
        return values.brix(target, desk.calls("--target"))
    if tub.syrup_id is None:
        remedy = f"add {desk.calls('--target')}, or {desk.calls('--syrup')} for a standard"
        raise UsageError("usage", "nothing says how strong it should become", remedy)
    return desk.bar.standard(tub.syrup_id)


def _ml(desk: Desk, volume: TextOrNumber | None, option: str) -> float | None:
    return None if volume is None else values.volume(volume, desk.calls(option), desk.house.measures())


def _mass(desk: Desk, mass: TextOrNumber, brix: float) -> float:
    """A mass in g. An ounce is a fluid ounce here, and weighing it is a trap worth a sentence."""
    option = desk.calls("--mass")
    try:
        found = parse_quantity(mass) if isinstance(mass, str) else None
    except QuantityError:
        found = None
    if found is None or found.unit != "oz":
        return values.mass(mass, option)
    got = fluid_ounces_weighed(found.value, brix, desk.house.ounce)
    short = trim(100.0 * (1.0 - got / found.value), 0)
    said = f"{trim(found.value, 2)} oz"
    raise UsageError(
        "ounces",
        f'{option}: "{mass}" is a volume: an ounce is a fluid ounce here. {said} on a scale would be only '
        f"{trim(got, 1)} fluid oz of this syrup, {short} % short",
        f"use {desk.calls('--volume')} {str(mass).strip()}, or weigh it in g",
    )
