"""What the log says of one batch, line by line and numbered: what counts, and what was taken back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from balancer.engine.batch.events import find_batch
from balancer.engine.batch.history import batch_key, counting_entries, history, undone_times
from balancer.models.batch import Batch, Event, LogEntry
from balancer.models.specs import Specs

Counting = Literal["counts", "undone", "left out"]


class Deed(NamedTuple):
    """One thing that was logged: an entry, or the reading with which a batch was made.

    event  the entry's; "reading" also for what was read when the batch was made, which can be taken back alone
    """

    entry: LogEntry
    event: Event

    @property
    def is_first_reading(self) -> bool:
        """Whether it is what was read when the batch was made."""
        return self.event != self.entry.event


class RecordLine(NamedTuple):
    """One numbered line of a batch's record.

    number     from 1 on, in the order of the log; it never changes, because the log only grows
    undone_by  the undo that took it away
    why        why it counts for nothing although nobody took it back; empty else
    """

    number: int
    deed: Deed
    undone_by: LogEntry | None
    why: str

    @property
    def standing(self) -> Counting:
        """Whether it counts."""
        if self.undone_by is not None:
            return "undone"
        return "left out" if self.why else "counts"


@dataclass(frozen=True, slots=True)
class BatchRecord:
    """Everything the log says of one batch.

    batch   as it stands now; None when its making was taken back, or was never logged
    liquid  id of its syrup or ingredient, or what the log calls it; empty where no line says it
    """

    id: str
    liquid: str
    batch: Batch | None
    lines: tuple[RecordLine, ...]


def record(entries: Sequence[LogEntry], specs: Specs, identity: str) -> BatchRecord:
    """The record of a batch by its id: its own entries, and those of others that say it was replaced or used up."""
    key = batch_key(identity)
    folded = history(entries, specs)
    faults = {fault.place: fault.message for fault in folded.faults}
    undos = [
        (place, entry)
        for place, entry in enumerate(counting_entries(entries))
        if entry is not None and entry.event == "undo"
    ]
    lines: list[RecordLine] = []
    made: LogEntry | None = None
    for place, entry in enumerate(entries):
        if entry.event == "undo" or not _is_about(entry, key):
            continue
        if entry.event == "made" and batch_key(entry.batch) == key:
            made = entry
        for deed in deeds(entry):
            undone_by = next((undo for after, undo in undos if after > place and takes_back(undo, deed)), None)
            lines.append(RecordLine(len(lines) + 1, deed, undone_by, faults.get(place, "")))
    batch = next((one for one in folded.batches if batch_key(one.id) == key), None)
    liquid = batch.liquid if batch else (made.liquid or "" if made else "")
    shown = batch.id if batch else made.batch if made else identity
    return BatchRecord(shown, liquid, batch, tuple(lines))


def deeds(entry: LogEntry) -> Iterator[Deed]:
    """An entry, and beside a making what was read then; of a mixture the strength was reckoned, not read."""
    yield Deed(entry, entry.event)
    if entry.event == "made" and not entry.refers and (entry.brix is not None or entry.acid is not None):
        yield Deed(entry, "reading")


def takes_back(undo: LogEntry, deed: Deed) -> bool:
    """Whether an undo takes away what stands above it in the log."""
    entry = deed.entry
    if entry.at is None or entry.at not in undone_times(undo):
        return False
    return undo.only is None or (
        batch_key(undo.batch) == batch_key(entry.batch) and undo.only in (entry.event, deed.event)
    )


def recorded_id(entries: Sequence[LogEntry], specs: Specs, known: Sequence[Batch], text: str) -> str:
    """The id that a person means, of any batch the log has a line of: one whose making was taken back too.

    known  every batch of the log as it stands
    Raises UsageError when nothing or several answer to it.
    """
    key = batch_key(text.strip())
    named = next((entry.batch for entry in entries if key and batch_key(entry.batch) == key), None)
    return named if named is not None else find_batch(known, specs, text).id


def _is_about(entry: LogEntry, key: str) -> bool:
    return batch_key(entry.batch) == key or any(batch_key(other) == key for other in entry.refers)
