"""The batch log folded into batches: states, ids, days of use, and what two batches make together."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from typing import Final, NamedTuple

from balancer.engine.drink.keeping import keeping
from balancer.errors import QuantityError
from balancer.models.batch import Batch, BatchState, Cause, Event, LogEntry
from balancer.models.days import parse_time
from balancer.models.names import slug
from balancer.models.specs import Specs
from balancer.units import Quantity

CLOSED: Final = ("empty", "discarded")
CLOCKS_APART: Final = timedelta(minutes=2)
"""So far the clocks of two devices may differ before anything is told (judged)."""

_PLAIN_ID: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Fault(NamedTuple):
    """An entry that says something impossible and is left out.

    place  its index among the entries; word is the part of it that is meant
    """

    place: int
    word: str
    message: str
    remedy: str


class History(NamedTuple):
    """What a log adds up to: every batch in the order made, and the entries that count for nothing."""

    batches: tuple[Batch, ...]
    faults: tuple[Fault, ...]


def batches(entries: Iterable[LogEntry], specs: Specs | None = None) -> tuple[Batch, ...]:
    """Every batch of a log as it stands now, in the order made.

    specs  turns names into ids and gives the last day of use where an entry does not say it
    """
    return history(entries, specs).batches


def history(entries: Iterable[LogEntry], specs: Specs | None = None) -> History:
    """The batches of a log, and the entries that are impossible. Entries count in the order of the lines.

    An undone entry counts for nothing; undoing the undo brings it back. The reading with which a batch was made can
    be undone alone. A batch begins with `made`; `empty`
    and `discard` close it for good. What is opened in its place, or combined from it, empties a batch.
    """
    listed = list(entries)
    folder = _Folder(specs)
    seen: set[datetime] = set()
    for index, (entry, counts) in enumerate(zip(listed, counting_entries(listed), strict=True)):
        if entry.event == "undo":
            folder.check_undo(index, entry, seen if entry.only is None else _moments_of(listed[:index], entry))
        elif counts is not None:
            folder.take(index, counts)
        if entry.at is not None:
            seen.add(entry.at)
    return History(tuple(folder.batch(batch) for batch in folder.found.values()), tuple(folder.faults))


def live_entries(entries: Sequence[LogEntry]) -> list[bool]:
    """Whether each entry still counts, that is, no later undo that itself counts takes it away."""
    return [entry is not None for entry in counting_entries(entries)]


def counting_entries(entries: Sequence[LogEntry]) -> list[LogEntry | None]:
    """Each entry as it counts: None where it was taken back; `made` without what was read where that alone was."""
    found: list[LogEntry | None] = list(entries)
    moments: set[datetime] = set()
    parts: set[tuple[datetime, str, Event]] = set()
    for index in range(len(entries) - 1, -1, -1):
        entry = entries[index]
        moment = entry.at
        if moment is not None and moment in moments:
            found[index] = None
            continue
        if parts and moment is not None:
            key = batch_key(entry.batch)
            if (moment, key, entry.event) in parts:
                found[index] = None
                continue
            if entry.event == "made" and (moment, key, "reading") in parts:
                found[index] = replace(entry, brix=None, uncertainty=None, acid=None, cause=None)
        if entry.event == "undo":
            undone = undone_times(entry)
            if entry.only is None:
                moments.update(undone)
            else:
                key = batch_key(entry.batch)
                parts.update((time, key, entry.only) for time in undone)
    return found


def undone_times(entry: LogEntry) -> list[datetime]:
    """The moments that an undo refers to."""
    found = []
    for text in entry.refers:
        try:
            found.append(parse_time(text))
        except QuantityError:  # what is no time cannot be one of the log
            continue
    return found


def batch_key(identity: str) -> str:
    """What makes two spellings of an id the same: case and spaces do not matter.

    >>> batch_key("RAS-12") == batch_key("ras 12")
    True
    """
    lower = identity.lower()
    # A slug costs ten times as much, and the log of a year holds thousands of ids.
    return lower if _PLAIN_ID.fullmatch(lower) else slug(identity) or identity


def discard_date(made: date, keeps_days: float) -> date:
    """The last day of use. The day it was made is day 1; part of a day does not count.

    >>> discard_date(date(2026, 4, 1), 7)  # WE-65 of tests/reference/facts/worked_examples.csv
    datetime.date(2026, 4, 7)
    """
    days = max(math.floor(keeps_days), 1) - 1
    return date.fromordinal(min(made.toordinal() + days, date.max.toordinal()))


def night_of(now: datetime, day_ends: str) -> date:
    """The date of the working day: before day_ends, like "06:00", it is still yesterday's."""
    before_end = now.time() < time.fromisoformat(day_ends)
    return now.date() - timedelta(days=1) if before_end else now.date()


def counted(entries: Iterable[LogEntry], night: date, now: datetime, day_ends: str) -> tuple[LogEntry, ...]:
    """The entries that count for a working day: by the instant in `at`, never by its local date.

    For one that is over, what was logged before its end, as the clock of `now` has it. For the one it is now, or
    one to come, all: those from the future too, because a clock may be wrong and a bottle is open all the same.
    A line without `at` always counts.
    """
    if night >= night_of(now, day_ends):
        return tuple(entries)
    end = datetime.combine(night + timedelta(days=1), time.fromisoformat(day_ends), now.tzinfo)
    return tuple(entry for entry in entries if entry.at is None or entry.at < end)


def from_future(entries: Sequence[LogEntry], now: datetime) -> tuple[int, ...]:
    """The places of the entries that count and say a moment after now, by more than clocks usually differ."""
    latest = now + CLOCKS_APART
    live = live_entries(entries)
    return tuple(
        index for index, entry in enumerate(entries) if live[index] and entry.at is not None and entry.at > latest
    )


@dataclass(slots=True)
class _Standing:
    """A batch while the entries go by; the fields as in Batch. made is the entry it began with."""

    made: LogEntry
    liquid: str
    made_on: date | None
    discard: date | None
    state: BatchState
    brix: float | None
    uncertainty: float | None
    cause: Cause | None
    mass: float | None
    acid: Quantity | None
    note: str | None
    readings: list[float]
    verified: bool
    opened: datetime | None = None

    def take(self, entry: LogEntry) -> None:
        """One of its entries other than `made` and `undo`."""
        self.cause = entry.cause or self.cause
        self.acid = entry.acid or self.acid
        self.note = entry.note or self.note
        if entry.event == "correct" and (entry.brix is not None or entry.mass is None):
            # Something was added: what it weighs now is known only when the entry says so.
            self.brix = self.brix if entry.brix is None else entry.brix
            self.uncertainty, self.mass, self.verified = entry.uncertainty, entry.mass, False
        elif entry.mass is not None:
            self.mass = entry.mass
        if entry.event == "reading" and entry.brix is not None:
            self.brix, self.uncertainty, self.verified = entry.brix, entry.uncertainty, True
            self.readings.append(entry.brix)
        elif entry.event == "open" and self.state == "made":
            self.state, self.opened = "open", entry.at
        elif entry.event == "empty":
            self.close("empty")
        elif entry.event == "discard":
            self.close("discarded")

    def close(self, state: BatchState) -> None:
        """Used up or discarded, whichever came first."""
        if self.state not in CLOSED:
            self.state = state

    def batch(self, discard: date | None, at_latest: date | None) -> Batch:
        return Batch(
            id=self.made.batch,
            liquid=self.liquid,
            state=self.state,
            brix=self.brix,
            uncertainty=self.uncertainty,
            cause=self.cause,
            mass=self.mass,
            made=self.made_on,
            discard=discard,
            by=self.made.by,
            opened=self.opened,
            readings=tuple(self.readings),
            verified=self.verified,
            parts=self.made.refers,
            acid=self.acid,
            note=self.note,
            at_latest=at_latest,
        )


def _moments_of(above: Iterable[LogEntry], undo: LogEntry) -> set[datetime]:
    """The moments at which something was logged that an undo of one event can mean."""
    key = batch_key(undo.batch)
    meant = (undo.only, "made") if undo.only == "reading" else (undo.only,)
    return {
        entry.at for entry in above if entry.at is not None and entry.event in meant and batch_key(entry.batch) == key
    }


class _Folder:
    """Batches by key while the entries go by."""

    def __init__(self, specs: Specs | None) -> None:
        self.specs = specs
        self.found: dict[str, _Standing] = {}
        self.faults: list[Fault] = []
        self._keys: dict[str, str] = {}
        self._never_made: set[str] = set()
        self._liquids: dict[str, str] = {}

    def take(self, index: int, entry: LogEntry) -> None:
        """One entry that counts."""
        key = self._key(entry.batch)
        batch = self.found.get(key)
        if entry.event == "made":
            if batch is None:
                self._make(index, key, entry)
            else:
                self._fault(index, entry.batch, f"{entry.batch} was made already", "give this batch its own number")
        elif batch is None:
            # One message a batch: a lost first line would otherwise show up at each of the others.
            if key not in self._never_made:
                self._never_made.add(key)
                self._fault(
                    index,
                    entry.batch,
                    f'no line above says that "{entry.batch}" was made: its lines count for nothing',
                    "correct the id, or log the batch with: balancer batch add SYRUP",
                )
        elif entry.event == "open" and batch.state in CLOSED:
            closed = "emptied" if batch.state == "empty" else "discarded"
            self._fault(index, entry.batch, f"{entry.batch} is opened after it was {closed}", "delete one of the lines")
        else:
            batch.take(entry)
            if entry.event == "open":
                self._use_up(index, key, entry.refers)

    def batch(self, standing: _Standing) -> Batch:
        """A batch as it stands now. One too weak for its own days has what a weaker one has, whatever was logged.

        A day logged before its own days end is the house's word, and stays.
        """
        discard = standing.discard
        syrup = self.specs.syrups.get(standing.liquid) if self.specs is not None else None
        if self.specs is None or syrup is None or standing.brix is None or standing.made_on is None:
            return standing.batch(discard, None)
        kept = keeping(self.specs, syrup, standing.brix)
        own = discard_date(standing.made_on, kept.own_days) if kept.own_days else None
        if not kept.lost or own is None:
            return standing.batch(discard, None)
        weak = discard_date(standing.made_on, kept.days) if kept.days else None
        said = discard if discard is not None and discard < own else None
        return standing.batch(oldest((said, weak)), own)

    def check_undo(self, index: int, entry: LogEntry, seen: set[datetime]) -> None:
        """An undo must mean something above it."""
        if not any(moment in seen for moment in undone_times(entry)):
            word = entry.refers[0] if entry.refers else entry.batch
            remedy = 'refers must be the "at" of a line above; balancer batch undo writes it'
            self._fault(index, word, "this undo refers to nothing above it", remedy)

    def _make(self, index: int, key: str, entry: LogEntry) -> None:
        parts = [part for part in (self.found.get(self._key(other)) for other in entry.refers) if part is not None]
        liquid = self._liquid(entry.liquid or (parts[0].liquid if parts else ""))
        made = entry.made or oldest([part.made_on for part in parts], all_known=True)
        discard = entry.discard or oldest([part.discard for part in parts]) or self._discard(liquid, made)
        was_read = entry.brix is not None and not entry.refers
        self.found[key] = _Standing(
            made=entry,
            liquid=liquid,
            made_on=made,
            discard=discard,
            state="made",
            brix=entry.brix,
            uncertainty=entry.uncertainty,
            cause=entry.cause,
            mass=entry.mass,
            acid=entry.acid,
            note=entry.note,
            readings=[entry.brix] if entry.brix is not None and was_read else [],
            verified=was_read,
        )
        self._use_up(index, key, entry.refers)

    def _use_up(self, index: int, key: str, others: Iterable[str]) -> None:
        for other in others:
            used = self._key(other)
            batch = self.found.get(used)
            if batch is None:
                self._fault(index, other, f'no line above says that "{other}" was made', "correct the id in refers")
            elif used != key:
                batch.close("empty")

    def _key(self, identity: str) -> str:
        key = self._keys.get(identity)
        if key is None:
            key = self._keys[identity] = batch_key(identity)
        return key

    def _liquid(self, text: str) -> str:
        """The id of a syrup or ingredient that a line may name in another way."""
        if self.specs is None or text in self.specs.syrups or text in self.specs.ingredients:
            return text
        if text not in self._liquids:
            self._liquids[text] = self.specs.liquid_names.whole(text) or text
        return self._liquids[text]

    def _discard(self, liquid: str, made: date | None) -> date | None:
        if self.specs is None or made is None:
            return None
        source = self.specs.find_liquid(liquid)
        return discard_date(made, source.keeps) if source and source.keeps else None

    def _fault(self, index: int, word: str, message: str, remedy: str) -> None:
        self.faults.append(Fault(index, word, message, remedy))


def oldest(days: Iterable[date | None], *, all_known: bool = False) -> date | None:
    """The earliest of some days; with all_known only when none is missing."""
    listed = list(days)
    known = [day for day in listed if day is not None]
    return None if not known or (all_known and len(known) < len(listed)) else min(known)
