"""The search behind a swap: the exact amounts of the free pours, then the best pours the bar can make.

Spirits stay as they are. Free are the new sweetener, the sour pour when acid is held, and added water when
volume is held.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, NamedTuple, get_args

from balancer.components import ETHANOL, composition
from balancer.engine.drink.amount import Amount, amount_of, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.jigger import SAME_ML, weighed_step_g
from balancer.engine.drink.liquid import ETHANOL_G_PER_ML, Liquid
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.moved import Held, change, glass_of
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.numerics import LeastSquares, settle
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

STEP_WEIGHT: Final = 0.01
"""What moving a pour by one step counts beside that, so that of equal answers the nearest to written wins."""

SPIRIT_ABV: Final = 15.0
"""From here on a pour is a spirit and is not moved: the least % vol of a spirit drink, Regulation (EU) 2019/787."""

HELD_PERCENT: Final = 1e-6
"""A quantity within this much of the old drink's is held: what is left is the rounding of a float."""

_LEAST_ACID_G: Final = 1e-6

WATER: Final = "water"
_WATER: Final = Liquid(WATER, WATER, composition({"water": 1.0}), WATER_KG_M3 / 1000.0, allergens=())


@dataclass(frozen=True, slots=True)
class SwappedPour:
    """One pour of the drink after the swap. Its amounts have one unit: g where it goes on the scale, else ml.

    spec     as written; for the new sweetener as much as there was of the old, by weight where it goes on the
             scale; 0 for water that is added; None where the old one's amount has no meaning for the new
    written  the volume that the file has, where the pour goes on the scale all the same
    """

    liquid: Liquid
    spec: Amount | None
    exact: Amount
    poured: Amount
    is_new: bool
    is_free: bool
    written: Amount | None = None

    @property
    def stays(self) -> bool:
        """Whether it is poured as written."""
        return self.spec is not None and self.poured.is_same(self.spec)

    @property
    def sugar_per_unit(self) -> float:
        """Grams of sugar in a ml of it, or in a g where it goes on the scale."""
        return self.liquid.sugar_per_g * self._unit_g

    @property
    def acid_per_unit(self) -> float:
        """Grams of acid, as citric, likewise."""
        return self.liquid.acid_per_g * self._unit_g

    @property
    def _unit_g(self) -> float:
        return Amount(1.0, self.poured.unit).weigh(self.liquid.density or 1.0)

    @property
    def was_there(self) -> bool:
        """Whether there was some of it before, as far as that has a meaning."""
        return self.spec is not None and self.spec.value > 0.0


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


class _Slot:
    """One pour that the swap may change. The search counts it in ml, or in g where nothing tells its density.

    written_ml  what the file pours, if that is a volume
    """

    def __init__(
        self,
        bar: Bar,
        part: Contribution,
        written: float,
        *,
        spec: float | None,
        may_be_nothing: bool,
        written_ml: float | None = None,
    ) -> None:
        self.part, self.written, self.spec, self.may_be_nothing = part, written, spec, may_be_nothing
        self.liquid = part.liquid
        self.unit_g = self.liquid.density or 1.0
        house = bar.specs.house
        self.unit = poured_in(house, part.pour, self.liquid)
        self.by_weight = self.unit == "g"
        self.written_ml = written_ml if self.by_weight else None
        self.step = weighed_step_g(house) / self.unit_g if self.by_weight else bar.step_ml
        # A fine scale makes steps so small that staying near the written pour would outweigh being right.
        self.counted_step = max(self.step, bar.step_ml)
        self._jigger = bar.jigger
        self._stays = house.pour_style == "free" and spec is not None

    def amount(self, amount: float) -> Amount:
        """A pour of so much as the bar measures it."""
        return Amount(amount * self.unit_g, "g") if self.by_weight else Amount(amount)

    def line(self, exact: float, poured: float, *, is_new: bool) -> SwappedPour:
        """The pour after the swap."""
        return SwappedPour(
            liquid=self.liquid,
            spec=None if self.spec is None else self.amount(self.spec),
            exact=self.amount(exact),
            poured=self.amount(poured),
            is_new=is_new,
            is_free=True,
            written=None if self.written_ml is None else Amount(self.written_ml),
        )

    def at(self, amount: float) -> Contribution:
        """The pour in an amount."""
        volume = amount if self.liquid.density else None
        return self.part._replace(volume_ml=volume, mass_g=amount * self.unit_g)

    def pours(self, low: float, high: float) -> list[float]:
        """What the bar can pour between two limits, ascending, or the nearest to them; the written pour always."""
        if self._stays:
            return [self.written]
        if self.by_weight:
            first = max(1, round(low / self.step))
            found = [count * self.step for count in range(first, max(first, round(high / self.step)) + 1)]
        else:
            found = self._jigger.between(low, high)
        own = [0.0] if self.may_be_nothing else []
        if self.spec:
            own.append(self.spec)
        found = [pour for pour in found if all(abs(pour - other) > SAME_ML for other in own)]
        return sorted([*own, *found])

    def nearest(self, amount: float) -> float:
        """The pour nearest to an amount."""
        reach = 2.0 * self.step
        return min(self.pours(amount - reach, amount + reach), key=lambda pour: abs(pour - amount))


class SwapSearch:
    """What stays, what is free, and the two searches over it."""

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
        self.house, self.drink, self.held, self.old = bar.specs.house, drink, held, old
        merged = next((part for part in designed if part.pour.of == into.id and part is not gone), None)
        self.kept: list[Contribution | int] = []
        """The drink in the order of the file: pours that stay, and the places of free ones."""
        self.slots: list[_Slot] = []
        sour = _sour_pour(bar, designed, (gone.pour.of, into.id)) if "acid" in held else None
        self.no_sour_pour = "acid" in held and sour is None
        for part in designed:
            if part is merged:
                continue
            if part is gone:
                self.new = len(self.slots)
                self._free(new_slot(bar, gone, merged, into))
            elif part is sour or ("volume" in held and part.pour.of == WATER and not part.pour.fixed):
                amount = part.volume_ml if part.liquid.density else part.mass_g
                nothing = part.pour.of == WATER
                ml = _written_ml([part])
                self._free(_Slot(bar, part, amount or 0.0, spec=amount, may_be_nothing=nothing, written_ml=ml))
            else:
                self.kept.append(part)
        if "volume" in held and all(slot.liquid.id != WATER for slot in self.slots):
            pour = gone.pour.model_copy(update={"of": WATER, "amount": Quantity(0.0, "ml")})
            self._free(_Slot(bar, Contribution(pour, _WATER, 0.0, 0.0, False), 0.0, spec=0.0, may_be_nothing=True))

    def _free(self, slot: _Slot) -> None:
        self.kept.append(len(self.slots))
        self.slots.append(slot)

    def parts(self, amounts: Sequence[float]) -> list[Contribution]:
        """The drink with amounts for its free pours."""
        return [self.slots[item].at(amounts[item]) if isinstance(item, int) else item for item in self.kept]

    def glass(self, amounts: Sequence[float]) -> Glass:
        """The drink with amounts for its free pours, worked out."""
        return glass_of(self.drink, self.parts(amounts))

    def changes(self, amounts: Sequence[float]) -> list[float]:
        """Change of each held quantity over its weight."""
        new = self.glass(amounts)
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

        def residuals(x: Sequence[float]) -> list[float]:
            for place, amount in zip(free, x, strict=True):
                amounts[place] = amount
            return self.changes(amounts)

        try:
            found = settle(residuals, [amounts[place] for place in free], [self.slots[place].step for place in free])
        except BalancerError:  # more sugar or acid than water, which only an amount below nothing can bring
            return None
        for place, amount in zip(free, found, strict=True):
            amounts[place] = amount
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
        return list(self._squares([slot.written for slot in self.slots], 1e-6).minimum)

    def _squares(self, around: Sequence[float], step_weight: float) -> LeastSquares:
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
        return LeastSquares(rows, target, ridge, [slot.written for slot in self.slots])

    def round(self, exact: Sequence[float]) -> list[float]:
        """The best pours the bar can make. The ridge bound keeps them few: none outside of it can be better."""
        squares = self._squares(exact, STEP_WEIGHT)
        first = [slot.nearest(amount) for slot, amount in zip(self.slots, exact, strict=True)]
        limits = zip(self.slots, squares.box(squares.cost(first)), strict=True)
        return list(squares.best([slot.pours(low, high) for slot, (low, high) in limits]).values)

    def pours(self, exact: Sequence[float], poured: Sequence[float]) -> Iterator[SwappedPour]:
        """The drink's pours after the swap, in the order of the file."""
        for item in self.kept:
            if isinstance(item, int):
                yield self.slots[item].line(exact[item], poured[item], is_new=item == self.new)
            else:
                amount = amount_of(item.volume_ml, item.mass_g, poured_in(self.house, item.pour, item.liquid))
                yield SwappedPour(item.liquid, amount, amount, amount, is_new=False, is_free=False)


def _written_ml(parts: Sequence[Contribution]) -> float | None:
    """What the file pours of some parts, ml; None unless all of it is a volume."""
    volumes = [part.volume_ml for part in parts if part.pour.amount.kind != "mass"]
    known = [volume for volume in volumes if volume is not None]
    return sum(known) if len(known) == len(parts) else None


def new_slot(bar: Bar, gone: Contribution, merged: Contribution | None, into: Liquid) -> _Slot:
    """The place of the old sweetener with the new one in it, and with what the drink had of that already."""
    both = [gone] if merged is None else [gone, merged]
    pour: Pour = gone.pour.model_copy(update={"of": into.id})
    sugar_g = sum([part.sugar_g for part in both])
    amount = gone.pour.amount
    spec = None
    if into.density and gone.liquid.density and (amount.kind == "mass" or bar.specs.house.pour_style == "scale"):
        spec = sum([part.mass_g for part in both]) / into.density
    elif into.density and gone.volume_ml is not None:
        spec = sum([part.volume_ml or 0.0 for part in both])
    elif not into.density and not gone.liquid.density:
        spec = sum([part.mass_g for part in both])
    elif amount.kind == "mass":  # dry sugar was weighed; a syrup in its place is poured
        pour = pour.model_copy(update={"amount": Quantity(1.0, "ml")})
    written = sugar_g / (into.sugar_per_g * (into.density or 1.0)) if spec is None else spec
    new = gone._replace(pour=pour, liquid=into)
    return _Slot(bar, new, written, spec=spec, may_be_nothing=False, written_ml=_written_ml(both))


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


def abv_of(liquid: Liquid) -> float:
    """Its alcohol, % vol; 0 when it can only be weighed."""
    return 100.0 * liquid.per_g[ETHANOL] * (liquid.density or 0.0) / ETHANOL_G_PER_ML


def difference(quantity: Held, old: Glass, new: Glass) -> float:
    """A change in %; a quantity that was not there counts as a hundredth of a gram or of a % vol per per cent."""
    percent = change(quantity, old, new)
    if percent is not None:
        return percent
    return 100.0 * (new.acid_g if quantity == "acid" else new.as_drunk.abv_percent if quantity == "abv" else 0.0)
