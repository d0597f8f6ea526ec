"""A search over the pours of a drink that may change: the best of all that the bar can make, exactly.

What is wanted of the drink is a list of misses; the search makes the sum of their squares least, with a little for
every step that a pour moves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final, NamedTuple

from balancer.engine.drink.amount import amount_of, poured_in
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.moved import glass_of
from balancer.engine.swaps.slots import Slot, SwappedPour
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.numerics import LeastSquares, settle

STEP_WEIGHT: Final = 0.01
"""What moving a pour by one step counts beside that, so that of equal answers the nearest to written wins."""

_ROUNDS: Final = 4


class Floor(NamedTuple):
    """What each free amount may not be below, and how well it has to settle, in units of its scale."""

    least: Sequence[float]
    tolerance: float


class PourSearch:
    """A drink of which some pours are free.

    kept    the drink in the order of the file: pours that stay, and the places of free ones in slots
    misses  what is wrong with a glass, over its weights
    new     place of a pour in slots that was not in the drink, if any
    """

    def __init__(
        self,
        house: House,
        drink: Drink,
        kept: Sequence[Contribution | int],
        slots: Sequence[Slot],
        misses: Callable[[Glass], list[float]],
        new: int | None = None,
    ) -> None:
        self.house, self.drink, self.kept, self.slots, self.new = house, drink, kept, slots, new
        self._misses = misses
        self.centre = [slot.written for slot in slots]
        """The amounts that the pours are held near."""

    def parts(self, amounts: Sequence[float]) -> list[Contribution]:
        """The drink with amounts for its free pours."""
        return [self.slots[item].at(amounts[item]) if isinstance(item, int) else item for item in self.kept]

    def glass(self, amounts: Sequence[float]) -> Glass:
        """The drink with amounts for its free pours, worked out."""
        return glass_of(self.drink, self.parts(amounts))

    def changes(self, amounts: Sequence[float]) -> list[float]:
        """What is wrong with the drink then, over its weights."""
        return self._misses(self.glass(amounts))

    def settle(
        self,
        amounts: list[float],
        free: Sequence[int],
        scale: Sequence[float],
        shares: Sequence[float] | None = None,
        floor: Floor | None = None,
    ) -> None:
        """Move the free ones of some amounts to where least is wrong with the drink, and nearest to where they are.

        scale   a natural size of each; shares: how much each miss counts, as much as any other if left out
        Raises  CannotError as `numerics.settle` does
        """

        def residuals(x: Sequence[float]) -> list[float]:
            for place, amount in zip(free, x, strict=True):
                amounts[place] = amount
            misses = self.changes(amounts)
            return misses if shares is None else [miss * share for miss, share in zip(misses, shares, strict=True)]

        start = [amounts[place] for place in free]
        found = settle(residuals, start, scale) if floor is None else settle(residuals, start, scale, *floor)
        for place, amount in zip(free, found, strict=True):
            amounts[place] = amount

    def squares(self, around: Sequence[float], step_weight: float) -> LeastSquares:
        """The sum to be made least, straight around some amounts."""
        base = self.changes(around)
        columns = []
        for place, slot in enumerate(self.slots):
            step = 1e-3 * slot.step
            ahead = [*around[:place], around[place] + step, *around[place + 1 :]]
            columns.append([(b - a) / step for a, b in zip(base, self.changes(ahead), strict=True)])
        rows = [[column[row] for column in columns] for row in range(len(base))]
        target = [sum([a * x for a, x in zip(row, around, strict=True)]) - b for row, b in zip(rows, base, strict=True)]
        ridge = [step_weight / slot.counted_step**2 for slot in self.slots]
        return LeastSquares(rows, target, ridge, self.centre)

    def round(self, exact: Sequence[float]) -> list[float]:
        """The best pours the bar can make.

        Volume and ABV are taken as straight around the exact answer, then around the pours found, while that finds
        better ones.
        """
        best = self._best_around(exact)
        least = self.cost(best)
        for _ in range(_ROUNDS):
            found = self._best_around(best)
            cost = self.cost(found)
            if cost >= least:
                break
            best, least = found, cost
        return best

    def cost(self, amounts: Sequence[float]) -> float:
        """What is wrong with the drink, squared, and how far its pours moved."""
        steps = [
            (amount - near) / slot.counted_step
            for slot, amount, near in zip(self.slots, amounts, self.centre, strict=True)
        ]
        return sum([miss * miss for miss in self.changes(amounts)]) + STEP_WEIGHT * sum([step * step for step in steps])

    def _best_around(self, around: Sequence[float]) -> list[float]:
        """The ridge bound keeps the pours to look at few: none outside of it can be better."""
        squares = self.squares(around, STEP_WEIGHT)
        first = [slot.nearest(amount) for slot, amount in zip(self.slots, around, strict=True)]
        limits = zip(self.slots, squares.box(squares.cost(first)), strict=True)
        return list(squares.best([slot.pours(low, high) for slot, (low, high) in limits]).values)

    def pours(self, exact: Sequence[float], poured: Sequence[float]) -> Iterator[SwappedPour]:
        """The drink's pours after the change, in the order of the file."""
        for item in self.kept:
            if isinstance(item, int):
                yield self.slots[item].line(exact[item], poured[item], is_new=item == self.new)
            else:
                amount = amount_of(item.volume_ml, item.mass_g, poured_in(self.house, item.pour, item.liquid))
                yield SwappedPour(item.liquid, amount, amount, amount, is_new=False, is_free=False)
