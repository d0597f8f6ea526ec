"""Whether an exchange is a swap at all: the limits of what a bar would serve, each with its reason.

The arithmetic has an answer for any two sweeteners. Past one of these limits it is another drink, whatever is held.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.amount import AmountUnit
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.crystals import saturated_at
from balancer.engine.drink.doubts import MOST_POUR_ML
from balancer.engine.drink.keeping import keeping
from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.moved import MOST_GUESTS_PERCENT, MOST_GUESTS_POINTS, Fill, change, fill, sweetness_change
from balancer.engine.swaps.search import HELD_PERCENT, Obstacle
from balancer.engine.swaps.slots import Slot
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.syrup import Syrup

MOST_TIMES_REPLACED: Final = 3.0
"""More than so many times the volume that goes is another drink: 1:1 for the richest syrup or honey that pours is not
yet twice, a liqueur for a syrup three to six times (judged)."""

PART_OF_LEAST: Final = 0.5
"""Less than this part of the least that the bar measures is nearer to nothing than to it (arithmetic)."""

MAKEABLE_BRIX: Final = (20.0, 70.0)
"""A syrup that a bar makes, °Bx: weaker it is a juice, stronger it neither flows nor stays clear (common practice)."""

_LEAST_ML: Final = 1e-6
_LEAST_G: Final = 1e-9

SwapVerdict = Literal["swap", "not a swap"]
ReasonKind = Literal["alcohol", "alcohol unknown", "pour", "times", "least", "glass", "volume", "abv", "sweetness"]


class Reason(NamedTuple):
    """Why an exchange is not a swap.

    alcohol          it puts value g of ethanol into a drink without, or sold as without
    alcohol unknown  nobody knows whether it does
    pour             value is poured, ml or g, more of one thing than a drink holds
    times            value ml are poured, more than MOST_TIMES_REPLACED times the limit ml that go
    least            value of name is exact, and the least the bar measures is limit, ml or g
    glass            value ml in the glass, and it holds limit
    volume           the mix moves by value %, from limit on most guests are likely to notice
    abv              the ABV moves by value % vol, likewise
    sweetness        it is sweeter, or less sweet, by value % at least, whatever the sources say, likewise
    """

    kind: ReasonKind
    value: float = 0.0
    limit: float = 0.0
    unit: AmountUnit = "ml"
    name: str = ""


@dataclass(frozen=True, slots=True)
class Exchange:
    """One sweetener poured in another's place.

    gone, before   what goes, and what the drink had of the new one already; into: the new one
    slot           its place; exact, poured: all of it, as the slot counts it
    old, new       the drink as written, and as poured
    others         places of the other pours that move, and the exact amounts
    """

    drink: Drink
    gone: Contribution
    before: Contribution | None
    into: Liquid
    slot: Slot
    exact: float
    poured: float
    old: Glass
    new: Glass
    others: tuple[tuple[Slot, float], ...] = ()


def is_without_alcohol(drink: Drink, old: Glass) -> bool:
    """Whether a drink has no alcohol, or is sold as having none."""
    return drink.zero_proof or not (old.ethanol_g or old.is_least("abv"))


def reasons(bar: Bar, made: Exchange) -> tuple[Reason, ...]:
    """Why an exchange is not a swap, the gravest first; empty when it is one."""
    return (*_alcohol(made), *_pours(made), *_glass(bar, made), *_moved(made))


def verdict_of(found: tuple[Reason, ...]) -> SwapVerdict:
    """What they come to."""
    return "not a swap" if found else "swap"


def hinders(found: Obstacle | None, house: House, step_ml: float, poured: Sequence[float]) -> Obstacle | None:
    """What is in the way of holding everything; None where it is less than the house lets pass, or than it can pour.

    poured  change of everything held with the pours that the bar can make, in %
    Rule:   no miss is above the house's tolerance; or what would have to be less than nothing is so by less than half
            a step, and no miss of the pours is
    """
    if found is None:
        return None
    most = house.tolerance + HELD_PERCENT
    is_tolerated = all(abs(percent) <= most for _, percent in found.misses)
    below = [item.amount.value for item in found.below_zero]
    is_rounding = bool(below) and all(abs(value) < 0.5 * step_ml for value in below)
    is_poured = is_rounding and all(abs(percent) <= most for percent in poured)
    return None if is_tolerated or is_poured else found


def is_makeable(bar: Bar, syrup: Syrup, brix: float) -> bool:
    """Whether a bar can make a syrup to a strength, °Bx, and keep it: as long as it should, and without crystals."""
    low, high = MAKEABLE_BRIX
    if not low <= brix <= high:
        return False
    kept = keeping(bar.specs, syrup, brix)
    try:
        return not kept.lost and saturated_at(syrup_liquid(syrup, brix).per_g, kept.storage_c) is None
    except BalancerError:  # beside so much sugar there is no water for its acid or alcohol
        return False


def _alcohol(made: Exchange) -> list[Reason]:
    if not is_without_alcohol(made.drink, made.old):
        return []
    added = made.new.ethanol_g - made.old.ethanol_g
    found = [Reason("alcohol", added)] if added > _LEAST_G else []
    is_new = made.before is None
    return [*found, Reason("alcohol unknown")] if made.into.abv_unknown and is_new else found


def _pours(made: Exchange) -> list[Reason]:
    found = []
    slot, gone = made.slot, made.gone
    poured = slot.amount(made.poured)
    there = _in_slot(slot, made.before)
    most = max(MOST_POUR_ML, there + _in_slot(slot, gone))
    if not gone.is_top and poured.value > most + _LEAST_ML:
        found.append(Reason("pour", poured.value, MOST_POUR_ML, poured.unit))
    if made.into.density and gone.volume_ml and gone.liquid.density:
        had = made.before.volume_ml or 0.0 if made.before else 0.0
        added = made.poured - had
        if added > MOST_TIMES_REPLACED * gone.volume_ml + _LEAST_ML:
            found.append(Reason("times", added, gone.volume_ml))
    for each, exact in ((slot, made.exact), *made.others):
        if exact < PART_OF_LEAST * each.least - _LEAST_ML:
            least = each.amount(each.least)
            found.append(Reason("least", each.amount(exact).value, least.value, least.unit, each.liquid.name))
    return found


def _in_slot(slot: Slot, part: Contribution | None) -> float:
    """How much of something a drink pours as written, in the unit of a slot."""
    if part is None:
        return 0.0
    return part.mass_g if slot.by_weight or part.volume_ml is None else part.volume_ml


def _glass(bar: Bar, made: Exchange) -> list[Reason]:
    found: Fill | None = fill(bar, made.drink, made.old, made.new)
    if found is None or not found.overflows or found.after_ml <= found.before_ml:
        return []
    return [Reason("glass", found.after_ml, found.glass_ml)]


def _moved(made: Exchange) -> list[Reason]:
    found = []
    volume = change("volume", made.old, made.new)
    if volume is not None and abs(volume) >= MOST_GUESTS_PERCENT:
        found.append(Reason("volume", volume, MOST_GUESTS_PERCENT))
    if not (made.old.is_least("abv") or made.new.is_least("abv")):
        points = made.new.as_drunk.abv_percent - made.old.as_drunk.abv_percent
        if abs(points) >= MOST_GUESTS_POINTS:
            found.append(Reason("abv", points, MOST_GUESTS_POINTS))
    if not (made.old.is_least("sugar") or made.new.is_least("sugar")):
        span = sweetness_change(made.old.everything, made.new.everything)
        nearest = min(span, key=abs) if span and span.low * span.high > 0.0 else 0.0
        if abs(nearest) >= MOST_GUESTS_PERCENT:
            found.append(Reason("sweetness", nearest, MOST_GUESTS_PERCENT))
    return found
