"""The search behind a swap: the exact amounts of the free pours, then the best pours the bar can make.

Spirits stay as they are. Free are the new sweetener, the sour pour when acid is held, and added water when volume is
held. Where a sour goes and acid is held, the new one is that sour pour, and the main sweetener is free when sugar is
held.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, NamedTuple, get_args

from balancer.components import composition
from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.moved import Held, change
from balancer.engine.swaps.pour_search import PourSearch
from balancer.engine.swaps.roles import SPIRIT_ABV, abv_of, is_sour, is_sweet
from balancer.engine.swaps.slots import Slot, counted_amount, new_slot, written_ml
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.properties.sucrose import WATER_KG_M3
from balancer.units import Quantity

QUANTITIES: Final[tuple[Held, ...]] = get_args(Held)
WEIGHT_PERCENT: Final[dict[Held, float]] = {
    "sugar": 5.0,
    "acid": 10.0,
    "volume": 5.0,
    "abv": 5.0,
    "sweetness": 5.0,
}
"""A change of one quantity by this much counts as much as one of another by its own weight."""

HELD_PERCENT: Final = 1e-6
"""A quantity within this much of the old drink's is held: what is left is the rounding of a float."""

_LEAST_ACID_G: Final = 1e-6

WATER: Final = "water"
_WATER: Final = Liquid(WATER, WATER, composition({"water": 1.0}), WATER_KG_M3 / 1000.0, allergens=())


class BelowNothing(NamedTuple):
    """A pour that would have to be less than nothing."""

    liquid: Liquid
    amount: Amount


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why everything cannot be held at once.

    below_zero     pours that would have to be less than nothing, with how much
    misses         what is not held by the nearest possible answer, with its change in %
    acid_short_g   acid that is missing from it, g as citric; 0 when acid is not held, or there is too much
    no_sour_pour   acid is held, and no pour of the drink may be moved to hold it
    """

    below_zero: tuple[BelowNothing, ...]
    misses: tuple[tuple[Held, float], ...]
    acid_short_g: float
    no_sour_pour: bool

    @property
    def is_short_of_acid(self) -> bool:
        """Whether acid is missing that could be added."""
        return self.acid_short_g > _LEAST_ACID_G


class SwapSearch(PourSearch):
    """What stays, what is free, and the search for the exact amounts.

    place  of the new sweetener in slots
    """

    def __init__(
        self,
        bar: Bar,
        drink: Drink,
        designed: Sequence[Contribution],
        gone: Contribution,
        into: Liquid,
        held: tuple[Held, ...],
        old: Glass,
    ) -> None:
        self.held, self.old = held, old
        merged = next((part for part in designed if part.pour.of == into.id and part is not gone), None)
        taken = (gone.pour.of, into.id)
        by_acid = "acid" in held and is_sour(bar, gone.pour.of)
        sweet = _sweet_pour(bar, designed, taken) if by_acid and ("sugar" in held or "sweetness" in held) else None
        sour = _sour_pour(bar, designed, taken) if "acid" in held and not by_acid else None
        self.no_sour_pour = "acid" in held and sour is None and not by_acid
        slots: list[Slot] = []
        kept: list[Contribution | int] = []

        def free(slot: Slot) -> None:
            kept.append(len(slots))
            slots.append(slot)

        for part in designed:
            if part is merged:
                continue
            if part is gone:
                new = len(slots)
                free(new_slot(bar, gone, merged, into, small=drink.way == "stirred", by_acid=by_acid))
            elif part is sour or part is sweet or ("volume" in held and part.pour.of == WATER and not part.pour.fixed):
                amount, nothing = counted_amount(part), part.pour.of == WATER
                free(Slot(bar, part, amount, spec=amount, may_be_nothing=nothing, written_ml=written_ml([part])))
            else:
                kept.append(part)
        if "volume" in held and all(slot.liquid.id != WATER for slot in slots):
            free(added_water(bar, gone))
        self.place = new
        super().__init__(bar.specs.house, drink, kept, slots, self._missed, new)

    def _missed(self, new: Glass) -> list[float]:
        """Change of each held quantity over its weight."""
        return [difference(quantity, self.old, new) / WEIGHT_PERCENT[quantity] for quantity in self.held]

    def solve(self) -> tuple[list[float], Obstacle | None]:
        """The exact amounts, and what is in the way when they do not hold everything."""
        places = range(len(self.slots))
        best: list[float] = []
        least = float("inf")
        free_answer: list[float] | None = None
        # All ways of leaving pours out, the fewest first: the nearest answer without a pour below nothing.
        for count in range(len(self.slots)):
            for left_out in combinations([place for place in places if place != self.new], count):
                found = self._settled([place for place in places if place not in left_out])
                if not count:
                    free_answer = found
                if found is None or min(found) < -1e-9:
                    continue
                found = [max(amount, 0.0) for amount in found]
                cost = sum([part * part for part in self.changes(found)])
                if cost < least - 1e-12:
                    best, least = found, cost
            if least < (HELD_PERCENT / 100.0) ** 2:
                break
        if not best:
            best = [max(slot.written, 0.0) for slot in self.slots]
        return best, self._obstacle(best, free_answer)

    def _settled(self, free: Sequence[int]) -> list[float] | None:
        """Least squares over some of the free pours, the others being nothing; None when there is no answer."""
        amounts = [slot.written if place in free else 0.0 for place, slot in enumerate(self.slots)]
        try:
            self.settle(amounts, free, [self.slots[place].step for place in free])
        except BalancerError:  # more sugar or acid than water, which only an amount below nothing can bring
            return None
        return amounts

    def _obstacle(self, best: Sequence[float], free_answer: Sequence[float] | None) -> Obstacle | None:
        new = self.glass(best)
        missed = [(quantity, difference(quantity, self.old, new)) for quantity in self.held]
        misses = tuple([(quantity, percent) for quantity, percent in missed if abs(percent) > HELD_PERCENT])
        if not misses:
            return None
        below = [
            BelowNothing(slot.liquid, slot.amount(amount))
            for slot, amount in zip(self.slots, free_answer or self._straight(), strict=True)
            if amount < -1e-9
        ]
        short = self.old.acid_g - new.acid_g if "acid" in self.held else 0.0
        return Obstacle(tuple(below), misses, max(short, 0.0), self.no_sour_pour)

    def _straight(self) -> list[float]:
        """What the free pours would have to be, by the slopes at the written ones; it may be below nothing."""
        return list(self.squares([slot.written for slot in self.slots], 1e-6).minimum)


def added_water(bar: Bar, beside: Contribution) -> Slot:
    """Water that no file has, to be poured where another pour is."""
    pour = beside.pour.model_copy(update={"of": WATER, "amount": Quantity(0.0, "ml")})
    return Slot(bar, Contribution(pour, _WATER, 0.0, 0.0, False), 0.0, spec=0.0, may_be_nothing=True)


def _sour_pour(bar: Bar, designed: Sequence[Contribution], taken: tuple[str, str]) -> Contribution | None:
    """The pour with most acid that may be moved: no syrup, no spirit, not fixed."""
    sour = [
        part
        for part in designed
        if part.acid_g > 0.0
        and part.pour.of not in bar.specs.syrups
        and part.pour.of not in taken
        and not part.pour.fixed
        and abv_of(part.liquid) < SPIRIT_ABV
    ]
    return max(sour, key=lambda part: part.acid_g, default=None)


def _sweet_pour(bar: Bar, designed: Sequence[Contribution], taken: tuple[str, str]) -> Contribution | None:
    """The pour with most sugar that may be moved: a syrup where there is one, else another sweetener."""
    sweet = [part for part in designed if part.sugar_g > 0.0 and part.pour.of not in taken and not part.pour.fixed]
    syrups = [part for part in sweet if part.pour.of in bar.specs.syrups]
    others = [part for part in sweet if is_sweet(bar, part.pour.of) and abv_of(part.liquid) < SPIRIT_ABV]
    return max(syrups or others, key=lambda part: part.sugar_g, default=None)


def difference(quantity: Held, old: Glass, new: Glass) -> float:
    """A change in %; a quantity that was not there counts as a hundredth of a gram or of a % vol per per cent."""
    percent = change(quantity, old, new)
    if percent is not None:
        return percent
    return 100.0 * (new.acid_g if quantity == "acid" else new.as_drunk.abv_percent if quantity == "abv" else 0.0)
