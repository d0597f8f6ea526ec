"""A drink made drier, sourer, stronger, lighter or larger: the pours that bring it there, and what else moves.

Sugar and acid are those of the whole glass, and stay where they are not asked; where the drink is resized they grow or
shrink with it. Spirits move only where ABV or volume is asked. Where both are, water is added to a drink that
has nothing to make it longer; one that has keeps its volume while its ABV changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from balancer.brief import brief
from balancer.components import STANDARD_DRINK_G
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import Contribution, Glass, contribute
from balancer.engine.swaps.adjust_goals import Asked, Goal, goals_of, new_glass, target_ml
from balancer.engine.swaps.adjust_search import AdjustSearch, Missed
from balancer.engine.swaps.moved import BeforeAndAfter, Fill, Moved, Noticed, fill, glass_of, moved, noticed
from balancer.engine.swaps.slots import SwappedPour
from balancer.engine.swaps.taste import Side, Tasting, taste
from balancer.errors import CannotError
from balancer.models.drink import Drink, Weighed

MUCH_LESS: Final = 5.0
"""A drink smaller by so many % is missed in its glass (judged)."""

MUCH_MORE: Final = 0.5
"""So many standard drinks more are told before anything else (judged)."""


@dataclass(frozen=True, slots=True)
class AdjustedDrink(BeforeAndAfter):
    """A drink before and after.

    goals            what was asked and what is held
    pours            in the order of the file
    old, exact, new  as written, with the exact pours, and as poured
    moved            what changes in the glass with the pours the bar can make; moved_exact: with the exact ones
    taste            what a guest may notice of it as poured, ranked, what was asked included
    missed           what even the exact pours do not reach
    new_glass        the glass that was asked, where it is another than its own
    fill             its glass before and after; None when it or the dilution is unknown
    standard_drink_g  ethanol in what the house's country calls one standard drink, g
    """

    drink: Drink
    asked: Asked
    goals: tuple[Goal, ...]
    pours: tuple[SwappedPour, ...]
    old: Glass
    exact: Glass
    new: Glass
    moved: Moved
    moved_exact: Moved
    noticed: tuple[Noticed, ...]
    taste: Tasting
    missed: tuple[Missed, ...]
    new_glass: str | None
    fill: Fill | None
    standard_drink_g: float

    __repr__ = brief

    @property
    def standard_drinks(self) -> tuple[float, float]:
        """The house's standard drinks in the glass, before and after."""
        return self.old.ethanol_g / self.standard_drink_g, self.new.ethanol_g / self.standard_drink_g

    @property
    def is_stronger(self) -> bool:
        """Whether a guest should be told: half a standard drink more is in it, or more than that (judged)."""
        before, after = self.standard_drinks
        return after - before >= MUCH_MORE

    @property
    def feasible(self) -> bool:
        """Whether all that was asked can be had, and the rest held."""
        return not self.missed

    @property
    def is_drink(self) -> bool:
        """Whether a bar would serve it so: it grew no larger than its glass."""
        return not (self.fill and self.fill.overflows and self.volume_change_ml > 0.0)

    @property
    def is_sound(self) -> bool:
        """Whether it is an answer to keep: all that was asked, in a drink that a bar would serve."""
        return self.feasible and self.is_drink

    @property
    def shrinks_without_water(self) -> bool:
        """Whether its ABV was asked alone, and took so much of it away that water would be missed."""
        volume = self.moved.volume_percent
        return (
            not self.asked.resizes and self.asked.abv_percent is not None and volume is not None and volume < -MUCH_LESS
        )

    @property
    def changed(self) -> tuple[SwappedPour, ...]:
        """The pours that become others."""
        return tuple([pour for pour in self.pours if not pour.stays])


def adjust(bar: Bar, drink: Drink, asked: Asked) -> AdjustedDrink:
    """Bring a drink to other sugar, acid, ABV or volume, alone or together.

    Rule:   the exact pours reach what is asked, hold the rest as far as that lets them, and lie nearest to written, in
            steps; the pours minimise the sum of (miss / weight)² over both plus 0.01 (steps moved)², from the written
            pour, in proportion where the drink is resized, or from the exact one where that is a step or more away.
            Dashes and drops stay, and are resized to whole ones; a rinse stays. No pour goes below the least that the
            bar measures, nor over what a drink holds
    Raises: CannotError when nothing is asked, what is asked is not there or not known, or no glass has the name
    """
    designed = contribute(bar, drink, {}, {})
    old = glass_of(drink, designed)
    _check(drink, asked, old, designed)
    volume_ml = target_ml(bar, drink, asked, old)
    goals = goals_of(bar, asked, old, designed, volume_ml)
    ratio = volume_ml / old.as_drunk.volume_ml if volume_ml else 1.0
    search = AdjustSearch(bar, _resized(drink, ratio), asked, designed, goals, ratio)
    exact = search.solve(bar.specs.house.tolerance)
    poured = search.round(exact)
    exactly, new = search.glass(exact), search.glass(poured)
    touched = {slot.liquid.id for slot in search.slots}
    other_glass = new_glass(bar, drink, asked)
    in_glass = drink.model_copy(update={"glass": other_glass}) if other_glass else drink
    pours = tuple(search.pours(exact, poured))
    return AdjustedDrink(
        drink=drink,
        asked=asked,
        goals=goals,
        pours=pours,
        old=old,
        exact=exactly,
        new=new,
        moved=moved(old, new, touched),
        moved_exact=moved(old, exactly, touched),
        noticed=noticed(old, new),
        taste=taste(Side(bar, drink, old, designed), Side(bar, drink, new, search.parts(poured))),
        missed=search.missed(exact, bar.specs.house.tolerance),
        new_glass=other_glass,
        fill=fill(bar, in_glass, old, new),
        standard_drink_g=STANDARD_DRINK_G[bar.specs.house.standard_drink],
    )


def _resized(drink: Drink, ratio: float) -> Drink:
    """A drink so much larger: what was weighed of it would weigh as much more, so that as much of its mix is melt."""
    if drink.weighed is None or ratio == 1.0:
        return drink
    weighed = Weighed(before=ratio * drink.weighed.before, after=ratio * drink.weighed.after)
    return drink.model_copy(update={"weighed": weighed})


def _check(drink: Drink, asked: Asked, old: Glass, designed: Sequence[Contribution]) -> None:
    """Raises CannotError when something asked is not there, or nobody knows how much of it there is."""
    if not (asked.sugar or asked.acid or asked.moves_spirits):
        raise CannotError(
            "nothing-asked", f"nothing says what {drink.name} should become", "give --sugar -10%, or --abv 12%"
        )
    if asked.sugar is not None:
        if old.is_least("sugar"):
            raise _unknown("sugar", [part.liquid.name for part in designed if part.liquid.sugar_unknown])
        _check_some(drink, "sugar", old.sugar_g, asked.sugar.of(old.sugar_g))
    if asked.acid is not None:
        if old.is_least("acid"):
            raise _unknown("acid", [part.liquid.name for part in designed if part.liquid.acid_unknown])
        _check_some(drink, "acid", old.acid_g, asked.acid.of(old.acid_g))
    if asked.abv_percent is not None:
        if old.is_least("abv"):
            raise _unknown("abv", [part.liquid.name for part in designed if part.liquid.abv_unknown])
        _check_some(drink, "abv", old.ethanol_g, asked.abv_percent)
    if asked.moves_spirits and old.served is None:
        raise CannotError(
            "dilution-unknown",
            f"nothing tells how much water the ice leaves in {drink.name}, so its size and ABV are unknown",
            "state it in its file, like dilution: 45 %, or weigh one: balancer calibrate -h",
        )


def _check_some(drink: Drink, what: str, now: float, target: float) -> None:
    word = "alcohol" if what == "abv" else what
    if now <= 0.0:
        raise CannotError(f"no-{what}", f"{drink.name} holds no {word} to change", f"leave out --{what}")
    if target <= 0.0:
        raise CannotError(f"no-{what}", f"no {word} would be left in {drink.name}", "ask for less of a change")


def _unknown(what: str, names: Sequence[str]) -> CannotError:
    word = "ABV" if what == "abv" else what
    return CannotError(
        f"{what}-unknown",
        f"nobody knows the {word} of {', '.join(names)}, so it cannot be aimed at",
        f"add {'its' if len(names) == 1 else 'their'} {what}",
    )
