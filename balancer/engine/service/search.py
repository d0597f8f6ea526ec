"""Pours of several syrups at once: the least movement that brings a drink within its tolerance. Exact, not a heuristic.

Every pour has a row of choices, from the written amount to the first one at or past its exact amount. A choice
costs its movement in steps, and changes the drink's sugar by so many percent.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, inf
from typing import Final, NamedTuple

_SAME: Final = 1e-9


class Choice(NamedTuple):
    """One amount of a pour: how far it is from the written one, in steps, and what it changes, in % of the sugar."""

    movement: float
    change: float


def least_movement(rows: Sequence[Sequence[Choice]], error: float, tolerance: float) -> tuple[int, ...] | None:
    """Which choice of every row: within tolerance, the least movement in all, then the least error; None when none is.

    rows   each begins with no movement and no change; movements rise, and changes all have one sign
    error  of the drink as written, %
    """
    return _Search(rows, error, tolerance + _SAME).run()


def least_error(rows: Sequence[Sequence[Choice]], error: float) -> tuple[int, ...]:
    """Which choice of every row leaves the least error, then moves least; arguments as in `least_movement`."""
    search = _Nearest(rows)
    search.go(0, error, 0.0)
    return search.placed()


class _Ordered:
    """The rows, the one that changes most with a step last: it is solved for at once, the others are tried."""

    def __init__(self, rows: Sequence[Sequence[Choice]]) -> None:
        rates = [max([abs(choice.change) / choice.movement for choice in row[1:]], default=0.0) for row in rows]
        self.order = sorted(range(len(rows)), key=lambda place: rates[place])
        self.rows = [rows[place] for place in self.order]
        count = len(rows)
        self.rates = [rates[place] for place in self.order]
        self.ends = [row[-1].change for row in self.rows]
        self.low, self.high = [0.0] * (count + 1), [0.0] * (count + 1)  # what the rows from here on can change
        for place in range(count - 1, -1, -1):
            changes = [choice.change for choice in self.rows[place]]
            self.low[place] = self.low[place + 1] + min(changes)
            self.high[place] = self.high[place + 1] + max(changes)
        self.chosen = [0] * count
        self.best: list[int] | None = None

    def placed(self) -> tuple[int, ...]:
        """The best choices in the order of the rows as they were given."""
        best = self.best or [0] * len(self.order)
        return tuple([best[self.order.index(place)] for place in range(len(self.order))])


class _Search(_Ordered):
    """Depth first. A branch ends where even the steps that change most come too late, or cannot come near enough."""

    def __init__(self, rows: Sequence[Sequence[Choice]], error: float, tolerance: float) -> None:
        super().__init__(rows)
        self.error, self.tolerance = error, tolerance
        self.movement, self.left = inf, inf
        self.sums = _first_sums(self.rows)

    def run(self) -> tuple[int, ...] | None:
        self._go(0, self.error, 0.0)
        return None if self.best is None else self.placed()

    def _go(self, place: int, error: float, spent: float) -> None:
        if place == len(self.rows):
            self._keep(abs(error), spent)
            return
        if self._is_hopeless(place, error, spent):
            return
        for number, choice in enumerate(self.rows[place]):
            moved = spent + choice.movement
            if moved > self.movement + _SAME:
                return  # every later choice moves further
            # With what may still be moved, nothing behind this choice leaves less than is left already.
            if moved + _SAME >= self.movement and abs(error + choice.change) >= self.left - _SAME:
                if place == len(self.rows) - 1:
                    return
                continue
            self.chosen[place] = number
            self._go(place + 1, error + choice.change, moved)

    def _keep(self, left: float, spent: float) -> None:
        """Take what was found if it is better than the best so far."""
        if left <= self.tolerance and (
            spent < self.movement - _SAME or (spent <= self.movement + _SAME and left < self.left - _SAME)
        ):
            self.movement, self.left, self.best = spent, left, self.chosen[:]

    def _is_hopeless(self, place: int, error: float, spent: float) -> bool:
        """Whether nothing behind this branch is within tolerance, or better than the best found."""
        if error + self.high[place] < -self.tolerance or error + self.low[place] > self.tolerance:
            return True
        if self.best is None:
            return False
        least = self._least(place, spent, spent + self._needed(place, error))
        if least > self.movement + _SAME:
            return True
        return least >= self.movement - _SAME and self._reachable(place, error, spent) >= self.left - _SAME

    def _needed(self, place: int, error: float) -> float:
        """The movement that brings an error within tolerance if steps could be cut, the most telling rows first."""
        over, movement = abs(error) - self.tolerance, 0.0
        for row in range(len(self.rows) - 1, place - 1, -1):
            if over <= 0.0:
                break
            most = self._most(row, error)
            if most > 0.0:
                movement += min(over, most) / self.rates[row]
                over -= most
        return movement

    def _reachable(self, place: int, error: float, spent: float) -> float:
        """The least error, if steps could be cut, with no more movement than the best found."""
        left, budget = abs(error), self.movement - spent
        for row in range(len(self.rows) - 1, place - 1, -1):
            most = self._most(row, error)
            if most > 0.0 and budget > 0.0:
                left -= min(most, budget * self.rates[row])
                budget -= most / self.rates[row]
        return left

    def _most(self, row: int, error: float) -> float:
        """The most that a row takes off an error."""
        return -self.ends[row] if error > 0.0 else self.ends[row]

    def _least(self, place: int, spent: float, needed: float) -> float:
        """The least movement in all, from what is needed up, that the rows from here on can add up to."""
        if self.sums is None:
            return needed
        starts = [spent + first for first in self.sums[place]]
        return min([start + ceil(max(needed - start - _SAME, 0.0)) for start in starts])


def _first_sums(rows: Sequence[Sequence[Choice]]) -> list[list[float]] | None:
    """By place, what the first movements of some of the rows from there on add up to; None on uneven grids.

    A written pour may stand between two marks of a scale; from the next mark on every movement is a whole step more.
    """
    sums = [[0.0]]
    for row in reversed(rows):
        first = row[1].movement if len(row) > 1 else 0.0
        if any(abs(choice.movement - first - step) > _SAME for step, choice in enumerate(row[1:])):
            return None
        known = {round(before, 9) for before in sums[0]} | {round(before + first, 9) for before in sums[0]}
        # Only the part of a step counts, so whole ones go: there are few sums then, where written pours are even.
        least: dict[float, float] = {}
        for total in sorted(known):
            least.setdefault(round(total % 1.0, 7), total)
        sums.insert(0, list(least.values()))
    return sums


class _Nearest(_Ordered):
    """Depth first. A branch ends where nothing behind it comes nearer to no error."""

    def __init__(self, rows: Sequence[Sequence[Choice]]) -> None:
        super().__init__(rows)
        self.movement, self.left = inf, inf

    def go(self, place: int, error: float, spent: float) -> None:
        if place == len(self.rows):
            left = abs(error)
            if left < self.left - _SAME or (left <= self.left + _SAME and spent < self.movement - _SAME):
                self.movement, self.left, self.best = spent, left, self.chosen[:]
            return
        low, high = error + self.low[place], error + self.high[place]
        least = low if low > 0.0 else -high if high < 0.0 else 0.0
        if least > self.left + _SAME:
            return
        if least >= self.left - _SAME and spent >= self.movement - _SAME:
            return
        for number, choice in enumerate(self.rows[place]):
            self.chosen[place] = number
            self.go(place + 1, error + choice.change, spent + choice.movement)
