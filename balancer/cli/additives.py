"""What a person means by something stirred into a batch: water, sugar, something of the house, or a strength."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Final

from balancer.cli import names
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.prep.correct import SUGAR, WATER, Additive, additive_of, plain
from balancer.errors import QuantityError, UsageError
from balancer.units import is_number, parse_quantity

_WORDS: Final = {"water": WATER, "sugar": SUGAR}
_LIKE_A_WORD: Final = 0.75


def additive_called(desk: Desk, text: str) -> Additive:
    """By its strength or by its name."""
    found = additive_by_strength(text)
    return additive_named(desk, text) if found is None else found


def additive_by_strength(text: str) -> Additive | None:
    """Water, sugar, or a strength; None for a name."""
    word = text.strip().casefold()
    if word in _WORDS:
        return _WORDS[word]
    try:
        if not is_number(text) and parse_quantity(text).kind != "strength":
            return None
    except QuantityError:
        return None
    return plain(values.zero_or_more(text, "--with", "strength", "°Bx", 100.0))


def additive_named(desk: Desk, text: str) -> Additive:
    """Something of the house. A syrup counts at the strength of its open batch, or at standard."""
    remedy = "use water, sugar, a name, or a strength like 12.8"
    near = get_close_matches(text.casefold(), _WORDS, n=1, cutoff=_LIKE_A_WORD)
    if near and not desk.specs.liquid_names.find(text):
        raise UsageError("unknown-name", f'--with: nothing is called "{text}"', f'did you mean "{near[0]}"?')
    return additive_of(desk.bar, names.liquid(desk, text, "--with", remedy=remedy), desk.in_use.strengths)
