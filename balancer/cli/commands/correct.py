"""Bringing a batch to strength."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli import names
from balancer.cli.additives import additive_by_strength, additive_named
from balancer.cli.completion import BATCHES, LIQUIDS, SYRUPS
from balancer.cli.options import Alone, Uncertainty, VolumeText, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.batch.doubts import measured_doubt
from balancer.engine.batch.events import refuse_past
from balancer.engine.batch.now import is_past
from balancer.engine.batch.read_it import read_it
from balancer.engine.drink.doubts import mass_doubt
from balancer.engine.prep.correct import fluid_ounces_weighed
from balancer.engine.prep.tub import Tub, correct, tub_of
from balancer.errors import CannotError, QuantityError, UsageError
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.data.correct import correct_data
from balancer.output.screen.correct import correct_text
from balancer.output.words.numbers import trim
from balancer.output.working.correct import correct_steps
from balancer.units import parse_quantity


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
    by_strength = additive_by_strength(additive) if additive else None
    by_name = additive if by_strength is None else None
    if not (batch or syrup or by_name):
        desk.only_house()
    # The log may say something of the batch, of what is added by its name, and of what the menu pours beside it.
    in_log = desk.batches if batch or by_name or (syrup and brix is None) else ()
    strengths = {} if alone or not (batch or syrup) else desk.in_use.strengths
    tub = _tub(
        desk, in_log, batch, syrup, brix=brix, mass=mass, volume=volume, uncertainty=uncertainty, stirred=stirred
    )
    wanted = _target(desk, tub, target)
    doubts = [mass_doubt(tub.mass_g)] if mass else []
    if tub.syrup_id in desk.specs.syrups:
        typed = [*([tub.brix] if brix else []), *([wanted] if target else [])]
        doubts += [measured_doubt(desk.bar, tub.syrup_id, strength, None) for strength in typed]
    desk.believe(doubts, is_meant=yes)
    result = correct(
        desk.bar,
        tub,
        wanted,
        additive_named(desk, by_name) if by_name else by_strength,
        container_ml=values.volume(container, "--container", desk.house.measures()) if container else None,
        strengths=strengths,
    )
    return Answer(
        lambda: correct_text(result, desk.house),
        lambda: correct_data(result, desk.house),
        lambda: correct_steps(result),
        about=[result.syrup.id] if result.syrup else [],
    )


def _tub(
    desk: Desk,
    in_log: tuple[Batch, ...],
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
    syrup_id = names.syrup(desk.loaded, syrup) if syrup else None
    found = _batch(desk, in_log, batch, syrup_id, guess=brix is None)
    read_brix = values.brix(brix, "--brix") if brix else None
    strength = read_brix if read_brix is not None else found.brix if found else None
    if strength is None and found:
        remedy = read_it(desk.specs.find_liquid(found.liquid), found.id)
        raise CannotError("no-reading", f"no strength is logged for {found.id}", remedy)
    if strength is None:
        raise UsageError("usage", "nothing says how strong the batch is", "add --brix, or --batch for one in the log")
    if mass and volume:
        raise UsageError("usage", "--mass and --volume: one of them says how much there is", "leave one out")
    weighed = _mass(mass, desk.house, strength) if mass else None
    filled = values.volume(volume, "--volume", desk.house.measures()) if volume else None
    known = tub_of(found) if found else None
    logged = known if read_brix is None else None
    from_log = found.mass if found and weighed is None and filled is None else None
    unsure = values.zero_or_more(uncertainty, "--uncertainty", "strength", "°Bx", 20.0) if uncertainty else None
    return Tub(
        brix=strength,
        syrup_id=found.liquid if found else syrup_id,
        batch_id=found.id if found else None,
        uncertainty=logged.uncertainty if logged and unsure is None else unsure,
        # An uncertainty from the command line is all of it.
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


def _target(desk: Desk, tub: Tub, target: str | None) -> float:
    """The strength to reach: the syrup's standard unless another is asked for."""
    if target:
        return values.brix(target, "--target")
    if tub.syrup_id is None:
        raise UsageError("usage", "nothing says how strong it should become", "add --target, or --syrup for a standard")
    return desk.bar.standard(tub.syrup_id)


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
