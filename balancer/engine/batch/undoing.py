"""Taking back what was logged, and bringing it back. Nothing is ever rubbed out: an undo is an entry of its own.

What is taken back is chosen from the log as a person saw it, and looked for again under the lock. Somebody else may
have logged or undone something meanwhile: then the same thing is taken back or nothing, never another thing.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Final, NamedTuple

from balancer.engine.batch.events import Log, Stamp
from balancer.engine.batch.history import batch_key, counting_entries, undone_times
from balancer.engine.batch.record import Deed, deeds, record, takes_back
from balancer.errors import CannotError, UsageError
from balancer.models.batch import Batch, Event, LogEntry
from balancer.models.days import day_text
from balancer.models.specs import Specs

DONE: Final[dict[Event, str]] = {
    "made": "added", "open": "opened", "empty": "emptied", "correct": "corrected", "discard": "discarded",
    "reading": "read", "undo": "undone",
}  # fmt: skip
"""What was done to a batch, in one word."""

_NOTHING: Final = "see: balancer batch list --all"


class Chosen(NamedTuple):
    """What to take back, by what stays the same when the log grows.

    at     the moment of the command that logged it
    batch  of what is meant alone; None for everything that was logged at the moment
    event  of that batch
    """

    at: datetime
    batch: str | None = None
    event: Event | None = None


class BuiltOn(NamedTuple):
    """What counts for nothing without a making: later entries of the batch, and other batches that name it."""

    own: tuple[LogEntry, ...]
    others: tuple[LogEntry, ...]


def last_logged(log: Log) -> Chosen:
    """The last command that counts. Raises CannotError when there is none, or nothing tells it from others."""
    found = [entry for entry in counting_entries(log) if entry is not None and entry.event != "undo"]
    if not found:
        raise CannotError("nothing-to-undo", "the log holds nothing to take back", _NOTHING)
    return Chosen(_moment(found[-1]))


def last_of(log: Log, specs: Specs, batch: str) -> Chosen:
    """The last entry of a batch that counts. Raises CannotError as `last_logged` does."""
    found = [line for line in record(log, specs, batch).lines if line.undone_by is None]
    entries = [line.deed for line in found if not line.deed.is_first_reading]
    if not entries:
        raise CannotError("nothing-to-undo", f"the log holds nothing of {batch} to take back", _show(batch))
    return _choose(entries[-1])


def numbered(log: Log, specs: Specs, batch: str, number: int) -> Chosen:
    """The entry with a number in the record of a batch.

    Raises UsageError when there is no such number, CannotError when it was taken back already or has no time.
    """
    lines = record(log, specs, batch).lines
    line = next((line for line in lines if line.number == number), None)
    if line is None:
        raise UsageError("usage", f"{batch} has no entry number {number}", f"1 to {len(lines)}: {_show(batch)}")
    if line.undone_by is not None:
        raise _gone(batch, f"number {number} ({_said(line.deed)})", line.undone_by)
    return _choose(line.deed)


def built_on(log: Log, chosen: Sequence[Chosen]) -> BuiltOn:
    """What counts and would count for nothing once a making among what is chosen is taken back."""
    taken = [deed for deed, _ in _find(log, chosen)]
    made = {batch_key(deed.entry.batch) for deed in taken if deed.event == "made"}
    mine = {id(deed.entry) for deed in taken}
    counting = [
        entry
        for entry, counts in zip(log, counting_entries(log), strict=True)
        if counts is not None and entry.event != "undo" and id(entry) not in mine
    ]
    own = tuple(entry for entry in counting if batch_key(entry.batch) in made)
    others = [entry for entry in counting if batch_key(entry.batch) not in made]
    return BuiltOn(own, tuple(entry for entry in others if made & {batch_key(other) for other in entry.refers}))


def with_all_since(log: Log, chosen: Sequence[Chosen]) -> tuple[Chosen, ...]:
    """What is chosen, and every entry of the batch that is built on it.

    Raises CannotError when one of those was written by hand without a time.
    """
    return tuple(dict.fromkeys([*chosen, *(_choose(Deed(entry, entry.event)) for entry in built_on(log, chosen).own)]))


def take_back(log: Log, chosen: Sequence[Chosen], stamp: Stamp) -> tuple[list[LogEntry], tuple[Deed, ...]]:
    """The entries that take back what is chosen, and what they take back.

    Raises CannotError when it was taken back meanwhile, and when something is built on it that stays.
    """
    taken: list[Deed] = []
    entries: list[LogEntry] = []
    for one in chosen:
        found = list(_find(log, [one]))
        if not found:
            raise _taken_meanwhile(log, one)
        taken += [deed for deed, _ in found]
        entries += _undo(log, one, stamp)
    needs = built_on(log, chosen)
    if needs.own:
        batch = needs.own[0].batch
        raise CannotError(
            "built-on",
            f"{batch} was {_listed(needs.own)} since it was made, and all of that goes with it",
            f"--yes takes all of {batch} back; one by one, the last first: balancer batch undo {batch}",
        )
    if needs.others:
        other = needs.others[0]
        names = ", ".join(sorted({batch_key(deed.entry.batch).upper() for deed in taken if deed.event == "made"}))
        raise CannotError(
            "built-on",
            f"{names} went into {other.batch}, or was replaced by it",
            f"take that back first: balancer batch undo {other.batch}; {_show(other.batch)}",
        )
    return entries, tuple(taken)


def concerned(deeds_done: Sequence[Deed], known: Sequence[Batch]) -> tuple[Batch, ...]:
    """The batches that something taken back or brought back is about, as they stand now. known are all of the log."""
    keys = dict.fromkeys(key for deed in deeds_done for key in _in_order(deed.entry))
    by_key = {batch_key(batch.id): batch for batch in known}
    return tuple(by_key[key] for key in keys if key in by_key)


def last_undo(log: Log, batch: str | None = None) -> Chosen:
    """The last undo that can be brought back, of a batch if one is named.

    Raises CannotError when there is none.
    """
    key = None if batch is None else batch_key(batch)
    for undo in reversed(_undos(log)):
        if key is None or key in _touched(log, undo):
            return Chosen(_moment(undo))
    named = "nothing" if batch is None else f"nothing of {batch}"
    raise CannotError("nothing-to-undo", f"{named} was taken back that could come back", _NOTHING)


def bring_back(
    log: Log, undo: Chosen, stamp: Stamp, batch: str | None = None
) -> tuple[list[LogEntry], tuple[Deed, ...]]:
    """The entry that brings back what an undo took away, and what counts again.

    batch  what was logged since matters only where it is about the batches concerned; None: anything does
    Raises CannotError when the undo was itself taken back meanwhile, and when something new was logged since.
    """
    same = [entry for entry in _undos(log) if entry.at == undo.at]
    if not same:
        raise CannotError("undone", "that was brought back just now", _NOTHING)
    concerned = {key for entry in same for key in _touched(log, entry)}
    place = max(index for index, entry in enumerate(log) if entry in same)
    for entry in log[place + 1 :]:
        if entry.event != "undo" and (batch is None or concerned & _names(entry)):
            shown = same[0].batch
            raise CannotError(
                "restore-over",
                f"{entry.batch} was {DONE[entry.event]} since the undo{_when(entry)}: what was undone stays undone",
                f"log it again if it counts; what it was: {_show(shown)}",
            )
    entries = [LogEntry(same[0].batch, "undo", stamp.at, refers=(_text(undo.at),), by=stamp.by, note=stamp.note)]
    before, after = counting_entries(log), counting_entries([*log, *entries])
    back = [
        deed
        for entry, was, now in zip(log, before, after, strict=False)
        if entry.event != "undo" and was != now
        for deed in deeds(entry)
        if (was is None) != deed.is_first_reading
    ]
    return entries, tuple(back)


def can_bring_back(log: Log, batch: str) -> bool:
    """Whether the last undo of a batch can still be brought back."""
    try:
        undo = last_undo(log, batch)
        bring_back(log, undo, Stamp(undo.at), batch)
    except CannotError:
        return False
    return True


def _undos(log: Log) -> list[LogEntry]:
    """Undos that count and are not themselves a bringing back."""
    own = {entry.at for entry in log if entry.event == "undo"}
    return [
        entry
        for entry in counting_entries(log)
        if entry is not None and entry.event == "undo" and own.isdisjoint(undone_times(entry))
    ]


def _touched(log: Log, undo: LogEntry) -> set[str]:
    """Keys of the batches that an undo changes."""
    moments = undone_times(undo)
    if undo.only is not None:
        moments_of = [entry for entry in log if entry.at in moments and batch_key(entry.batch) == batch_key(undo.batch)]
    else:
        moments_of = [entry for entry in log if entry.at in moments]
    return {key for entry in moments_of for key in _names(entry)} | {batch_key(undo.batch)}


def _names(entry: LogEntry) -> set[str]:
    return set(_in_order(entry))


def _in_order(entry: LogEntry) -> tuple[str, ...]:
    """Keys of the batches an entry names, its own first."""
    return (batch_key(entry.batch), *(batch_key(other) for other in entry.refers))


def _choose(deed: Deed) -> Chosen:
    return Chosen(_moment(deed.entry), deed.entry.batch, deed.event)


def _find(log: Log, chosen: Sequence[Chosen]) -> Iterator[tuple[Deed, int]]:
    """What counts of what is chosen, with its place in the log. What goes with its making is not named beside it."""
    for place, (entry, counts) in enumerate(zip(log, counting_entries(log), strict=True)):
        if counts is None or entry.event == "undo":
            continue
        for deed in deeds(counts):
            if any(_is_meant(one, deed) for one in chosen):
                yield Deed(entry, deed.event), place
                break


def _is_meant(one: Chosen, deed: Deed) -> bool:
    if deed.entry.at != one.at:
        return False
    if one.batch is None:
        return True
    same = batch_key(deed.entry.batch) == batch_key(one.batch)
    # What the making's own command logged besides goes with it: a batch added and opened at once.
    return same and one.event in (deed.event, "made")


def _undo(log: Log, one: Chosen, stamp: Stamp) -> list[LogEntry]:
    """The entries that take back what is chosen; narrowed only where more than that was logged at the moment."""
    meant = list(_find(log, [one]))
    everything = {place for _, place in _find(log, [Chosen(one.at)])}
    whole = {place for deed, place in meant if not deed.is_first_reading} == everything
    alone: list[Event | None] = [None] if whole else list(dict.fromkeys(deed.event for deed, _ in meant))
    batch, moment = meant[0][0].entry.batch, (_text(one.at),)
    return [LogEntry(batch, "undo", stamp.at, refers=moment, only=only, by=stamp.by, note=stamp.note) for only in alone]


def _moment(entry: LogEntry) -> datetime:
    if entry.at is None:
        raise CannotError(
            "undo",
            f'the line of {entry.batch} that it was {DONE[entry.event]} was written by hand and has no "at"',
            "delete that line of batches.yaml yourself",
        )
    return entry.at


def _text(moment: datetime) -> str:
    return moment.isoformat(timespec="microseconds")


def _taken_meanwhile(log: Log, one: Chosen) -> CannotError:
    meant = [deed for entry in log for deed in deeds(entry) if entry.event != "undo" and _is_meant(one, deed)]
    if not meant:
        return CannotError("undone", "what was to be taken back is not in the log any more", _NOTHING)
    undos = [entry for entry in counting_entries(log) if entry is not None and entry.event == "undo"]
    by = next((undo for undo in reversed(undos) if any(takes_back(undo, deed) for deed in meant)), None)
    return _gone(meant[0].entry.batch, f"{meant[0].entry.batch} {_said(meant[0])}", by)


def _gone(batch: str, what: str, by: LogEntry | None) -> CannotError:
    who = f" by {by.by}" if by is not None and by.by else ""
    when = _when(by) if by is not None else ""
    return CannotError("undone", f"{what}: undone already{who}{when}; nothing is changed now", _show(batch))


def _said(deed: Deed) -> str:
    return DONE[deed.event]


def _listed(entries: Sequence[LogEntry]) -> str:
    return " and ".join(dict.fromkeys(DONE[entry.event] for entry in entries))


def _when(entry: LogEntry) -> str:
    return f" ({day_text(entry.at.date())}, {entry.at:%H:%M})" if entry.at else ""


def _show(batch: str) -> str:
    return f"balancer batch show {batch} lists it"
