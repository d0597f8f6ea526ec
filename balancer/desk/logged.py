"""What was written into the batch log, with the batches before and after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from balancer.engine.batch.history import batch_key
from balancer.models.batch import Batch, LogEntry


@dataclass(frozen=True, slots=True)
class Logged:
    """What a command wrote into the log.

    entries  the lines written
    before   every batch as it stood before
    after    every batch as it stands now
    log      the whole log as it is now
    """

    entries: tuple[LogEntry, ...]
    before: tuple[Batch, ...]
    after: tuple[Batch, ...]
    log: tuple[LogEntry, ...]

    @property
    def earlier(self) -> tuple[LogEntry, ...]:
        """The whole log as it was before."""
        return self.log[: len(self.log) - len(self.entries)]

    @property
    def batch(self) -> Batch:
        """The batch that the first line is about, as it stands now."""
        return batch_called(self.after, self.entries[0].batch)


def batch_called(known: Sequence[Batch], identity: str) -> Batch:
    """The batch of an id that the log holds."""
    key = batch_key(identity)
    return next(batch for batch in known if batch_key(batch.id) == key)
