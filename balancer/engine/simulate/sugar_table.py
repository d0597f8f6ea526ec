"""Grams of sugar in a ml or a gram of a syrup over its strengths: the one formula, tabulated.

A liquid is worked out in a sixth of a millisecond, too slow for millions of strengths. The table holds the formula's
own values every quarter of a °Bx, counted from the standard, and a cubic through the nearest four in between.
The formula is a smooth one: the cubic keeps it to 1 part in 10¹⁰, and where it would not the table gets finer.
"""

from __future__ import annotations

from collections.abc import Callable
from math import ceil, floor
from typing import Final

from balancer.engine.drink.liquid import syrup_liquid
from balancer.errors import BalancerError, CannotError
from balancer.models.syrup import Syrup

WITHIN: Final = 1e-10
"""The table agrees with the formula to this part of a value."""
_STEPS: Final = (0.25, 0.0625, 0.015625)
_LOWEST_BRIX, _HIGHEST_BRIX = 1.0, 85.0
_NODES: Final = 4


class SugarTable:
    """Values of a formula of the strength between two strengths, °Bx, exact at the origin."""

    def __init__(self, formula: Callable[[float], float], origin: float, low: float, high: float) -> None:
        self.origin = origin
        for step in _STEPS:
            self.step = step
            last = floor((high - origin) / step)
            self.first = min(ceil((low - origin) / step), last + 1 - _NODES)
            count = last + 1 - self.first
            self.values = [formula(origin + (self.first + at) * step) for at in range(count)]
            if self._keeps(formula, count):
                return
        raise CannotError("table", "the sugar in a ml of it jumps with its strength", "check its acid and alcohol")

    def _keeps(self, formula: Callable[[float], float], count: int) -> bool:
        """Whether the table agrees with the formula between its values: at both ends, and in the middle."""
        for at in (0, count // 2, count - 2):
            brix = self.origin + (self.first + at + 0.5) * self.step
            if abs(self.at(brix) - formula(brix)) > WITHIN * formula(brix):
                return False
        return True

    def at(self, brix: float) -> float:
        """The value at a strength."""
        place = (brix - self.origin) / self.step - self.first
        below = min(max(floor(place), 1), len(self.values) - 3)
        return cubic(place - below, *self.values[below - 1 : below + 3])


def cubic(part: float, before: float, low: float, high: float, after: float) -> float:
    """The cubic through four values a step apart, so far from the second one to the third.

    The same for arrays. It is exact at the values themselves.

    >>> cubic(0.5, -1.0, 0.0, 1.0, 8.0), cubic(0.0, -1.0, 0.0, 1.0, 8.0)  # the cubes of -1, 0, 1 and 2
    (0.125, 0.0)
    """
    up, down, far = part + 1.0, part - 1.0, part - 2.0
    return (
        low * (up * down * far / 2.0)
        - high * (up * part * far / 2.0)
        + after * (up * part * down / 6.0)
        - before * (part * down * far / 6.0)
    )


def sugar_formula(syrup: Syrup, *, by_weight: bool) -> Callable[[float], float]:
    """Grams of sugar in a gram or ml of a syrup by its strength, °Bx, as the bar works them out."""
    if by_weight:
        return lambda brix: syrup_liquid(syrup, brix).sugar_per_g
    return lambda brix: syrup_liquid(syrup, brix).sugar_g_per_ml


def possible(syrup: Syrup, low: float, high: float) -> tuple[float, float]:
    """The part of a range of strengths that such a syrup can have, °Bx: its acid and alcohol need water too."""
    step = _STEPS[0]
    most = min(high, _HIGHEST_BRIX)
    while most > low and not _can_be(syrup, most):
        most -= step
    return max(low, _LOWEST_BRIX), most


def _can_be(syrup: Syrup, brix: float) -> bool:
    try:
        return syrup_liquid(syrup, brix).sugar_per_g > 0.0
    except BalancerError:
        return False
