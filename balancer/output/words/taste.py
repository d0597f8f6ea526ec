"""What to taste first, in words: the one wording of it for a swap, an adjusted drink and two drinks side by side."""

from __future__ import annotations

from collections.abc import Collection
from typing import Final

from balancer.engine.swaps.moved import Threshold
from balancer.engine.swaps.taste import Tasted, TasteQuantity, Tasting
from balancer.output.words.known import CONTENT_WORDS
from balancer.output.words.numbers import percent_or_times, points, trim
from balancer.output.words.sums import amount

LABEL: Final = "taste first"
_NOTICED: Final = "a guest is expected to notice"
_CAVEAT: Final = "a guest with one glass notices less; no sharp limits"
_NAMES: Final[dict[str, str]] = {
    "sugar": "sugar",
    "sweetness": "sweetness",
    "acid": "acid",
    "abv": "ABV",
    "volume": "volume",
}


def taste_text(tasting: Tasting) -> str:
    """What a guest may notice, the first to taste first, with what is behind it; what nobody can tell is said."""
    return "; ".join(filter(None, [", then ".join(taste_items(tasting)), taste_rest(tasting)]))


def taste_items(tasting: Tasting) -> list[str]:
    """What a guest may notice, the first to taste first, flavours apart."""
    return [_item(item) for item in tasting.first if item.quantity != "flavour"]


def taste_rest(tasting: Tasting) -> str:
    """What is to be said besides: the flavours, what nobody can tell, or that nothing is expected."""
    is_ranked = any(item.quantity != "flavour" for item in tasting.first)
    moves = ", ".join(_subject(item) for item in tasting.first if item.quantity == "flavour")
    flavour = f"flavour: {moves}" if moves else ""
    if tasting.untold:
        is_told = is_ranked or flavour or tasting.dilution_unknown
        rest = "" if is_told else f"else nothing {_NOTICED}"
        return "; ".join(filter(None, [flavour, _untold(tasting), rest]))
    if is_ranked:
        return flavour
    nothing = f"nothing {'else ' if tasting.is_rest else ''}{_NOTICED}"
    return f"{nothing} but the {flavour}" if flavour else nothing


def taste_figures(tasting: Tasting, *, without: Collection[TasteQuantity] = ()) -> list[str]:
    """The same in short, without flavours and what is behind it; the volume has its own words."""
    left_out = {"flavour", "volume", *without}
    items = [item for item in tasting.first if item.quantity not in left_out]
    said = [_short(item) for item in items]
    last = max((place for place, item in enumerate(items) if item.unit == "%"), default=None)
    return [f"{text} per 100 ml" if place == last else text for place, text in enumerate(said)]


def _short(item: Tasted) -> str:
    if item.quantity == "texture":
        return _subject(item)
    if item.is_range:
        return f"{_NAMES[item.quantity]} {_limits(item)}"
    return _figure(item)


def published_text(tasting: Tasting) -> str:
    """What tasters noticed of what may be noticed, and what such figures are worth."""
    shown = [_published(item.quantity, item.threshold) for item in tasting.first if item.threshold is not None]
    if not shown:
        return "judged per 100 ml, by what tasters with two samples side by side noticed; no sharp limits"
    return f"per 100 ml; tasters with two samples side by side noticed {', '.join(shown)}; {_CAVEAT}"


def _in_100_ml(value: float, item: Tasted) -> str:
    return f"{trim(value, 5)} g" if item.unit == "g/100 ml" else f"{amount(value)} {item.unit}"


def _published(quantity: TasteQuantity, found: Threshold) -> str:
    digits = {"%": 0, "% vol": 1}.get(found.unit, 4)
    return f"{_NAMES[quantity]} {trim(found.low, digits)}–{trim(found.high, digits)} {found.unit}"


def taste_steps(tasting: Tasting) -> list[str]:
    """The working of the ranking: what changes in 100 ml, over the middle of what tasters noticed."""
    rows = [
        f"  {_NAMES[item.quantity]} {_in_100_ml(item.size, item)} ÷ {_in_100_ml(item.threshold.middle, item)} = "
        f"{trim(item.times, 1)} times: {item.words}"
        for item in tasting.first
        if item.threshold is not None and item.times is not None
    ]
    return ["", "taste first: what changes in 100 ml ÷ the middle of what tasters noticed", *rows] if rows else []


def _item(item: Tasted) -> str:
    if item.quantity == "texture":
        return f"texture ({_subject(item)})"
    reasons = [text for text in (_subject(item), _sources(item), _sour(item)) if text]
    return f"{_figure(item)} ({', '.join(reasons)})" if reasons else _figure(item)


def _figure(item: Tasted) -> str:
    name = _NAMES[item.quantity]
    if item.is_range:
        return name
    figure = f"{name} {change_text(item)}{' g per 100 ml' if item.unit == 'g/100 ml' else ''}"
    return f"{figure}, none before" if item.was_none else figure


def change_text(item: Tasted) -> str:
    """How much it changes, in % or % vol; of what the drink had none of the grams in 100 ml, without their unit."""
    change = item.change or 0.0
    if item.unit == "%":
        return percent_or_times(change)
    return f"{points(change)} % vol" if item.unit == "% vol" else trim(change, 2)


def _sources(item: Tasted) -> str:
    if not item.is_range:
        return ""
    return f"sources disagree: {_limits(item)}" if item.disagree else f"sources {_limits(item)}"


def _limits(item: Tasted) -> str:
    return " to ".join(ends_of(item))


def ends_of(item: Tasted) -> tuple[str, str]:
    """The ends of a range; where both are percents only the second says so."""
    low, high = percent_or_times(item.low or 0.0), percent_or_times(item.high or 0.0)
    return low.removesuffix(" %") if high.endswith("%") else low, high


def _sour(item: Tasted) -> str:
    return "no sour pour moved" if item.sour_stays else ""


def _subject(item: Tasted) -> str:
    """What is behind it: the liquid, and what happens to it where that does not go without saying."""
    if item.quantity == "volume":
        return ""
    if item.subject is None:
        return f"in a {'smaller' if (item.change or 0.0) > 0.0 else 'larger'} drink"
    name = item.subject.name
    if item.quantity in ("texture", "flavour"):
        return f"{name} {item.why}"
    if item.why == "goes":
        return "" if item.sour_stays else f"{name} goes"
    return name if item.why == "comes" else f"{item.why} {name}"


def _untold(tasting: Tasting) -> str:
    if tasting.dilution_unknown:
        return "what is in the glass cannot be told: its dilution is unknown"
    names = [CONTENT_WORDS[what] for what in tasting.untold]
    return f"{' and '.join(names)} cannot be told"
