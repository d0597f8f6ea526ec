"""What moved between a drink as written and another one, a fact each: for a swap and an adjusted drink alike."""

from __future__ import annotations

from typing import Final

from balancer.engine.drink.liquid import Content
from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.swap import Swap
from balancer.models.house import House
from balancer.output.words.known import CONTENT_WORDS, known_change
from balancer.output.words.numbers import percent, points, trim
from balancer.output.words.swap import glass_words

_TRACE_G: Final = 1e-9


def moved_facts(result: Swap | AdjustedDrink, house: House) -> list[tuple[str, str, str]]:
    """Of each quantity its word, how much of it moved, and what to expect of that in the glass; "" where nobody knows.

    Sugar and acid in all; what is expected is judged per 100 ml.
    """
    expected = {
        item.quantity: f"{percent(item.change)} in 100 ml: {item.words}" if item.quantity != "abv" else item.words
        for item in result.noticed
    }
    labels: tuple[tuple[Content, str], ...] = (("sugar", "sugar"), ("acid", "acid"), ("abv", "ABV"))
    told = [(label, _content(what, result), expected.get(what, "")) for what, label in labels]
    facts = [fact for fact in told if fact[1]]
    if result.old.ethanol_g or result.new.ethanol_g or result.alcohol_added_g is None:
        facts.append((CONTENT_WORDS["abv"], alcohol_text(result.alcohol_added_g), ""))
    return [*facts, ("glass", glass_words(result.new, result.volume_change_ml, result.fill, house), "")]


def alcohol_text(added_g: float | None) -> str:
    """How much alcohol comes in or goes, in g.

    >>> alcohol_text(2.5), alcohol_text(-2.51), alcohol_text(0.0), alcohol_text(None)
    ('+2.5 g', '−2.5 g', '0 g', 'not known')
    """
    return "not known" if added_g is None else f"{points(added_g)} g"


def _content(what: Content, result: Swap | AdjustedDrink) -> str:
    """How much of one thing moved; empty of what there is none of before and after."""
    change = result.moved
    if what == "abv" and not (result.old.ethanol_g or result.new.ethanol_g or what in change.unknown):
        return ""
    if what == "abv":
        if change.abv_points is None:
            return "not known" if what in change.unknown or what in change.at_most else ""
        return f"{points(change.abv_points)} % vol"
    value = change.sugar_percent if what == "sugar" else change.acid_percent
    if what in change.unknown:
        return "not known"
    if value is None:
        grams = result.new.acid_g if what == "acid" else result.new.sugar_g
        said = trim(grams, 1)
        return f"{'under 0.1' if said == '0' else said} g, none before" if grams > _TRACE_G else ""
    return known_change(what, value, change).removeprefix(f"{CONTENT_WORDS[what]} ")
