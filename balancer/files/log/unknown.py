"""Batches in the house of something that the files do not know: nobody is told what to pour of them."""

from __future__ import annotations

from collections.abc import Iterable

from balancer.engine.batch.history import CLOSED, batch_key
from balancer.errors import Problem
from balancer.files.log.batch_log import LogRead
from balancer.models.batch import Batch
from balancer.models.specs import Specs


def unknown_liquids(log: LogRead, known: Iterable[Batch], specs: Specs) -> tuple[Problem, ...]:
    """A problem for each batch, made or open, whose syrup or ingredient no file names, at the line that made it.

    known  every batch of the log
    What is in a file that did not load is told there.
    """
    told = [batch for batch in known if batch.state not in CLOSED and specs.liquid_names.whole(batch.liquid) is None]
    if not told:
        return ()
    made: dict[str, int] = {}
    for index, entry in log.live():
        if entry.event == "made":
            made.setdefault(batch_key(entry.batch), index)
    return tuple(_problem(log, made[batch_key(batch.id)], batch, specs) for batch in told)


def _problem(log: LogRead, index: int, batch: Batch, specs: Specs) -> Problem:
    state = "is open" if batch.state == "open" else "waits"
    near = specs.liquid_names.closest(batch.liquid)
    remedy = f'did you mean "{near}"?' if near else "correct the name, or write a file for it"
    why = f'no syrup or ingredient is called "{batch.liquid}"' if batch.liquid else "nothing says what it is"
    message = f"{batch.id} {state}, but {why}: no pours are given for it"
    return log.problem(index, batch.liquid or batch.id, "unknown-name", message, remedy)
