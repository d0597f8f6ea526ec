"""Every batch of the log, and every entry of it."""

from __future__ import annotations

from functools import partial

from balancer.asking.outcome import Outcome
from balancer.desk.desk import Desk
from balancer.engine.batch.notes import BatchNow, closed, describe, in_house
from balancer.output.data.batches import list_data


def batches_of(desk: Desk) -> Outcome[tuple[BatchNow, ...]]:
    """The log folded: the batches in the house, the one to use first before the others, then those that are gone."""
    listed = (*in_house(desk.batches), *closed(desk.batches))
    found = tuple(describe(desk.bar, batch, desk.today) for batch in listed)
    return Outcome(found, partial(list_data, found), about=())
