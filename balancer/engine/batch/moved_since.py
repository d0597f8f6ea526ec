"""Whether a batch stands as it did when something was reckoned for it: what is to go in is another amount else."""

from __future__ import annotations

from typing import Final

from balancer.engine.batch.events import Log
from balancer.engine.batch.record import record
from balancer.engine.batch.undoing import DONE
from balancer.errors import CannotError
from balancer.models.batch import Batch, Event
from balancer.models.specs import Specs

_MOVES: Final[tuple[Event, ...]] = ("made", "reading", "correct")


class MovedSinceError(CannotError):
    """A batch is no longer as it was when something was reckoned for it."""


def standing(batch: Batch) -> str:
    """What an addition to a batch is reckoned from, as a text to compare: its strength, °Bx, and its mass, g."""
    return f"{batch.brix!r} {batch.mass!r}"


def refuse_moved(log: Log, specs: Specs, identity: str, was: str) -> None:
    """Raise MovedSinceError where a batch is no longer as `standing` had it: somebody read or corrected it since."""
    found = record(log, specs, identity)
    if found.batch is None or standing(found.batch) == was:
        return
    counts = [line.deed.event for line in found.lines if line.standing == "counts" and line.deed.event in _MOVES]
    word = DONE[counts[-1]] if counts and not _has_gone_back(log, found.id) else "changed"
    now = "of unknown strength" if found.batch.brix is None else f"{round(found.batch.brix, 1):g} °Bx"
    raise MovedSinceError(
        "moved-since", f"{found.id} was {word} since: {now}",
        "what has to go in is another amount now; if the first is in already, read it",
    )  # fmt: skip


def _has_gone_back(log: Log, identity: str) -> bool:
    """Whether the last thing done was to take something back."""
    return bool(log) and log[-1].event == "undo" and log[-1].batch == identity
