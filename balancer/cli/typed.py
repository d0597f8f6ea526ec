"""Words of a command line that belong together although blanks stand between them: --mass 1.4 kg, --made 21 Nov.

A shell hands them over one by one. Only what can be nothing else is joined: a number with its unit, a date.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Final

from balancer.errors import QuantityError
from balancer.models.slips import is_unit
from balancer.units import find_unit, is_number, parse_number

_AMOUNTS: Final = (
    "--mass",
    "-m",
    "--volume",
    "-v",
    "--container",
    "--temperature",
    "-t",
    "--acid",
    "--step",
    "--bulk-density",
)
"""Options whose number always has a unit, so that any unit behind it is theirs."""

_STRENGTHS: Final = (
    "--brix", "-b", "--standard", "--target", "--zero", "--division", "--accuracy", "--uncertainty", "--strength",
    "--scale", "--with", "--in", "-i",
)  # fmt: skip
"""Options that may go without a unit: behind them only °Bx is a unit, and a "c" may be the beginning of a drink."""

_SHARES: Final = ("--tolerance", "--abv", "--headspace", "--sugar")
_DATES: Final = ("--date", "-d", "--made", "--discard")
_SUMS: Final = ("--dilute",)
_POURS: Final = ("--have", "--add")
"""Options whose value is an amount of something."""

# Patterns are kept as text: they are compiled when first needed, which most command lines never do.
_MONTH: Final = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
_WEEKDAY: Final = r"(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?"
_DATE: Final = (
    rf"(?i:(?:{_WEEKDAY} )?"
    rf"(?:[0-9]{{1,2}}(?:st|nd|rd|th|\.)?(?: of)? {_MONTH},?|{_MONTH} [0-9]{{1,2}}(?:st|nd|rd|th)?,?)"
    rf"(?: [0-9]{{4}})?|(?:next|last|this|coming|on) {_WEEKDAY}|last night|tomorrow night)"
)
_SUM: Final = r"(?i:[0-9.,\s]+[a-z]*(?:\s*\+\s*[0-9.,\s]+[a-z]*)?)"
_READ_IN: Final = ("nd", "n", "ri", "sg")
_LONGEST: Final = 5


def joined(words: Sequence[str]) -> list[str]:
    """A command line with the words of one amount or one date in one.

    >>> joined(["correct", "--mass", "1.4", "kg", "--brix", "54"])
    ['correct', '--mass', '1.4 kg', '--brix', '54']
    """
    found: list[str] = []
    place = 0
    while place < len(words):
        word = words[place]
        option, equals, value = word.partition("=")
        if word == "--":
            return [*found, *words[place:]]
        if equals and option.startswith("-"):
            taken = _length(option, [value, *words[place + 1 :]])
            found.append(f"{option}={' '.join([value, *words[place + 1 : place + taken]])}")
        elif word.startswith("-") and not is_number(word):
            found.append(word)
            taken = 1
            if place + 1 < len(words):
                is_named = sum(not each.startswith("-") for each in found) > 1  # the command and its syrup
                several = (_named_length if word in _POURS and is_named else _length)(word, words[place + 1 :])
                if several > 1:
                    found.append(" ".join(words[place + 1 : place + 1 + several]))
                    taken += several
        else:
            taken = _length("", words[place:])
            found.append(" ".join(words[place : place + taken]))
        place += taken
    return found


def _length(option: str, words: Sequence[str]) -> int:
    """How many of some words, of which the first belongs to an option, are its value. "" is no option."""
    most = next(
        (n for n, word in enumerate(words[:_LONGEST]) if n and word.startswith("--")), min(len(words), _LONGEST)
    )
    for count in range(most, 1, -1):
        if _is_one(option, words[:count]):
            return count
    return 1


def _named_length(option: str, words: Sequence[str]) -> int:
    """How many of some words are an amount of something: all of them up to the next option."""
    del option
    return next((n for n, word in enumerate(words) if word.startswith("-")), len(words)) if is_number(words[0]) else 1


def _is_one(option: str, words: Sequence[str]) -> bool:
    """Whether some words are one value of an option."""
    text = " ".join(words)
    if option in _DATES:
        return re.fullmatch(_DATE, text) is not None
    if option in _SUMS:
        return re.fullmatch(_SUM, text) is not None
    *number, unit = words
    if option in _AMOUNTS:
        return is_unit(unit) and is_number(" ".join(number))
    if option in _SHARES:
        return unit == "%" and len(number) == 1
    row = find_unit(unit)
    if row is not None and row.kind == "strength":
        return len(number) == 1 and (option in _STRENGTHS or (not option and is_number(number[0])))
    scale, value = (words[0], unit) if words[0].casefold() in _READ_IN else (unit, words[0])
    return not option and len(words) == 2 and scale.casefold() in _READ_IN and _is_index(value)


def _is_index(text: str) -> bool:
    """Whether a number is a refractive index or a specific gravity rather than °Bx."""
    try:
        return 1.0 <= parse_number(text) < 2.0
    except QuantityError:
        return False
