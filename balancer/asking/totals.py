"""What a drink holds, two side by side, or the menu as a table."""

from __future__ import annotations

from functools import partial
from typing import Final, cast, get_args

from balancer.asking import names
from balancer.asking.outcome import Outcome
from balancer.desk.desk import Desk
from balancer.engine.drink.menu_totals import MenuTotals, SortedBy, menu_totals
from balancer.engine.drink.totals import Totals, totals
from balancer.errors import Problem, ProblemsError, UsageError
from balancer.output.data.menu_totals import menu_totals_data
from balancer.output.data.totals import totals_data

_SPELT: Final = {"strength": "abv", "sugar:acid": "ratio", "sugar to acid": "ratio", "standard drinks": "alcohol"}


def totals_of(desk: Desk, drink: str) -> Outcome[Totals]:
    """One drink by its name. Raises UsageError for none of that name, ProblemsError for one that did not load."""
    result = totals(desk.bar, names.drink(desk.loaded, drink))
    return Outcome(result, partial(totals_data, result), about=(result.drink.id,))


def totals_of_menu(desk: Desk, by: SortedBy | None = None, *, reverse: bool = False) -> Outcome[MenuTotals]:
    """Every drink, in the order wanted. What of the menu has no totals is noticed at the desk.

    Raises ProblemsError when there is no drink.
    """
    if not desk.specs.drinks:
        told = desk.loaded.problems or [
            Problem("no-drinks", "there are no drinks", f"write the first one into {desk.folder}/drinks/")
        ]
        raise ProblemsError(told)
    result = menu_totals(desk.bar, desk.specs.drinks.values()).ordered(by, reverse=reverse)
    desk.noticed += result.problems()
    return Outcome(
        result,
        partial(menu_totals_data, result, by, reverse=reverse),
        about=tuple(one.drink.id for one in result.drinks),
        touching=desk.loaded.broken_of("drinks"),
    )


def sorted_by(desk: Desk, text: str | None) -> SortedBy | None:
    """What the menu is wanted by. Raises UsageError for another word."""
    if text is None:
        return None
    word = " ".join(text.casefold().split())
    word = _SPELT.get(word, word)
    if word not in get_args(SortedBy):
        told = f'{desk.calls("--sort")}: "{text}" is not one of the choices'
        raise UsageError("usage", told, f"choose one of {', '.join(get_args(SortedBy))}")
    return cast(SortedBy, word)
