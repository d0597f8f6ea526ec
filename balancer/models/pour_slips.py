"""What people write where one pour is wanted, and what to write instead: "top soda", "juice of half a lime"."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from balancer.errors import QuantityError
from balancer.models.slips import Slip
from balancer.units import find_unit, format_number, parse_pour

Called = Callable[[str], str]
"""What the house calls a thing, by whatever name was written; the name itself where it knows nothing like it."""

# Patterns are kept as text, and compiled when first needed.
_NUMBER: Final = r"[0-9][0-9.,]*(?:\s?[0-9]?/[0-9]+)?[¼½¾⅓⅔⅛⅜⅝⅞]?|[¼½¾⅓⅔⅛⅜⅝⅞]"
_WORDS: Final = {
    "half a": "1/2", "half an": "1/2", "half": "1/2", "a": "1", "an": "1", "one": "1", "two": "2", "three": "3",
    "four": "4", "five": "5", "six": "6", "couple of": "2", "a couple of": "2",
}  # fmt: skip
_COUNT: Final = rf"(?:{_NUMBER}|{'|'.join(sorted(_WORDS, key=len, reverse=True))})"
_ROUGHLY: Final = (
    r"(?:about|approx\.?|approximately|around|roughly|circa|ca\.?|nearly|scant|heavy|generous|up to|max\.?|~|≈)\s*"
    r"(?P<rest>[0-9¼½¾⅓⅔⅛⅜⅝⅞].*)"
)
_RANGE: Final = rf"(?P<low>{_NUMBER})\s*(?:-|–|to|or)\s*(?P<high>{_NUMBER})\s*(?P<rest>[a-z].*)"
_TOP: Final = (
    r"(?:top(?:ped)?(?: up)?|fill(?: up)?|lengthen|charge)\s+(?:with |of )?(?:the |some )?(?P<of>\D+)"
    r"|(?P<of2>\D+?),?\s+(?:to|on) (?:top|fill)"
)
_VAGUE: Final = (
    r"(?:(?:a|an|one|two|three|few|some|small|good|big)\s+)*(?P<word>splash|drizzle|glug|bit|touch|pinch|handful|squeeze|spritz|"
    r"spray|float|shot|jigger|measure|pony|slug|lug|knob|hint|swirl)(?:e?s)?\s+(?:of )?(?P<of>\D+)"
)
_JUICE: Final = rf"(?:the |fresh )*juice (?:of|from) (?:{_COUNT}\s+)*(?P<fruit>[^0-9]+)"
_IN_WORDS: Final = rf"(?P<count>{'|'.join(sorted(_WORDS, key=len, reverse=True))})\s+(?P<rest>\D.*)"
_BEHIND: Final = rf"(?P<of>[^0-9]*[^0-9\s:,–-])\s*[:,–-]?\s*(?P<amount>(?:{_NUMBER})\s*[a-z]+\.?)"
_NEXT: Final = rf"(?<=[a-z).])\s*(?:[,;+&/]|\band\b|\bplus\b|\s)\s*(?=(?:{_NUMBER})\s*[a-z]+\.?\s+[a-z])"
_LETTER_O: Final = r"o(?P<rest>[.,][0-9].*)"
_GRAMS: Final = ("pinch", "handful", "knob")
_MOST_COUNTED: Final = 6.0


def pour_slip(text: str, called: Called, like: str = "22.5 ml") -> Slip | None:
    """What is wrong with a text that is no amount, unit and name, where it is known what is meant.

    like  an amount for an example

    >>> pour_slip("juice of half a lime", lambda name: name).remedy
    'measure it, like 22.5 ml lime juice'
    >>> pour_slip("2-3 dashes bitters", lambda name: name).remedy
    'write one amount: 2 dashes bitters or 3 dashes bitters'
    """
    plain, shown = " ".join(text.casefold().split()), f'"{text.strip()}"'
    if found := inexact_slip(text):
        return found
    if match := re.fullmatch(_LETTER_O, plain):
        return Slip(f"{shown} begins with the letter o", f"write 0{match['rest']} with a zero")
    if match := re.fullmatch(_TOP, plain):
        of = called(_last(match["of"] or match["of2"]))
        told = f"write how much a glass takes: {{pour: 60 ml, of: {of}, top: true}}"
        return Slip(f"{shown} does not say how much", told)
    if match := re.fullmatch(_VAGUE, plain):
        small = "1 g" if match["word"] in _GRAMS else "10 ml"
        return Slip(f"a {match['word']} has no size here", f"write how much, like {small} {called(match['of'])}")
    if match := re.fullmatch(_JUICE, plain):
        return Slip(f"{shown} is no amount: fruit differs", f"measure it, like {like} {called(_juice(match['fruit']))}")
    if match := re.fullmatch(_IN_WORDS, plain):
        return _in_words(shown, _WORDS[match["count"]], match["rest"], called, like)
    if (match := re.fullmatch(_BEHIND, plain)) and find_unit(match["amount"].lstrip("0123456789.,/ ¼½¾⅓⅔⅛⅜⅝⅞")):
        return Slip(f"{shown} has the amount behind the name", f"write {match['amount']} {called(match['of'].strip())}")
    return _without_number(plain, shown, called, like)


def inexact_slip(text: str) -> Slip | None:
    """What is wrong with an amount that is not one amount, with a name behind it or without."""
    plain, shown = " ".join(text.casefold().split()), f'"{text.strip()}"'
    if match := re.fullmatch(_ROUGHLY, plain):
        return Slip(f"{shown} is not an exact amount", f"write {match['rest']}")
    if match := re.fullmatch(_RANGE, plain):
        both = " or ".join(f"{match[end]} {match['rest']}" for end in ("low", "high"))
        return Slip(f"{shown} is two amounts", f"write one amount: {both}")
    return None


def _without_number(plain: str, shown: str, called: Called, like: str) -> Slip | None:
    """A name alone, "dash bitters" or "lime wedge"."""
    if not plain or any(char.isdigit() for char in plain):
        return None
    word, _, name = plain.partition(" ")
    unit = find_unit(word)
    if unit is not None and name:
        return Slip(f"{shown} does not say how many", f"write 1 {word} {called(name.removeprefix('of '))}")
    return Slip(f"{shown} does not say how much", f"write it like {like} {called(plain)}")


def counted_slip(text: str, called: Called, like: str = "22.5 ml") -> Slip | None:
    """What is wrong with a number before a name, "1 lime" or "60 gin"; None where the text is something else."""
    try:
        amount, name = parse_pour(text)
    except QuantityError:
        return None
    whole = f"{amount.unit} {name}".strip()
    if not whole:
        return None
    number, of = format_number(amount.value), called(whole)
    if amount.value > _MOST_COUNTED:
        return Slip(f'"{text}" has no unit', f"write the unit, like {number} ml {of}")
    if of == whole or " " in whole:
        return Slip(f'"{text}" has no unit', f"write how much with its unit, like {like} {of}")
    return Slip(f'"{text}" is no amount: no two are alike', f"measure it, like {like} {of}")


def several_slip(text: str) -> Slip | None:
    """What is wrong with two pours in one, "60 ml gin, 22.5 ml lime juice"; None where a text is one pour.

    >>> several_slip("60 ml gin, 22.5 ml lime juice").remedy
    'write each on a line of its own: - 60 ml gin  - 22.5 ml lime juice'
    """
    plain = " ".join(text.split())
    parts = [part for part in re.split(_NEXT, plain.casefold()) if part]
    if len(parts) < 2 or not all(_is_pour(part) for part in parts):
        return None
    lines = "  ".join(f"- {part}" for part in parts)
    return Slip(f'"{plain}" is {len(parts)} pours', f"write each on a line of its own: {lines}")


def _is_pour(text: str) -> bool:
    try:
        amount, name = parse_pour(text)
    except QuantityError:
        return False
    unit = find_unit(amount.unit)
    return bool(name) and unit is not None and unit.kind in ("volume", "mass")


def _in_words(shown: str, number: str, rest: str, called: Called, like: str) -> Slip:
    """A number written as a word: "two dashes of bitters", "half a lime"."""
    try:
        amount, name = parse_pour(f"{number} {rest}")
    except QuantityError:
        amount, name = None, ""
    if amount is not None and name and find_unit(amount.unit):
        words = " ".join(rest.split()[: 1 if find_unit(rest.split(maxsplit=1)[0]) else 2])
        return Slip(f"{shown} has its number in words", f"write {number} {words} {called(name)}")
    return Slip(f"{shown} is no amount", f"measure it, like {like} {called(rest.removeprefix('of '))}")


def _last(name: str) -> str:
    return name.strip().rstrip(".")


def _juice(fruit: str) -> str:
    """What the juice of a fruit is called."""
    one = fruit.strip()
    one = one.removesuffix("s") if one.endswith("s") and not one.endswith("ss") else one
    return f"{one} juice"
