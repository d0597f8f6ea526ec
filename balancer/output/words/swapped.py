"""What a swap says besides its pours, as texts with their labels: one wording for the screen and the page."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.swap import Swap
from balancer.models.house import House
from balancer.output.words.known import known_change
from balancer.output.words.numbers import brix, trim
from balancer.output.words.swap import QUANTITY_WORDS, abv_change, not_a_swap, reason_text, unknown_alcohol


def warnings_of(result: Swap, house: House) -> list[str]:
    """What stands before the answer: that it is no swap, then what a guest must be told."""
    verdict = not_a_swap(result.reasons, result.into, result.drink, house)
    return [*([verdict] if verdict else []), *allergen_warnings(result)]


def allergen_warnings(result: Swap) -> list[str]:
    """Allergens that it brings, and that nobody knows which."""
    found = [f"allergen gained: {', '.join(result.gained)}"] if result.gained else []
    return found + ([unknown_allergens(result)] if result.unknown else [])


def unknown_allergens(result: Swap) -> str:
    """That nobody knows the allergens of what comes."""
    return f"allergens of {result.into.name} unknown: ask before it is served"


def reasons_of(result: Swap, house: House) -> list[str]:
    """Why it is not a swap, the gravest first."""
    return [reason_text(reason, result.into, result.drink, house) for reason in result.reasons]


def cautions_of(result: Swap) -> list[str]:
    """What is to be said of what comes."""
    return [f"{result.into.name}: {text}" for text in result.cautions]


def coming_rows(result: Swap) -> list[tuple[str, str]]:
    """How strong what comes is, where the first line does not say it."""
    if result.strength is None:
        if result.is_of_a_sour:
            return [("new sour", f"{result.into.name}, {trim(result.into.acid_g_per_kg, 0)} g acid per kg")]
        return [("new sweetener", f"{result.into.name}, {trim(result.into.sugar_g_per_kg, 0)} g sugar per kg")]
    if result.into.id == result.at.made_up:
        return [("new syrup", f"{brix(result.strength.brix)}, made up: no file has it")]
    if result.at.is_tonight:
        return []
    whose = "as this drink is written for" if result.into.id in result.drink.written_for else "its standard"
    return [("new syrup", f"{brix(result.strength.brix)}, {whose}")]


def moves_rows(result: Swap) -> list[tuple[str, str]]:
    """What changes in the glass and is not said as what a guest may notice."""
    change, tasted = result.moved, result.taste.says
    said = [] if tasted("sugar") else [known_change("sugar", change.sugar_percent, change, says_none=False)]
    said += [] if tasted("acid") else [known_change("acid", change.acid_percent, change, says_none=False)]
    if change.abv_points is not None and not tasted("abv"):
        said.append(abv_change(change.abv_points, says_none=False))
    if result.brings_acid and not tasted("acid"):
        said.append(acid_brought(result))
    alcohol = unknown_alcohol(result)
    rows = [("moves", ", ".join(filter(None, said)) or "nothing else"), ("ABV", alcohol)]
    return [(label, text) for label, text in rows if text]


def acid_brought(result: Swap) -> str:
    """The acid of a drink that had none."""
    grams = trim(result.new.acid_g, 1)
    return f"acid {'under 0.1' if grams == '0' else grams} g in a drink that had none"


def one_for_one_text(result: Swap) -> str:
    """The strength at which the new syrup pours one for one; empty where that is no offer."""
    strength = result.make_at_brix
    return "" if strength is None else f"make it at {brix(strength)} and it pours one for one"


def cannot_hold(result: Swap) -> str:
    """That not all of what is held can be."""
    return f"cannot hold {held_text(result.held)} at once"


def held_text(held: Sequence[Held]) -> str:
    """What is held, in a row."""
    *others, last = [QUANTITY_WORDS[quantity] for quantity in held]
    return f"{', '.join(others)} and {last}" if others else last
