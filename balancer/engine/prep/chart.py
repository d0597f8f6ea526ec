"""A syrup's strength from batch to batch: an individuals chart with moving ranges, and what it says.

Limits as in the NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2: mean ± 3 MR/1.128, where MR is the
mean difference of neighbours and 1.128 the mean range of two normal values in standard deviations; the
moving ranges themselves run up to 3.267 MR.

Two run rules out of its 6.3.2 (Western Electric), because each further rule adds false alarms: a batch
outside the limits, and eight in a row on one side of the centre, which chance does once in 128 times.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import sqrt
from statistics import fmean
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.liquid import standard_strength
from balancer.models.batch import Batch, Cause
from balancer.models.syrup import Syrup

RANGE_OF_TWO: Final = 1.128
"""d2: mean range of two values of a normal distribution, in standard deviations."""

RANGE_LIMIT: Final = 3.267
"""D4: upper limit of the range of two values, in mean ranges."""

RUN: Final = 8
"""So many in a row on one side of the centre are not chance."""

ENOUGH: Final = 8
"""Batches from which the chart speaks and has limits: below, no run of eight can show, and the spread is known to a
third at best (by simulation, see its test); of two batches it is a guess."""

MAKER_BATCHES: Final = 3
"""A maker's mean is told from this many batches."""

Word = Literal["too few", "moved", "always strong", "always weak", "up and down", "steady"]


class Individuals(NamedTuple):
    """Centre and limits of single values and of their moving ranges, in the unit of the values."""

    centre: float
    lower: float
    upper: float
    ranges: tuple[float, ...]
    mean_range: float
    upper_range: float

    @property
    def sigma(self) -> float:
        """Standard deviation from neighbour to neighbour: a slow drift does not widen it."""
        return self.mean_range / RANGE_OF_TWO

    @property
    def far_steps(self) -> tuple[bool, ...]:
        """Which ranges lie above their limit; a hair is allowed for, as equal ranges have one of no width."""
        return tuple(distance > self.upper_range + 1e-9 for distance in self.ranges)


def individuals(values: Sequence[float]) -> Individuals:
    """The chart's lines for two values or more, in order of time.

    >>> nist = individuals([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])  # e-Handbook 6.3.2.2
    >>> round(nist.centre, 2), round(nist.lower, 4), round(nist.upper, 4)
    (50.81, 45.8159, 55.8041)
    """
    centre = fmean(values)
    ranges = tuple(abs(after - before) for before, after in pairwise(values))
    mean_range = fmean(ranges)
    reach = 3.0 * mean_range / RANGE_OF_TWO
    return Individuals(centre, centre - reach, centre + reach, ranges, mean_range, RANGE_LIMIT * mean_range)


class Point(NamedTuple):
    """One making. brix is its first reading: what recipe and hand gave, before anybody corrected it."""

    batch: str
    brix: float
    made: date | None
    by: str | None
    cause: Cause | None
    is_outside: bool


class Maker(NamedTuple):
    """One maker's batches: how many, and their mean less the standard, °Bx."""

    by: str
    batches: int
    offset_brix: float


class StandardShift(NamedTuple):
    """A change that stayed: from which batch on, and by how much, °Bx."""

    since: str
    change_brix: float


@dataclass(frozen=True, slots=True)
class Chart:
    """A syrup's batches and what they say.

    lines            None for fewer than ENOUGH batches: what so few give says nothing about the next one
    offset_brix      mean less standard, °Bx; after a move, of the batches since; None without batches
    sugar_g_per_kg   sugar more (or less, below zero) per kg of syrup as made that would bring the mean to standard
    water_g_per_kg   or water, in the same way
    same_side        batches on that side of the standard
    out_of_tolerance batches further from the standard than prep lets pass
    cause            what the log gives as the cause for most of the batches that have one
    """

    syrup: Syrup
    target_brix: float
    tolerance_brix: float
    points: tuple[Point, ...]
    lines: Individuals | None
    word: Word
    moved: StandardShift | None
    offset_brix: float | None
    sugar_g_per_kg: float | None
    water_g_per_kg: float | None
    same_side: int
    out_of_tolerance: int
    makers: tuple[Maker, ...]
    cause: Cause | None

    @property
    def ranges(self) -> tuple[float, ...]:
        """How far each batch lies from the one before, °Bx."""
        return tuple(abs(after.brix - before.brix) for before, after in pairwise(self.points))

    @property
    def spread_brix(self) -> float | None:
        """Two standard deviations, °Bx: the next batch is this near to the centre 9 times in 10, of many 19 in 20."""
        return 2.0 * self.lines.sigma if self.lines else None

    @property
    def outside(self) -> tuple[Point, ...]:
        """Batches outside the limits: something was different about each."""
        return tuple(point for point in self.points if point.is_outside)


def chart(syrup: Syrup, batches: Sequence[Batch], batch_tolerance_brix: float) -> Chart:
    """The chart of a syrup's batches, in the order they were made.

    batch_tolerance_brix  the house's; the syrup's own comes first
    A batch counts with its first reading. Later readings follow corrections, storage or a second sample; counting
    them would draw how well prep corrects, not what the recipe gives. Batches combined from others were not made.
    A batch corrected by taste before anybody read it cannot be told apart, and counts as read.
    """
    target = standard_strength(syrup)
    tolerance = batch_tolerance_brix if syrup.tolerance is None else syrup.tolerance
    made = _in_order([batch for batch in batches if batch.liquid == syrup.id and is_charted(batch)])
    values = [batch.readings[0] for batch in made]
    lines = individuals(values) if len(values) >= ENOUGH else None
    since = _moved(values, lines, tolerance) if lines else None
    points = tuple(
        # After a move the limits describe neither part, so nothing is said to stand out.
        Point(batch.id, brix, batch.made, batch.by, batch.cause, since is None and _is_outside(brix, lines))
        for batch, brix in zip(made, values, strict=True)
    )
    moved = None if since is None else StandardShift(points[since].batch, fmean(values[since:]) - fmean(values[:since]))
    recent = values if since is None else values[since:]
    offset = fmean(recent) - target if recent else None
    return Chart(
        syrup=syrup,
        target_brix=target,
        tolerance_brix=tolerance,
        points=points,
        lines=lines,
        word=_word(len(values), lines, moved, offset, tolerance),
        moved=moved,
        offset_brix=offset,
        sugar_g_per_kg=None if offset is None else -1000.0 * offset / (100.0 - target),
        water_g_per_kg=None if offset is None else 1000.0 * offset / target,
        same_side=sum((brix - target) * (offset or 0.0) > 0.0 for brix in recent),
        out_of_tolerance=sum(abs(brix - target) > tolerance for brix in values),
        makers=_makers(points, target),
        cause=_cause(points),
    )


def is_charted(batch: Batch) -> bool:
    """Whether a batch counts on the chart of its syrup: it was read, and was made, not combined from others."""
    return bool(batch.readings) and not batch.parts


def _in_order(batches: Sequence[Batch]) -> list[Batch]:
    """By the day they were made, where the log knows it of all; else as logged."""
    days = {batch.id: batch.made for batch in batches if batch.made is not None}
    return sorted(batches, key=lambda batch: days[batch.id]) if len(days) == len(batches) else list(batches)


def _is_outside(brix: float, lines: Individuals | None) -> bool:
    """A hair is allowed for: equal strengths have limits of no width, and their mean is rounded."""
    return lines is not None and not lines.lower - 1e-9 <= brix <= lines.upper + 1e-9


def _moved(values: Sequence[float], lines: Individuals, tolerance: float) -> int | None:
    """Where the latest run of eight or more on one side of the centre begins, if it differs by the tolerance.

    After a run from the first batch on, what comes after it is the news.
    """
    signs = [(value > lines.centre) - (value < lines.centre) for value in values]
    start, found = 0, None
    for end in range(1, len(signs) + 1):
        if end == len(signs) or signs[end] != signs[start]:
            if end - start >= RUN and signs[start]:
                found = start or end
            start = end
    if found is None or found == len(values):
        return None
    return found if abs(fmean(values[found:]) - fmean(values[:found])) > tolerance else None


def _word(
    count: int, lines: Individuals | None, moved: StandardShift | None, offset: float | None, tolerance: float
) -> Word:
    """Bias is told when the mean misses by half the tolerance, and by more than three standard errors."""
    if lines is None or offset is None:
        return "too few"
    if moved:
        return "moved"
    if abs(offset) > max(0.5 * tolerance, 3.0 * lines.sigma / sqrt(count)):
        return "always strong" if offset > 0.0 else "always weak"
    # Two standard deviations: one batch in twenty leaves the tolerance although the mean is right.
    return "up and down" if 2.0 * lines.sigma > tolerance else "steady"


def _makers(points: Sequence[Point], target: float) -> tuple[Maker, ...]:
    """Makers with enough batches, when there are two or more to compare."""
    held: dict[str, list[float]] = {}
    for point in points:
        if point.by:
            held.setdefault(point.by, []).append(point.brix)
    found = [Maker(by, len(values), fmean(values) - target) for by, values in held.items()]
    enough = tuple(maker for maker in found if maker.batches >= MAKER_BATCHES)
    return enough if len(enough) > 1 else ()


def _cause(points: Sequence[Point]) -> Cause | None:
    named = [point.cause for point in points if point.cause]
    return next((cause for cause in named if 2 * named.count(cause) > len(named)), None)
