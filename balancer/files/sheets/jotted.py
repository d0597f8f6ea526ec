"""What people jot down around an amount and a name: "2d", "top soda", "(fresh)", "gin: 60 ml", "absinthe rinse"."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from balancer.errors import QuantityError
from balancer.models.pour import RINSE
from balancer.units import find_unit, split_pour

# What is said of a thing and does not make another thing of it (common practice): "navy strength" is not among them.
_SAID: Final = frozenset({
    "fresh", "freshly", "squeezed", "pressed", "juiced", "strained", "fine", "double", "chilled", "cold", "homemade",
    "house", "home", "made", "hand", "daily", "today", "optional",
})  # fmt: skip
_BRACKETS: Final = re.compile(r"\s*(?:\((?P<round>[^()]*)\)|\[(?P<square>[^\[\]]*)\])\s*$")
_BEHIND_COMMA: Final = re.compile(r"(?P<name>.*\S)\s*,\s*(?P<said>[^,]+)$")
_IN_FRONT: Final = re.compile(r"(?:fresh(?:ly)?(?:[ -](?:squeezed|pressed|juiced))?|chilled)\s+(?=\S)", re.IGNORECASE)
_TOP_WORDS: Final = r"(?:top(?:ped|s)?(?:[ -](?:up|off))?|fill(?: up)?|lengthen|charge)"
_TOP_ALONE: Final = re.compile(rf"(?:to )?{_TOP_WORDS}", re.IGNORECASE)
_TOP_FRONT: Final = re.compile(rf"{_TOP_WORDS}(?:\s*[:–-]\s*|\s+)(?:with\s+|of\s+)?(?P<rest>\S.*)", re.IGNORECASE)
_TOP_BEHIND: Final = re.compile(
    r"(?P<rest>.*\S)(?:(?:\s*[,:–-]\s*|\s+)(?:(?:to|on)[ -](?:top|fill)|top[ -]up)|\s*[,:–-]\s*top)", re.IGNORECASE
)
_RINSE_BEHIND: Final = re.compile(rf"(?P<rest>[^\W\d].*\S)\s*[,–-]?\s+{RINSE}", re.IGNORECASE)
_NUMBER: Final = r"(?:[0-9][0-9.,]*(?:\s?[0-9]?/[0-9]+)?\s?[¼½¾⅓⅔⅛⅜⅝⅞]?|[.,][0-9]+|[¼½¾⅓⅔⅛⅜⅝⅞])"
_BEHIND: Final = re.compile(
    rf"(?P<name>[^\W\d][^0-9¼½¾⅓⅔⅛⅜⅝⅞]*?)\s*(?P<sign>[:,–-]|\s)\s*(?P<amount>{_NUMBER}\s*[^\W\d]*\.?)", re.IGNORECASE
)
_SHORT_UNITS: Final = {"d": "dash", "ds": "dash", "dsh": "dash", "dsh.": "dash", "bs": "barspoon", "drp": "drop"}
"""Abbreviations of sheets that are not units elsewhere: in a file, 2 d are two days."""


class Jotted(NamedTuple):
    """A text without what was jotted around it, and whether that said that it tops the drink."""

    text: str
    is_top: bool = False


def short_unit(word: str) -> str:
    """A unit as the table has it, where a sheet abbreviates it; any other word as it is.

    >>> short_unit("d"), short_unit("oz")
    ('dash', 'oz')
    """
    return _SHORT_UNITS.get(word.casefold().rstrip("."), word)


def plain_name(name: str) -> str:
    """A name without what only says that it is fresh, chilled or made here; never without its last word.

    >>> plain_name("Lime juice (fresh)"), plain_name("freshly squeezed lime juice"), plain_name("gin (navy strength)")
    ('Lime juice', 'lime juice', 'gin (navy strength)')
    """
    text = name
    while True:
        before = text
        found = _BRACKETS.search(text)
        if found and _is_said(found["round"] or found["square"] or ""):
            text = text[: found.start()].rstrip(" ,")
        found = _BEHIND_COMMA.fullmatch(text)
        if found and _is_said(found["said"]):
            text = found["name"]
        text = _IN_FRONT.sub("", text, count=1) if _IN_FRONT.match(text) else text
        if not text:
            return name
        if text == before:
            return text


def jotted_name(name: str) -> Jotted:
    """A name without "(top)" or "to top".

    >>> jotted_name("soda water (to top)"), jotted_name("top shelf")
    (Jotted(text='soda water', is_top=True), Jotted(text='top shelf', is_top=False))
    """
    found = _BRACKETS.search(name)
    if found and found.start() and _TOP_ALONE.fullmatch((found["round"] or found["square"] or "").strip()):
        return Jotted(name[: found.start()].rstrip(), is_top=True)
    found = _TOP_BEHIND.fullmatch(name)
    return Jotted(found["rest"].rstrip(" ,:–-"), is_top=True) if found else Jotted(name)


def jotted_amount(text: str) -> Jotted:
    """The cell of an amount without what is jotted around it; a bare "top" leaves no amount.

    >>> jotted_amount("22.5 ml (fresh)"), jotted_amount("top up"), jotted_amount("top 90 ml")
    (Jotted(text='22.5 ml', is_top=False), Jotted(text='', is_top=True), Jotted(text='90 ml', is_top=True))
    """
    if _TOP_ALONE.fullmatch(text):
        return Jotted("", is_top=True)
    front = _TOP_FRONT.fullmatch(text)
    named = Jotted(front["rest"], is_top=True) if front else jotted_name(text)
    words = plain_name(named.text).split()
    while len(words) > 1 and words[-1].casefold().strip(",()") in _SAID:
        del words[-1]
    return Jotted(" ".join(words), named.is_top)


def jotted_pour(text: str) -> Jotted:
    """A whole pour in the order AMOUNT UNIT NAME; only a name where it tops the drink and says no amount.

    >>> jotted_pour("Top with 90 ml soda"), jotted_pour("top soda")
    (Jotted(text='90 ml soda', is_top=True), Jotted(text='soda', is_top=True))
    >>> jotted_pour("gin: 60 ml").text, jotted_pour("60 ml gin").text, jotted_pour("absinthe rinse").text
    ('60 ml gin', '60 ml gin', 'rinse absinthe')
    """
    front = _TOP_FRONT.fullmatch(text)
    if front and front["rest"].casefold().split()[-1] == "ice":  # a glass is filled with it, and nobody pours it
        return Jotted(text)
    named = Jotted(front["rest"], is_top=True) if front else jotted_name(text)
    if found := _RINSE_BEHIND.fullmatch(named.text):
        return Jotted(f"{RINSE} {found['rest']}", named.is_top)
    found = _BEHIND.fullmatch(named.text)
    if found and (found["sign"] in ":–-" or _unit_of(found["amount"])):
        return Jotted(f"{found['amount']} {found['name']}", named.is_top)
    return named


def is_amount(text: str) -> bool:
    """Whether a cell says an amount and nothing else: a number, with a unit or without, "top" or "rinse".

    >>> [is_amount(text) for text in ("60", "1½ oz", "2d", "top", "gin", "60 ml gin", "")]
    [True, True, True, True, False, False, False]
    """
    plain = jotted_amount(" ".join(text.split()))
    if plain.is_top and not plain.text:
        return True
    if plain.text.casefold() == RINSE:
        return True
    try:
        _, unit, rest = split_pour(plain.text)
    except QuantityError:
        return False
    word = short_unit(unit.strip())
    return not rest.strip() and (not word or find_unit(word) is not None)


def has_unit(text: str) -> bool:
    """Whether an amount says its unit."""
    return bool(_unit_of(jotted_amount(" ".join(text.split())).text))


def _unit_of(amount: str) -> str:
    """The pouring unit that an amount ends with; nothing where it has none."""
    try:
        word = short_unit(split_pour(amount)[1].strip())
    except QuantityError:
        return ""
    unit = find_unit(word) if word else None
    return word if unit is not None and unit.kind in ("volume", "mass") else ""


def is_only_said(text: str) -> bool:
    """Whether a text says only how a thing is: "fresh", "double strained"."""
    return _is_said(text)


def _is_said(text: str) -> bool:
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return bool(words) and all(word in _SAID for word in words)
