"""Two devices that gave one id, once their logs are merged: both batches are kept, and told apart by their lines."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Final, NamedTuple

from balancer.engine.batch.history import CLOCKS_APART, batch_key, live_entries, undone_times
from balancer.models.batch import LogEntry

_TWIN: Final = re.compile(r" \(line [0-9]+\)")


class Twin(NamedTuple):
    """A batch whose id another had already.

    tape    the id that both have on their tapes
    first   the line that made the other
    place   the place of the entry that made this one
    others  the other lines that count for this one: those below it
    """

    tape: str
    first: int
    place: int
    others: tuple[int, ...]


def told_apart(entries: Sequence[LogEntry], lines: Sequence[int]) -> tuple[tuple[LogEntry, ...], tuple[Twin, ...]]:
    """The entries, with an id of its own for each batch, and the batches that needed one: `RAS-12 (line 41)`.

    lines  the line of every entry
    A merge by lines keeps the order of either log, so what stands below a making means that batch as far as anybody
    can tell. Who logged it may know better, which is why those lines are named.
    """
    made = [batch_key(entry.batch) for entry in entries if entry.event == "made"]
    if len(made) == len(set(made)):
        return tuple(entries), ()
    first: dict[str, int] = {}
    now: dict[str, str] = {}
    twins: dict[str, tuple[Twin, list[int]]] = {}
    found = list(entries)
    live = live_entries(entries)
    for index, entry in enumerate(entries):
        key = batch_key(entry.batch)
        if entry.event == "made" and live[index]:
            if key in first:
                now[key] = f"{entry.batch} (line {lines[index]})"
                twins[now[key]] = Twin(entry.batch, first[key], index, ()), []
            first.setdefault(key, lines[index])
        if entry.event == "undo":
            continue
        own = now.get(key, entry.batch)
        if own in twins and index != twins[own][0].place:
            twins[own][1].append(lines[index])
        found[index] = replace(
            entry, batch=own, refers=tuple(now.get(batch_key(other), other) for other in entry.refers)
        )
    for index, entry in enumerate(entries):
        if entry.event == "undo":
            moments = undone_times(entry)
            meant = {one.batch for one in found if one.at in moments and batch_key(entry.batch) == _tape(one.batch)}
            found[index] = replace(entry, batch=meant.pop()) if len(meant) == 1 else entry
    return tuple(found), tuple(twin._replace(others=tuple(others)) for twin, others in twins.values())


def in_time(entries: Sequence[LogEntry], now: datetime) -> list[int]:
    """The places of the entries in the order in which they count: what happened to one batch, by when it happened.

    A merge puts one device's lines behind the other's: the last line is not the last reading then. Every batch keeps
    the places that it has. A line without `at`, and one from the future, whose clock is wrong, stays where it is.
    """
    order = [*range(len(entries))]
    latest = now + CLOCKS_APART
    last: dict[str, datetime] = {}
    crossed: set[str] = set()
    for entry in entries:
        if entry.event == "made" or entry.at is None or entry.at > latest:
            continue
        key = batch_key(entry.batch)
        if key in last and entry.at < last[key]:
            crossed.add(key)
        last[key] = entry.at
    for key in crossed:
        places = [
            place
            for place, entry in enumerate(entries)
            if entry.event != "made" and entry.at is not None and entry.at <= latest and batch_key(entry.batch) == key
        ]
        for place, meant in zip(places, sorted(places, key=lambda each: (entries[each].at, each)), strict=True):
            order[place] = meant
    return order


def is_twin(identity: str, known: Collection[str]) -> bool:
    """Whether an id is on the tape of two batches, so that nobody may log anything under it before that is mended."""
    start = f"{identity} (line "
    return bool(_TWIN.search(identity)) or any(other.startswith(start) for other in known)


def _tape(identity: str) -> str:
    """The key of what is on the tape of a batch."""
    return batch_key(_TWIN.sub("", identity))
