"""A new spec beside the old one, to be tasted blind before it goes on the menu."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.card import Card, CardCaution, card
from balancer.engine.swaps.against import Against, DrinkSource, SidePour, against
from balancer.engine.swaps.made_up import with_water
from balancer.engine.swaps.versions import next_version
from balancer.models.changes import NOTHING_ELSE, AlsoChanged, PourChange, pours_after
from balancer.models.drink import Drink

_TOLD_G = 0.05
"""Less alcohol than this more is none on any page: a tenth of a gram is shown."""


@dataclass(frozen=True, slots=True)
class Trial:
    """Two drinks side by side, as their cards tell them. The old one is `theirs` of the comparison."""

    result: Against
    new: Card
    old: Card

    @property
    def alcohol_added_g(self) -> float | None:
        """How much more alcohol a guest drinks, g; 0 where it is none to speak of, or less; None where unknown."""
        more = self.result.ethanol_g
        return None if more is None else more if more >= _TOLD_G else 0.0

    @property
    def had_no_alcohol(self) -> bool:
        """Whether the new one has alcohol, or may have, and the old one has none."""
        ours, theirs = self.result.ours, self.result.theirs
        had = theirs.ethanol_g >= _TOLD_G or theirs.is_least("abv")
        return not had and (ours.ethanol_g >= _TOLD_G or ours.is_least("abv"))

    @property
    def cautions_gained(self) -> tuple[CardCaution, ...]:
        """What is to be said of the new one and was not of the old."""
        return tuple(each for each in self.new.cautions if each not in self.old.cautions)

    @property
    def stands_in(self) -> tuple[str, SidePour] | None:
        """The id of the one thing that comes, and what goes in its place; None where it is not one for one."""
        comes = [pair.id for pair in self.result.pours if pair.theirs is None]
        goes = [pair.theirs for pair in self.result.pours if pair.ours is None and pair.theirs is not None]
        return (comes[0], goes[0]) if len(comes) == len(goes) == 1 else None


def trial(bar: Bar, drink: Drink, their_bar: Bar, their_drink: Drink, origin: DrinkSource) -> Trial:
    """A drink to be tasted beside another one. Raises BalancerError as `against` does."""
    return Trial(against(bar, drink, their_bar, their_drink, origin), card(bar, drink), card(their_bar, their_drink))


def trial_of_changes(bar: Bar, drink: Drink, changes: Sequence[PourChange], also: AlsoChanged = NOTHING_ELSE) -> Trial:
    """A drink with other pours beside itself as it is, as if the changes stood in its file already."""
    update: dict[str, object] = {"pours": pours_after(drink, changes), "version": next_version(drink.version)}
    if also.glass is not None:
        update["glass"] = also.glass
    if also.dilution is not None:
        update |= {"dilution": also.dilution, "weighed": None}
    poured = with_water(bar)
    return trial(poured, drink.model_copy(update=update), poured, drink, DrinkSource())
