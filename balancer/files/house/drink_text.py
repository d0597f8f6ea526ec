"""The entry of a drink with other pours: what it is to pour, and its text with that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from balancer.errors import CannotError
from balancer.files.house.entry_text import EntryText
from balancer.files.house.load import Loaded
from balancer.files.house.pour_text import (
    AGAIN,
    CHANGED,
    Poured,
    items_of,
    with_added,
    with_amount,
    with_other,
    without,
)
from balancer.files.house.strength_text import without_strengths
from balancer.models.changes import PourChange, pours_after
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour
from balancer.units import format_quantity, parse_pour


def settled(changes: Sequence[PourChange]) -> tuple[PourChange, ...]:
    """The changes with every amount as it reads when it is written: a third of an ounce is 1/3, whatever its float."""
    found = []
    for change in changes:
        amount = change.amount
        if amount is not None and not change.written and amount.unit != RINSE:
            amount = parse_pour(f"{format_quantity(amount, glyphs=False)} -")[0]
        found.append(change._replace(amount=amount))
    return tuple(found)


def wanted_pours(before: Loaded, drink: Drink, changes: Sequence[PourChange]) -> tuple[Pour, ...]:
    """The pours that the drink is to have. Raises CannotError for none, and for one thing poured twice."""
    pours = pours_after(drink, changes)
    if not pours:
        raise CannotError(
            "last-pour", f"{drink.name} would pour nothing", "add what it pours instead, or delete its file"
        )
    twice = next((of for of, times in Counter([pour.of for pour in pours]).items() if times > 1), None)
    if twice is not None:
        raise CannotError(
            "poured-twice",
            f"{drink.name} would pour {before.specs.name_of(twice)} twice",
            "change the pour that it has",
        )
    return pours


def with_pours(entry: EntryText, before: Loaded, drink: Drink, changes: Sequence[PourChange]) -> EntryText:
    """The entry with its pours changed one by one: those that stay first, then what comes, then what goes."""
    if len(items_of(entry)) != len(drink.pours):
        raise CannotError(CHANGED, f'"{entry.document.path}" was changed meanwhile', AGAIN)
    places = {id(pour): index for index, pour in enumerate(drink.pours)}
    gone = []
    for change in changes:
        if change.pour is None or change.amount is None:
            continue
        place = places[id(change.pour)]
        if change.of == change.pour.of:
            entry = with_amount(entry, place, change.amount, change.written)
        else:
            poured = Poured(change.amount, change.written, _name_of(before, change.of))
            entry = with_other(entry, place, poured)
    for change in changes:
        if change.pour is None and change.amount is not None:
            entry = with_added(entry, Poured(change.amount, change.written, _name_of(before, change.of)))
        elif change.pour is not None and change.amount is None:
            gone.append(places[id(change.pour)])
    for place in sorted(gone, reverse=True):
        entry = without(entry, place)
    poured_no_more = drink.written_for.keys() - wanted_strengths(drink, changes).keys()
    return without_strengths(entry, before.specs.liquid_names, sorted(poured_no_more))


def wanted_strengths(drink: Drink, changes: Sequence[PourChange]) -> dict[str, float]:
    """The strengths that the drink is then written for: those of the syrups that it still pours."""
    poured = {pour.of for pour in pours_after(drink, changes)}
    return {syrup: brix for syrup, brix in drink.written_for.items() if syrup in poured}


def _name_of(before: Loaded, of: str) -> str:
    """What the files call a thing. Raises CannotError for what an answer may add although the house has none: water."""
    known = before.specs.find_liquid(of)
    if known is None:
        told = f'the house has nothing called "{of}", so no drink can pour it'
        raise CannotError("unknown-name", told, f"add it to ingredients/, or: balancer start DIR --pantry {of}")
    return known.name
