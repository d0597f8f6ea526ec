"""What nobody knows of the drinks of a bar: which of them lack a figure because a file does not say it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.menu_totals import Figure, figure_of, is_lower, menu_totals
from balancer.engine.drink.totals import Totals
from balancer.models.checked import NotKnown
from balancer.models.drink import Drink

_FIGURES: Final[tuple[Figure, ...]] = ("abv", "sugar", "acid")


def not_known(bar: Bar, drinks: Iterable[Drink]) -> tuple[NotKnown, ...]:
    """What is not known of some drinks, as `totals` shows it: ? or ≥, and allergens of what they pour.

    A drink that cannot be worked out is left out: what keeps it from that is a problem of its own. What is poured by
    the drop is only a footnote there, and nothing here; extras have no figures.
    """
    found = menu_totals(bar, drinks).drinks
    asked = [NotKnown(figure, tuple([one.drink.name for one in found if _lacks(one, figure)])) for figure in _FIGURES]
    unlisted = [one.drink.name for one in found if any(part.liquid.allergens_unknown for part in one.contributions)]
    return tuple([one for one in (*asked, NotKnown("allergens", tuple(unlisted))) if one.drinks])


def _lacks(one: Totals, figure: Figure) -> bool:
    return figure_of(one, figure) is None or is_lower(one, figure)
