"""Sums over what is known: with ≥ where something is unknown, which is named, and never shown as zero."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from balancer.engine.drink.liquid import Content
from balancer.engine.drink.totals import Unknown
from balancer.engine.swaps.moved import Moved
from balancer.models.house import House
from balancer.output.words.numbers import percent, some
from balancer.output.words.page import house_volume

AT_LEAST: Final = "≥"
CONTENT_WORDS: Final[dict[Content, str]] = {"abv": "alcohol", "acid": "acid", "sugar": "sugar"}
_MOST_NAMED: Final = 4
_NONE: Final = percent(0.0)


def known_sum(number: str, unit: str, what: str, *, least: bool) -> str:
    """A sum as far as it is known, or that it is not known at all.

    >>> known_sum("13", "g sugar", "sugar", least=False), known_sum("13", "g sugar", "sugar", least=True)
    ('13 g sugar', '≥13 g sugar')
    >>> known_sum("0", "g sugar", "sugar", least=True)
    'sugar unknown'
    """
    if not least:
        return f"{number} {unit}"
    return f"{what} unknown" if number == "0" else f"{AT_LEAST}{number} {unit}"


def known_number(number: str, *, least: bool, unknown: str = "?") -> str:
    """The number of such a sum where its column says what it is, and a word where nothing of it is known.

    >>> known_number("13", least=False), known_number("13", least=True), known_number("0", least=True)
    ('13', '≥13', '?')
    """
    if not least:
        return number
    return unknown if number == "0" else f"{AT_LEAST}{number}"


def known_volume(ml: float, house: House, *, exact: bool) -> str:
    """A volume nobody measures out; about so much, where something that makes it out is unknown."""
    return f"{'' if exact else 'about '}{house_volume(ml, house)}"


def known_change(what: Content, value: float | None, moved: Moved, *, says_none: bool = True) -> str:
    """A change of all the sugar or acid of a drink, in %, as far as it is known; empty where there is none to tell.

    says_none  whether one that reads as 0 % is told too
    """
    if what in moved.unknown:
        return f"{CONTENT_WORDS[what]} unknown"
    if value is None:
        return ""
    said, at_most = percent(value), bool(what in moved.at_most and value)
    if said == _NONE and not (says_none or at_most):
        return ""
    return f"{CONTENT_WORDS[what]} {said}{' at most' if at_most else ''}"


def unknown_names(unknown: Iterable[Unknown], what: str, *, small: bool | None = None) -> list[str]:
    """Names of what the files do not say something of, each once; only those that are small, or that are not."""
    return list(dict.fromkeys(item.name for item in unknown if item.what == what and small in (None, item.small)))


def unknown_contents(unknown: Iterable[Unknown], contents: Iterable[Content] = ("abv", "acid", "sugar")) -> list[str]:
    """What is not known of sums, and of what: "alcohol of white rum"."""
    items = list(unknown)
    found = [(CONTENT_WORDS[what], unknown_names(items, what, small=False)) for what in contents]
    return [f"{word} of {some(names, _MOST_NAMED)}" for word, names in found if names]
