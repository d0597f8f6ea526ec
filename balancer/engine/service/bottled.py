"""What was bottled, as the batch log has it, and how to rescue a bottle whose syrup was not what it seemed.

A bottle is noted at the batch that went in, as an entry that changes nothing about the batch but what is
left of it: an event `reading` without a strength and a note like `bottled: 12 serves of slipway-sour at 54 °Bx`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Final, NamedTuple

from balancer.components import WATER
from balancer.engine.batch.events import Stamp
from balancer.engine.batch.history import batch_key, live_entries
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.dilution import WATER_G_PER_ML
from balancer.engine.drink.totals import contribute
from balancer.engine.service.bottle import Bottle, Line
from balancer.engine.service.bottle_serve import bottle_serve
from balancer.engine.service.menu import Menu
from balancer.errors import CannotError
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink
from balancer.units import format_number

_NOTE: Final = re.compile(
    r"bottled: (?P<serves>[0-9]+(?:\.[0-9]+)?) serves? of (?P<drink>\S+) at (?P<brix>[0-9]+(?:\.[0-9]+)?) °Bx"
)


class Bottled(NamedTuple):
    """A bottle in the log.

    drink       id of its drink
    brix        strength at which the batch that went in was taken, °Bx
    found_brix  what that batch read later, before anything was done to it, °Bx; None when it was not read again
    """

    batch: str
    drink: str
    serves: float
    brix: float
    at: datetime | None
    found_brix: float | None = None


class Rescue(NamedTuple):
    """What to add to a mixed bottle.

    sugar_percent  how far the sugar of the drink is off, %
    add            what goes in; empty when the bottle passes as it is
    serves         how many serves it holds then
    dry_sugar_g    instead of more syrup: this much sugar, without the syrup's flavour; 0 when it is too sweet
    """

    sugar_percent: float
    add: tuple[Line, ...]
    serves: float
    dry_sugar_g: float


def bottled_entry(result: Bottle, stamp: Stamp) -> LogEntry:
    """The entry that says which batch went into a bottle, and what is left of it where that is known."""
    used = result.from_batch
    if used is None or used.batch.brix is None:
        raise CannotError("bottle", "no batch went into this bottle", "name one with --from")
    left = None if used.batch.mass is None else used.batch.mass - used.needs_g
    serves, brix = format_number(round(result.serves, 2)), format_number(round(used.batch.brix, 2))
    note = f"bottled: {serves} serves of {result.drink.id} at {brix} °Bx"
    mass = round(left, 1) if left is not None and left >= 0.1 else None
    return LogEntry(used.batch.id, "reading", stamp.at, mass=mass, by=stamp.by, note=note)


def bottled(entries: Sequence[LogEntry]) -> tuple[Bottled, ...]:
    """The bottles of a log, oldest first; of undone entries none.

    >>> note = "bottled: 12 serves of slipway-sour at 54 °Bx"
    >>> bottled([LogEntry("RAS-12", "reading", None, note=note)])[0][:4]
    ('RAS-12', 'slipway-sour', 12.0, 54.0)
    """
    live = [entry for entry, counts in zip(entries, live_entries(entries), strict=True) if counts]
    found = []
    for place, entry in enumerate(live):
        match = _NOTE.fullmatch(entry.note or "")
        if match:
            serves, brix = float(match["serves"]), float(match["brix"])
            later = _read_later(entry.batch, live[place + 1 :])
            found.append(Bottled(entry.batch, match["drink"], serves, brix, entry.at, later))
    return tuple(found)


def _read_later(batch: str, entries: Sequence[LogEntry]) -> float | None:
    """The last reading of a batch; what was corrected is no longer what went into the bottle."""
    found = None
    for entry in entries:
        if batch_key(entry.batch) != batch_key(batch):
            continue
        if entry.event == "correct" and (entry.brix is not None or entry.mass is None):
            break
        if entry.event == "reading" and entry.brix is not None:
            found = entry.brix
    return found


def find_bottled_batch(batches: Iterable[Batch], item: Bottled) -> Batch | None:
    """The batch that went in, as the log has it now."""
    return next((batch for batch in batches if batch_key(batch.id) == batch_key(item.batch)), None)


def rescue(bar: Bar, drink: Drink, syrup_id: str, serves: float, taken_brix: float, brix: float) -> Rescue:
    """What to add to a bottle whose syrup was taken at one strength and has another.

    serves       in the bottle
    taken_brix   strength that the bottle was mixed for, °Bx; its pour kept the sugar at that strength
    brix         strength the syrup really has, °Bx
    Too sweet: more of everything but the syrup, and water, until it is more serves of the same drink. Not
    sweet enough: more of the syrup, whose water stays in.
    Raises CannotError when the drink does not pour the syrup, or nothing tells its dilution.
    """
    designed = bottle_serve(bar, drink, contribute(bar, drink, {}, {}))
    own = next((part for part in designed.inside if part.pour.of == syrup_id), None)
    if own is None or not own.sugar_g:
        raise CannotError("not-poured", f"{drink.name} does not bottle this syrup", "name a syrup it pours")
    actual = bar.liquid(syrup_id, brix)
    was = bottle_serve(bar, drink, contribute(bar, drink, *Menu(bar, {syrup_id: taken_brix}).decide(drink).exact()))
    poured_g = next(part.mass_g for part in was.inside if part.pour.of == syrup_id)
    off_g = poured_g * actual.sugar_per_g - own.sugar_g
    percent = 100.0 * off_g / sum(part.sugar_g for part in designed.inside)
    if abs(percent) <= bar.specs.house.tolerance:
        return Rescue(percent, (), serves, 0.0)
    if off_g < 0.0:
        more_g = serves * -off_g / actual.sugar_per_g
        density = actual.density or 1.0
        line = Line(syrup_id, own.liquid.name, more_g, more_g / density)
        return Rescue(percent, (line,), serves, serves * -off_g)
    more = serves * off_g / own.sugar_g
    others = [part for part in was.inside if part.pour.of != syrup_id]
    lines = [
        Line(
            part.liquid.id,
            part.liquid.name,
            more * part.mass_g,
            None if part.volume_ml is None else more * part.volume_ml,
        )
        for part in others
        if not part.liquid.melts
    ]
    if designed.state is None or was.dilution.melt_water_g is None:
        raise CannotError(
            "dilution-unknown", f"{drink.name}: {designed.dilution.note}", "add a line like dilution: 20 %"
        )
    dry = sum(part.water_g for part in others if not part.liquid.melts)
    holds_g = serves * (dry + poured_g * actual.per_g[WATER] + was.dilution.melt_water_g)
    water_g = (serves + more) * designed.state.grams[WATER] - holds_g - more * dry
    if water_g > 0.0:
        lines.append(Line("water", "water", water_g, water_g / WATER_G_PER_ML))
    return Rescue(percent, tuple(lines), serves + more, 0.0)
