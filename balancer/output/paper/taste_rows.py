"""What to taste first, row by row, in the language of the page; in English as the screen says it."""

from __future__ import annotations

from typing import Final

from balancer.engine.swaps.taste import Tasted, Tasting
from balancer.output.paper.language import Words
from balancer.output.words.taste import change_text, ends_of

_EXPECTED: Final = {
    "likely noticed by most guests": "most-guests",
    "likely noticed by a trained taster": "trained",
    "may be noticed side by side": "side-by-side",
    "seen and felt": "seen-felt",
    "seen in the glass": "seen",
    "another flavour": "",
}
"""What the engine expects of a change, as the language file has it; nothing beside what says itself."""


def taste_rows(tasting: Tasting, words: Words) -> list[tuple[str, str]]:
    """What a guest may notice, the first to taste first: what it is, and what to expect; last what cannot be told."""
    found = [(_item(item, words), _expected(item, words)) for item in tasting.first if item.quantity != "flavour"]
    moves = words.row(_subject(item, words) for item in tasting.first if item.quantity == "flavour")
    if moves:
        found.append((words("taste.flavours", moves=moves), ""))
    if tasting.dilution_unknown:
        return [*found, (words("taste.dilution-unknown"), "")]
    untold = [words(f"taste.content-{what}") for what in tasting.untold]
    if untold:
        found.append((words("taste.untold", what=words.row(untold)), ""))
    return found or [(words("taste.nothing"), "")]


def _expected(item: Tasted, words: Words) -> str:
    key = _EXPECTED.get(item.words, "")
    return words(f"taste.{key}") if key else ""


def _item(item: Tasted, words: Words) -> str:
    if item.quantity == "texture":
        return words("taste.texture", subject=_subject(item, words))
    reasons = [text for text in (_subject(item, words), _sources(item, words), _sour(item, words)) if text]
    figure = _figure(item, words)
    return f"{figure} ({words.row(reasons)})" if reasons else figure


def _figure(item: Tasted, words: Words) -> str:
    name = words(f"taste.{item.quantity}")
    if item.is_range:
        return name
    change = words.number(change_text(item))
    in_grams = item.unit == "g/100 ml"
    figure = words("taste.per-100-ml", name=name, grams=change) if in_grams else f"{name} {change}"
    return words("taste.none-before", figure=figure) if item.was_none else figure


def _sources(item: Tasted, words: Words) -> str:
    if not item.is_range:
        return ""
    low, high = map(words.number, ends_of(item))
    return words("taste.disagree" if item.disagree else "taste.sources", low=low, high=high)


def _sour(item: Tasted, words: Words) -> str:
    return words("taste.no-sour") if item.sour_stays else ""


def _subject(item: Tasted, words: Words) -> str:
    """What is behind it, and what happens to that where it does not go without saying."""
    if item.quantity == "volume":
        return ""
    if item.subject is None:
        return words("taste.smaller" if (item.change or 0.0) > 0.0 else "taste.larger")
    name = item.subject.name
    if item.quantity in ("texture", "flavour"):
        return words(f"taste.{item.why}", name=name)
    if item.why == "goes":
        return "" if item.sour_stays else words("taste.goes", name=name)
    return name if item.why == "comes" else words(f"taste.{item.why}", name=name)
