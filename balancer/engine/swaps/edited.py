"""What a changed spec means: for a drink whose pours change, and for the drinks of a syrup whose standard changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import totals
from balancer.engine.swaps.moved import Moved, Span, moved
from balancer.errors import BalancerError
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.models.syrup import Syrup
from balancer.units import Quantity

_BY_JIGGER: Final = ("ml", "cl", "l", "oz", "part")
_SAME_ML: Final = 0.01


@dataclass(frozen=True, slots=True)
class PourEdited:
    """One pour before and after.

    before, after          None where it comes or goes
    name_before, name      of what is poured before and after; the same where only the amount changes
    nearest                what the bar's jigger pours instead, when it cannot pour the amount; empty when it can
    """

    before: Pour | None
    after: Pour | None
    name_before: str
    name: str
    nearest: tuple[Amount, ...] = ()

    @property
    def is_other(self) -> bool:
        """Whether something else is poured in its place."""
        return self.before is not None and self.after is not None and self.before.of != self.after.of

    @property
    def fixed(self) -> bool:
        """Whether it was marked as one that no rescale or swap touches."""
        return self.before is not None and self.before.fixed


@dataclass(frozen=True, slots=True)
class DrinkEdited:
    """A drink before and after its pours change.

    drink        as it is now
    after        as it becomes, or the new one that is written beside it
    pours        what changes of its pours
    moved        what changes in the glass; None when it cannot be worked out
    sugar_known  whether its sugar is known of every pour; else the changes are of the known part
    """

    drink: Drink
    after: Drink
    pours: tuple[PourEdited, ...]
    moved: Moved | None = None
    sugar_known: bool = True

    @property
    def is_new(self) -> bool:
        """Whether it is written beside the old one, which stays as it is."""
        return self.drink.id != self.after.id

    @property
    def moves(self) -> bool:
        """Whether the drink becomes another one: 3/4 oz for 22.5 ml may be the same."""
        return self.moved is None or self.moved.is_something


class StandardEdited(NamedTuple):
    """A syrup before its standard changes, in °Bx, and the drinks written for it, each with its change of sugar in %.

    The change is None where it cannot be worked out or the drink had no sugar.
    """

    syrup: Syrup
    old_brix: float
    new_brix: float
    drinks: tuple[tuple[Drink, float | None], ...]

    @property
    def sugar_percents(self) -> Span | None:
        """The least and the most that the sugar of a drink changes, in %; None where no drink has a change."""
        known = [percent for _, percent in self.drinks if percent is not None]
        return Span(min(known), max(known)) if known else None


def drink_edited(before: Bar, after: Bar, drink: Drink, new: Drink, changes: Sequence[PourChange]) -> DrinkEdited:
    """A drink of one bar against what becomes of it in the other."""
    pours = tuple(_pour_edited(after, new, change) for change in changes)
    touched = {each.of for pour in pours for each in (pour.before, pour.after) if each is not None}
    try:
        old_totals, new_totals = totals(before, drink), totals(after, new)
    except BalancerError:
        return DrinkEdited(drink, new, pours, None, sugar_known=False)
    known = not (old_totals.is_lower_bound or new_totals.is_lower_bound)
    return DrinkEdited(drink, new, pours, moved(old_totals, new_totals, touched), known)


def standard_edited(before: Bar, after: Bar, syrup: Syrup) -> StandardEdited:
    """The drinks that are written for a syrup's standard, in file order; not those that say another strength."""
    pouring = before.specs.drinks_with(syrup.id, rinses=True)
    drinks = [drink for drink in pouring if syrup.id not in drink.written_for]
    rows = tuple((drink, _sugar_change(before, after, drink)) for drink in drinks)
    return StandardEdited(syrup, before.standard(syrup.id), after.standard(syrup.id), rows)


def _pour_edited(after: Bar, new: Drink, change: PourChange) -> PourEdited:
    then = None
    if change.amount is not None:
        then = next(pour for pour in new.pours if pour.of == change.of)
    name = after.specs.liquid(change.of).name
    was = after.specs.liquid(change.pour.of).name if change.pour else name
    return PourEdited(change.pour, then, was, name, _nearest(after, then.amount) if then else ())


def _nearest(bar: Bar, amount: Quantity) -> tuple[Amount, ...]:
    """The jigger's pours around a volume that it cannot pour."""
    if bar.specs.house.pour_style != "jigger" or amount.unit not in _BY_JIGGER:
        return ()
    ml = bar.measures.ml(amount)
    near = bar.jigger.near(ml, 1)
    return () if any(abs(pour - ml) < _SAME_ML for pour in near) else tuple([Amount(pour) for pour in near])


def _sugar_change(before: Bar, after: Bar, drink: Drink) -> float | None:
    try:
        return moved(totals(before, drink), totals(after, after.specs.drinks[drink.id])).sugar_percent
    except BalancerError:
        return None
