"""The pours that a bar's jiggers can make: multiples of one step, or what their lines add up to."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import combinations_with_replacement
from math import ceil, floor
from typing import Final, NamedTuple

from balancer.models.house import House

SAME_ML: Final = 1e-6
"""Pours nearer to each other than this are one pour."""
_ROUNDING: Final = 1e-9


class Jigger(NamedTuple):
    """What a bar measures a pour with: its jiggers, or its scale. ml or g alike.

    step   the smallest change it can pour; with lines the smallest line
    pours  every pour of its lines, ascending; none when it pours every multiple of the step
    """

    step: float
    pours: tuple[float, ...] = ()

    def near(self, target: float, reach: int) -> list[float]:
        """The pours around a target, as `pours_near` has them."""
        return pours_near(target, self.step, reach, self.pours)

    def nearest(self, exact: float, written: float) -> float:
        """The pour nearest to exact among those it can make and the written one; a tie goes towards the written.

        The sugar error grows with the distance from exact, whatever else is in the drink, so the nearest
        pour has the least error.

        >>> Jigger(2.5).nearest(20.46, 22.5), Jigger(2.5).nearest(21.25, 22.5)
        (20.0, 22.5)
        """
        candidates = [written, *self.near(exact, 1)]
        least = min([abs(pour - exact) for pour in candidates])
        tied = [pour for pour in candidates if abs(pour - exact) <= least + _ROUNDING]
        return min(tied, key=lambda pour: abs(pour - written))

    def toward(self, exact: float, written: float) -> list[float]:
        """The written pour, and those on the way to the first one at or past exact, in the order of the movement.

        >>> Jigger(2.5).toward(18.0, 22.5), Jigger(2.5).toward(26.0, 22.0)
        ([22.5, 20.0, 17.5], [22.0, 22.5, 25.0, 27.5])
        """
        if abs(exact - written) <= _ROUNDING:
            return [written]
        if exact > written:
            on_the_way = [pour for pour in self.between(written, exact) if written + SAME_ML < pour < exact - _ROUNDING]
            past = [pour for pour in self.near(exact, 1) if pour >= exact - _ROUNDING][:1]
        else:
            on_the_way = [pour for pour in self.between(exact, written) if exact + _ROUNDING < pour < written - SAME_ML]
            on_the_way.reverse()
            past = [pour for pour in self.near(exact, 1) if pour <= exact + _ROUNDING][-1:]
        past = [pour for pour in past if abs(pour - written) > SAME_ML]
        return [written, *on_the_way, *past]

    def between(self, low: float, high: float) -> list[float]:
        """The pours from one limit to another, ascending; the smallest or largest of all when there is none."""
        if self.pours:
            found = [pour for pour in self.pours if low - _ROUNDING <= pour <= high + _ROUNDING]
            return found or [min(self.pours, key=lambda pour: abs(pour - low))]
        first = max(1, ceil(low / self.step - _ROUNDING))
        return [count * self.step for count in range(first, max(first, floor(high / self.step)) + 1)]


def jigger_of(house: House) -> Jigger:
    """A house's jigger. Its lines win over its step.

    A pour is one line or two, the same one twice too; or one line and a barspoon, when the house says so.

    >>> from balancer.models.house import House
    >>> jigger_of(House.model_validate({"format": "1", "house": "Slip", "jigger lines": ["15 ml", "20 ml"]})).pours
    (15.0, 20.0, 30.0, 35.0, 40.0)
    """
    if not house.jigger_lines:
        return Jigger(house.measures().ml(house.step))
    lines = sorted(house.jigger_lines)
    found = [*lines, *[one + other for one, other in combinations_with_replacement(lines, 2)]]
    if house.jigger_barspoon:
        found += [house.barspoon, *[line + house.barspoon for line in lines]]
    pours: list[float] = []
    for pour in sorted(found):
        if not pours or pour - pours[-1] > SAME_ML:
            pours.append(pour)
    return Jigger(lines[0], tuple(pours))


def weighed_step_g(house: House) -> float:
    """The smallest change of a weighed pour: a division of the house's scale, a gram when it names none."""
    return house.scale.division if house.scale else 1.0


def pours_near(target_ml: float, step_ml: float, reach: int, pours: Sequence[float] = ()) -> list[float]:
    """What a jigger can pour near a target, ascending, ml; at least one pour, and never nothing.

    reach  multiples of the step so many steps around the target; of lines, so many pours to either side
    pours  every pour of the jigger's lines, ascending; none when it pours every multiple of the step

    >>> pours_near(20.46, 2.5, 1), pours_near(20.46, 7.5, 1, [7.5, 15.0, 22.5, 30.0])
    ([20.0, 22.5], [15.0, 22.5])
    """
    if pours:
        above = bisect_left(pours, target_ml - _ROUNDING)
        return list(pours[max(0, min(above, len(pours)) - reach) : above + reach])
    first, last = ceil(target_ml / step_ml - reach - _ROUNDING), floor(target_ml / step_ml + reach + _ROUNDING)
    return [count * step_ml for count in range(max(1, first), max(1, last) + 1)]
