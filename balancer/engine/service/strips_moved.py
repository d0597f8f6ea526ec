"""Which strips on the rail, and labels on bottles, another state of the log ends, changes or calls for."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final, NamedTuple

from balancer.engine.batch.history import batches
from balancer.engine.drink.bar import Bar
from balancer.engine.service.bottled import bottled
from balancer.engine.service.strips import Strip, strips
from balancer.engine.service.tonight import tonight
from balancer.models.batch import Batch, LogEntry

_LABELLED: Final = ("made", "open")
_DECIMALS: Final = 1
"""Of a strength and of an acid, as people read them."""


class StripsMoved(NamedTuple):
    """Ids of batches, in the order of opening.

    off    their strip comes off, and there is none in its place
    again  their strip says something else now
    new    they had none, and have one now
    stay   their strip names a bottle that was touched, and says what it said
    closed  those of `off` that are not in use any more
    labels  those that are kept on, and whose own label says a strength, an acid or a last day that is no longer true
    """

    off: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    stay: tuple[str, ...] = ()
    closed: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()


def strips_moved(bar: Bar, night: date, before: Sequence[LogEntry], after: Sequence[LogEntry]) -> StripsMoved:
    """What becomes of the strips of a night when the log goes from one state to another.

    A strip is another one when its pours, what it warns of, until when it hangs, or the bottles it hangs on are.
    """
    first, then = batches(before, bar.specs), batches(after, bar.specs)
    touched = {batch.id for batch in {*_open(first)} ^ {*_open(then)}}
    labels = _relabelled(first, then)
    if not touched:
        return StripsMoved(labels=labels)
    old, new = _strips(bar, night, first, before), _strips(bar, night, then, after)
    here = {batch.id for batch in _open(then)}
    off = tuple(identity for identity in old if identity not in new)
    kept = [identity for identity in old if identity in new]
    same = [identity for identity in kept if _says(old[identity]) == _says(new[identity])]
    return StripsMoved(
        off,
        tuple(identity for identity in kept if identity not in same),
        tuple(identity for identity in new if identity not in old),
        tuple(each for each in same if any(other.batch.id in touched for other in new[each].hangs_on)),
        tuple(identity for identity in off if identity not in here),
        labels,
    )


def _relabelled(before: Sequence[Batch], after: Sequence[Batch]) -> tuple[str, ...]:
    old = {batch.id: batch for batch in before if batch.state in _LABELLED}
    kept = [batch for batch in after if batch.state in _LABELLED and batch.id in old]
    return tuple(batch.id for batch in kept if _on_label(batch) != _on_label(old[batch.id]))


def _on_label(batch: Batch) -> tuple[object, ...]:
    """What its label says of the batch itself, whatever is poured of it."""
    brix = None if batch.brix is None else round(batch.brix, _DECIMALS)
    acid = None if batch.acid is None else (round(batch.acid.value, _DECIMALS), batch.acid.unit)
    return brix, batch.verified, acid, batch.discard


def _open(known: Sequence[Batch]) -> list[Batch]:
    return [batch for batch in known if batch.state == "open"]


def _strips(bar: Bar, night: date, known: Sequence[Batch], entries: Sequence[LogEntry]) -> dict[str, Strip]:
    found = strips(bar, tonight(bar, known, night, bottled(entries), entries), known, entries)
    return {strip.batch.id: strip for strip in found.strips}


def _says(strip: Strip) -> tuple[object, ...]:
    beside = {other.batch.id: [drink.id for drink in other.drinks] for other in strip.hangs_on}
    stuck = [(pour.drink.id, pour.written) for pour in strip.lines.stuck]
    return strip.lines, stuck, strip.gained, strip.allergens_unknown, strip.until, beside
