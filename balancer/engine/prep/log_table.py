"""The batch log line by line, each with what the whole log makes of it: for many bars in one table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from balancer.engine.batch.history import batch_key, batches, live_entries, night_of
from balancer.engine.drink.bar import Bar
from balancer.engine.prep.chart import is_charted
from balancer.errors import BalancerError
from balancer.models.batch import Batch, LogEntry


class LoggedLine(NamedTuple):
    """One line of the log.

    line            its number
    entry           what it says
    day             the working day on which it was logged, else the day made that it says; None when it says neither
    undone          a line below takes it back
    batch           its batch as it stands now; None when nothing that counts made it
    standard_brix   of its syrup, as the files have it now, and tolerance_brix what prep lets pass of it; None for an
                    ingredient, and when nothing tells it
    is_making       it made the batch, and counts
    first_brix      of a making: the batch's point on the chart, °Bx; None where it has none
    """

    line: int
    entry: LogEntry
    day: date | None
    undone: bool
    batch: Batch | None
    standard_brix: float | None
    tolerance_brix: float | None
    is_making: bool
    first_brix: float | None


def logged_lines(bar: Bar, entries: Sequence[LogEntry], lines: Sequence[int]) -> list[LoggedLine]:
    """Every line of a log that could be read, in the order of the lines.

    lines  the number of every entry's line
    """
    known = {batch_key(batch.id): batch for batch in batches(entries, bar.specs)}
    told: dict[str, tuple[float | None, float | None]] = {}
    made: set[str] = set()
    found: list[LoggedLine] = []
    for line, entry, counts in _in_line(entries, lines):
        key = batch_key(entry.batch)
        batch = known.get(key)
        if batch is not None and batch.liquid not in told:
            told[batch.liquid] = _standard(bar, batch.liquid)
        is_making = counts and entry.event == "made" and key not in made
        if is_making:
            made.add(key)
        charted = is_making and batch is not None and is_charted(batch)
        found.append(
            LoggedLine(
                line,
                entry,
                _day(entry, bar.specs.house.day_ends),
                not counts,
                batch,
                *(told[batch.liquid] if batch is not None else (None, None)),
                is_making,
                batch.readings[0] if charted and batch is not None else None,
            )
        )
    return found


def _in_line(entries: Sequence[LogEntry], lines: Sequence[int]) -> Iterator[tuple[int, LogEntry, bool]]:
    """Lines in their order: entries stand in that in which they count."""
    return iter(sorted(zip(lines, entries, live_entries(entries), strict=True), key=lambda each: each[0]))


def _day(entry: LogEntry, day_ends: str) -> date | None:
    return entry.made if entry.at is None else night_of(entry.at, day_ends)


def _standard(bar: Bar, liquid: str) -> tuple[float | None, float | None]:
    syrup = bar.specs.syrups.get(liquid)
    if syrup is None:
        return None, None
    try:
        return bar.standard(liquid), bar.specs.batch_tolerance(syrup)
    except BalancerError:  # told where the files are checked
        return None, bar.specs.batch_tolerance(syrup)
