"""What every drink of a menu holds, and the order by one figure of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

from balancer.brief import brief
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.totals import Totals, totals
from balancer.errors import BalancerError, Problem
from balancer.models.drink import Drink

SortedBy = Literal["name", "volume", "abv", "sugar", "acid", "ratio", "alcohol"]
"""What a menu may be sorted by: names from a to z, every figure from the most down."""
Figure = Literal["volume", "abv", "sugar", "acid", "ratio", "alcohol"]
"""What a drink holds in the glass: ml, % vol, g, g (as citric), sugar to acid, standard drinks."""


class MenuTotals(NamedTuple):
    """The drinks that can be worked out, and those that cannot, each with its error."""

    drinks: tuple[Totals, ...]
    failed: tuple[tuple[Drink, BalancerError], ...]

    def __repr__(self) -> str:
        return brief(self)

    def ordered(self, by: SortedBy | None, *, reverse: bool = False) -> MenuTotals:
        """The same drinks by name or by a figure; what is not known comes last either way, equals as on the menu."""
        if by is None:
            return self._replace(drinks=self.drinks[::-1]) if reverse else self
        if by == "name":
            drinks = sorted(self.drinks, key=lambda one: (one.drink.name.casefold(), one.drink.id), reverse=reverse)
            return self._replace(drinks=tuple(drinks))
        sized = [(figure_of(one, by), one) for one in self.drinks]
        up = 1.0 if reverse else -1.0
        sized.sort(key=lambda pair: (pair[0] is None, up * (pair[0] or 0.0)))
        return self._replace(drinks=tuple([one for _, one in sized]))

    def ends(self, figure: Figure) -> tuple[Totals, Totals] | None:
        """The drinks with least and most of it; None where it is known of none."""
        known = [(value, one) for one in self.drinks if (value := figure_of(one, figure)) is not None]
        if not known:
            return None
        return min(known, key=_value)[1], max(known, key=_value)[1]

    def problems(self) -> list[Problem]:
        """Why what cannot be worked out cannot, each with the name of its drink."""
        return [
            Problem("no-answer", f"{drink.name}: {each.message}", "")
            for drink, error in self.failed
            for each in error.problems()
        ]

    def unknown(self, figure: Figure) -> int:
        """How many of the drinks have it unknown or, of sugar to acid, not defined."""
        return sum([figure_of(one, figure) is None for one in self.drinks])

    def in_part(self, figure: Figure) -> int:
        """Of how many of the drinks it is a lower bound."""
        return sum([is_lower(one, figure) and figure_of(one, figure) is not None for one in self.drinks])


def menu_totals(bar: Bar, drinks: Iterable[Drink]) -> MenuTotals:
    """What each of some drinks holds, every one worked out once, as `totals` does it."""
    found: list[Totals] = []
    failed: list[tuple[Drink, BalancerError]] = []
    for drink in drinks:
        try:
            found.append(totals(bar, drink))
        except BalancerError as error:
            failed.append((drink, error))
    return MenuTotals(tuple(found), tuple(failed))


def figure_of(result: Totals, figure: Figure) -> float | None:
    """One figure of the drink in the glass, as far as it is known; None where nothing of it is.

    Of a lower bound it is the known part: see `is_lower`.
    """
    if figure == "volume":
        return result.served.volume_ml if result.served else None
    if figure == "ratio":
        return None if result.is_least("sugar") and not result.sugar_g else result.sugar_to_acid
    if figure == "abv":
        value = result.served.abv_percent if result.served else None
    else:
        value = {"sugar": result.sugar_g, "acid": result.acid_g, "alcohol": result.standard_drinks}[figure]
    return None if value is not None and not value and is_lower(result, figure) else value


def is_lower(result: Totals, figure: Figure) -> bool:
    """Whether it is a lower bound, because a pour that matters does not say how much of it it holds."""
    if figure in ("sugar", "ratio"):
        return result.is_least("sugar")
    return result.is_least("acid") if figure == "acid" else figure != "volume" and result.is_least("abv")


def _value(pair: Sequence[float | Totals]) -> float:
    return pair[0]  # type: ignore[return-value]
