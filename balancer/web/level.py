"""A strength on a line, with its standard and the limits that prep lets pass: where all of it stands."""

from __future__ import annotations

from math import ceil, floor
from typing import Final, NamedTuple

from balancer.output.words.numbers import brix, trim

WIDTH: Final = 358
_EDGE: Final = 17.0
_ROOM: Final = 1.0
"""Shown beyond what must be seen, °Bx."""
_APART: Final = 62.0
"""Between two words that do not touch."""
_STEPS: Final = (1, 5, 10)
_MOST_MARKS: Final = 24


class Level(NamedTuple):
    """The drawing, in its own units from the left.

    marks     of the scale; ends: words under its two ends, where there is room
    standard  None where no syrup is known; limits: what prep lets pass to either side of it
    low, high  as far as the strength may be off; at: the strength itself
    said      all of it in words
    """

    marks: tuple[float, ...]
    ends: tuple[tuple[float, str], ...]
    standard: float | None
    standard_word: str
    limits: tuple[float, ...]
    low: float
    at: float
    high: float
    said: str


def level(strength: float, plus_minus: float, standard: float | None, tolerance: float | None) -> Level:
    """The drawing of a strength, all in °Bx. tolerance: how far off its standard prep lets pass."""
    limits = () if standard is None or tolerance is None else (standard - tolerance, standard + tolerance)
    low, high = strength - plus_minus, strength + plus_minus
    known: list[float] = [low, high, *limits, *([] if standard is None else [standard])]
    first, last = max(floor(min(known) - _ROOM), 0), ceil(max(known) + _ROOM)

    def place(value: float) -> float:
        share = (value - first) / (last - first)
        return round(_EDGE + (WIDTH - 2.0 * _EDGE) * share, 1)

    step = next((each for each in _STEPS if (last - first) / each <= _MOST_MARKS), _STEPS[-1])
    marks = tuple(place(value) for value in range(first, last + 1) if value % step == 0)
    middle = None if standard is None else place(standard)
    ends = tuple(
        (place(value), str(value)) for value in (first, last) if middle is None or abs(place(value) - middle) > _APART
    )
    said = f"{brix(strength)}, between {trim(low, 1)} and {trim(high, 1)}"
    if standard is not None:
        said += f"; standard {trim(standard, 1)}"
    if limits:
        said += f", prep lets pass {trim(limits[0], 1)} to {trim(limits[1], 1)}"
    return Level(
        marks,
        ends,
        middle,
        "" if standard is None else f"standard {trim(standard, 1)}",
        tuple(place(each) for each in limits),
        place(low),
        place(strength),
        place(high),
        said,
    )
