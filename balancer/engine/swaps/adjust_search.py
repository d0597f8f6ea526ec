"""The search behind an adjusted drink: which pours may move, the exact amounts, and what even those do not reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, inf
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.doubts import MOST_POUR_ML
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Glass
from balancer.engine.swaps.adjust_goals import Asked, Goal, is_free, lengthens
from balancer.engine.swaps.pour_search import Floor, PourSearch
from balancer.engine.swaps.roles import SPIRIT_ABV, abv_of, is_sweet
from balancer.engine.swaps.search import WEIGHT_PERCENT, added_water
from balancer.engine.swaps.slots import Freedom, Slot, counted_amount, is_counted, written_ml
from balancer.models.drink import Drink
from balancer.models.pour import RINSE

_MISS_PERCENT: Final = 1.0
"""Nearer than this to what is asked no jigger comes, so that it counts as reached (judged)."""
_HELD_SHARE: Final = 0.1
"""Where what is asked and what is held do not go together, what is held counts so little while the exact pours are
sought, so that what is asked comes first."""
_PLAIN: Final = 0.01
"""A spirit with less sugar, g in a g, is one and no liqueur (judged)."""
_SETTLED: Final = 1e-9
_ROUNDING: Final = 1e-6
_BYSTANDER_EASE: Final = 0.2
"""What is there for something else than sugar, acid, alcohol or length is resized with the drink and moves so much less
readily: nobody changes the egg to keep the sugar (judged)."""


Stays = Literal["fixed", "rinse", "spirit", "counted", "bystander"]
"""Why a pour stays: the file fixes it, it is a rinse, a spirit while neither ABV nor volume is asked, so many dashes or
eggs, or there for something else than what is changed."""


class Stuck(NamedTuple):
    """A pour that brings what should be less, or is wanted for more, and why it does not move further."""

    liquid: Liquid
    why: Stays | Literal["least", "most"]


@dataclass(frozen=True, slots=True)
class Missed:
    """What the exact pours do not reach. percent: how far they are off the goal; stuck: what is in the way."""

    goal: Goal
    percent: float
    value: float
    stuck: tuple[Stuck, ...]


class AdjustSearch(PourSearch):
    """What stays, what is free, and the search for the exact amounts.

    ratio  how much larger the drink should become
    """

    def __init__(
        self,
        bar: Bar,
        drink: Drink,
        asked: Asked,
        designed: Sequence[Contribution],
        goals: Sequence[Goal],
        ratio: float,
    ) -> None:
        self.goals = goals
        self.stays: dict[str, Stays] = {}
        """Why a pour stays, by its id."""
        kept: list[Contribution | int] = []
        slots: list[Slot] = []
        resized = ratio != 1.0
        carriers = _carriers(bar, asked, designed)
        sweet = [part for part in designed if part.pour.of in carriers and is_sweet(bar, part.pour.of)]
        only_counted = asked.sugar is not None and all(is_counted(part) for part in sweet)
        for part in designed:
            carries = part.pour.of in carriers
            counted = is_counted(part) and not (carries and only_counted)
            if not is_free(part) or not (carries or resized) or (counted and not resized):
                kept.append(part)
                self.stays[part.pour.of] = _why(part, counted=counted)
                continue
            kept.append(len(slots))
            slots.append(_slot(bar, drink, part, ratio, counted=counted, ease=1.0 if carries else _BYSTANDER_EASE))
        if asked.abv_percent is not None and asked.resizes and not any(lengthens(bar, part) for part in designed):
            kept.append(len(slots))
            slots.append(added_water(bar, designed[0]))
        super().__init__(bar.specs.house, drink, kept, slots, self._weighed)

    def _weighed(self, glass: Glass) -> list[float]:
        """How far a glass is off each goal, over its weight."""
        return [goal.miss_percent(glass) / WEIGHT_PERCENT[goal.quantity] for goal in self.goals]

    def solve(self, tolerance: float) -> list[float]:
        """The exact amounts: both what is asked and what is held where they go together, else what is asked first.

        A pour that need not move by a whole step is held near the written one from then on, any other near its exact
        one: it would not come there else.
        """
        found = self._settled(1.0)
        if self.missed(found, tolerance):
            found = self._settled(_HELD_SHARE)
        for place, (slot, amount) in enumerate(zip(self.slots, found, strict=True)):
            self.centre[place] = slot.written if abs(amount - slot.written) < slot.step else amount
        return found

    def _settled(self, share: float) -> list[float]:
        amounts = [slot.written for slot in self.slots]
        free = [place for place, slot in enumerate(self.slots) if not slot.frozen]
        shares = [1.0 if goal.asked else share for goal in self.goals]
        while free:
            least = [self.slots[place].least for place in free]
            for place, low in zip(free, least, strict=True):
                amounts[place] = max(amounts[place], low)
            self.settle(
                amounts, free, [self.slots[place].counted_step for place in free], shares, Floor(least, _SETTLED)
            )
            # What would be more than a drink holds is as much as that, and the others make the best of it.
            over = [place for place in free if amounts[place] > self.slots[place].most + _ROUNDING]
            if not over:
                break
            for place in over:
                amounts[place] = self.slots[place].most
            free = [place for place in free if place not in over]
        return amounts

    def missed(self, exact: Sequence[float], tolerance: float) -> tuple[Missed, ...]:
        """What the exact amounts do not reach. tolerance: what may move of that which is held, in %."""
        glass = self.glass(exact)
        found = []
        for goal in self.goals:
            percent = goal.miss_percent(glass)
            if abs(percent) > (_MISS_PERCENT if goal.asked else tolerance):
                found.append(Missed(goal, percent, goal.value(glass), self._stuck(goal, exact)))
        return tuple(found)

    def _stuck(self, goal: Goal, exact: Sequence[float]) -> tuple[Stuck, ...]:
        """The pours that hold a quantity, or could bring more of it, and do not move further; most first."""
        found: list[tuple[float, Stuck]] = []
        for part in self.parts(exact):
            brings = {"sugar": part.sugar_g, "acid": part.acid_g, "abv": part.ethanol_g}.get(goal.quantity, part.mass_g)
            why = self.stays.get(part.pour.of)
            if brings > 0.0 and why:
                found.append((brings, Stuck(part.liquid, why)))
        for slot, amount in zip(self.slots, exact, strict=True):
            if not slot.frozen and amount <= slot.least * (1.0 + 1e-9):
                found.append((0.0, Stuck(slot.liquid, "least")))
            elif not slot.frozen and amount >= slot.most - _ROUNDING:
                found.append((inf, Stuck(slot.liquid, "most")))
        return tuple([stuck for _, stuck in sorted(found, key=lambda item: -item[0])])


def _carriers(bar: Bar, asked: Asked, designed: Sequence[Contribution]) -> set[str]:
    """Ids of the pours that may move for their sugar, acid, alcohol or length: what a bartender would change.

    Where no syrup or dry sugar sweetens, a liqueur may, then whatever brings most sugar. Of what is strong the plain
    spirits move; where there are none, all of it.
    """
    free = [part for part in designed if is_free(part)]
    strong = [part for part in free if _is_strong(part)]
    mild = [part for part in free if not _is_strong(part)]
    sweet = [part for part in mild if is_sweet(bar, part.pour.of)]
    if not sweet and (asked.sugar or asked.moves_spirits):
        liqueurs = [part for part in strong if is_sweet(bar, part.pour.of)]
        others = [part for part in mild if part.sugar_g and asked.sugar]
        sweet = sorted(liqueurs or others, key=lambda part: -part.sugar_g)[:1]
    sour = [part for part in mild if part.acid_g and part.pour.of not in bar.specs.syrups]
    moving = [*sweet, *sorted(sour, key=lambda part: -part.acid_g)[:1]]
    if asked.moves_spirits:
        plain = [part for part in strong if not part.liquid.sugar_unknown and part.liquid.sugar_per_g < _PLAIN]
        moving += [*(plain or strong), *(part for part in free if lengthens(bar, part))]
    return {part.pour.of for part in moving}


def _slot(bar: Bar, drink: Drink, part: Contribution, ratio: float, *, counted: bool, ease: float) -> Slot:
    now = counted_amount(part)
    written = ratio * now
    if counted:
        count = part.pour.amount.value
        written = now / count * max(1.0, floor(ratio * count + 0.5))
    return Slot(
        bar,
        part,
        written,
        spec=now,
        written_ml=written_ml([part]),
        freedom=Freedom(
            small=drink.way == "stirred",
            frozen=counted,
            measured=True,
            ease=ease,
            most=inf if part.is_top or lengthens(bar, part) else max(MOST_POUR_ML, now),
        ),
    )


def _is_strong(part: Contribution) -> bool:
    return part.liquid.abv_unknown or abv_of(part.liquid) >= SPIRIT_ABV


def _why(part: Contribution, *, counted: bool) -> Stays:
    if part.pour.amount.unit == RINSE:
        return "rinse"
    if part.pour.fixed:
        return "fixed"
    return "counted" if counted else "spirit" if _is_strong(part) else "bystander"
