"""`edit` on the screen."""

from __future__ import annotations

from collections.abc import Iterable

from balancer.engine.swaps.edited import PourEdited, StandardEdited
from balancer.errors import Problem
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.pour import RINSE
from balancer.output.words.amounts import amount_number, unit_text
from balancer.output.words.edit import FileChange
from balancer.output.words.known import known_change
from balancer.output.words.numbers import MINUS, brix, count, percent, some, trim
from balancer.output.words.page import page, wrap
from balancer.units import Quantity, format_quantity

_NAMED = 4


def pour_edit_text(
    lead: str, edited: PourEdited, change: FileChange, house: House, last: str, doubted: Iterable[Problem] = ()
) -> str:
    """The answer of `set` for a pour. lead says what was done, last what to do, doubted what `check` will say of it."""
    old = "a rinse" if edited.pour.amount.unit == RINSE else format_quantity(edited.pour.amount, glyphs=False)
    first = f"{lead}{edited.drink.name}: {_poured(edited.amount, edited.name)}, not {old}"
    rows = [f"heed: check will doubt it: {doubt.message} {doubt.remedy}" for doubt in doubted]
    if edited.pour.fixed:
        rows.append("heed: this pour is fixed; rescale and swap would not touch it")
    if edited.drink.weighed and edited.moves:
        rows.append("heed: it was weighed with the old pour; weigh one again before and after the ice")
    if edited.nearest:
        near = " or ".join(amount_number(amount, house) for amount in edited.nearest)
        rows.append(f"heed: the jigger does not pour that; it pours {near} {unit_text('ml', house)}")
    kept = [key for key, value in (("version", edited.drink.version), ("date", edited.drink.date)) if value]
    stay = f"{' and '.join(kept)} in the file stay{'s' if len(kept) == 1 else ''} as written" if kept else ""
    old_card = "its printed card is old now: balancer cards --changed prints it"
    return _text(first, change, _moved(edited), rows, filter(None, (last, old_card, stay)))


def standard_edit_text(lead: str, edited: StandardEdited, change: FileChange, last: str) -> str:
    """The answer of `set` for a standard."""
    first = f"{lead}{edited.syrup.name}: standard {brix(edited.new_brix)}, not {trim(edited.old_brix, 2)}"
    if not edited.drinks:
        return _text(first, change, "no drink pours it", [], filter(None, (last,)))
    names = [drink.name for drink, _ in edited.drinks]
    one = len(names) == 1
    meaning = (
        f"{count(len(names), 'drinks')} {'is' if one else 'are'} written for it, and their pours are NOT changed: "
    )
    meaning = meaning.replace("their pours are", "its pour is") if one else meaning
    meaning += f"{some(names, _NAMED)}"
    span, rows = edited.sugar_percents, []
    if span:
        low, high = percent(span.low), percent(span.high)
        to = f" to {high}" if low != high else ""
        rows.append(f"the sugar by {'its' if one else 'their'} spec: {low}{to}")
    old_prints = "what is printed for it is old now: balancer cards --changed prints the cards"
    return _text(
        first,
        change,
        meaning,
        rows,
        filter(None, (last, old_prints, "tonight and rescale count from the new standard")),
    )


def same_pour_text(drink: Drink, name: str, amount: Quantity) -> str:
    """What `set` says when a pour is already what it should be."""
    return page(
        f"nothing to change: {drink.name} pours {_poured(amount, name)} already", [], "balancer totals shows it"
    )


def same_standard_text(name: str, brix_now: float) -> str:
    """What `set` says when a standard is already what it should be."""
    return page(f"nothing to change: the standard of {name} is {brix(brix_now)} already", [], "balancer check")


def _text(first: str, change: FileChange, meaning: str, rows: list[str], more: Iterable[str]) -> str:
    return "\n".join([*wrap(first, 4), *change.shown(), page(meaning, rows, "; ".join(more))])


def _poured(amount: Quantity, name: str) -> str:
    return f"a rinse of {name}" if amount.unit == RINSE else f"{format_quantity(amount, glyphs=False)} {name}"


def _moved(edited: PourEdited) -> str:
    """One line on what the change does in the glass."""
    moved = edited.moved
    if moved is None:
        return "what it changes in the glass cannot be worked out"
    parts = known_change("sugar", moved.sugar_percent, moved), known_change("acid", moved.acid_percent, moved)
    said = [part.replace("sugar ", "sugar of the drink ", 1) for part in parts if part]
    if moved.abv_points is not None and moved.volume_percent is not None:
        points = trim(abs(moved.abv_points), 1)
        sign = "" if points == "0" else "+" if moved.abv_points > 0 else MINUS
        said += [f"ABV {sign}{points} % vol", f"glass {percent(moved.volume_percent)}"]
    elif moved.mix_volume_percent is not None:
        said.append(f"before ice {percent(moved.mix_volume_percent)}")
    return ", ".join(said)
