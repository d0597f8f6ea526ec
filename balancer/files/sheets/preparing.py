"""What the cell of a method says: the method itself, and beside it the steps and the garnish that got into it."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from balancer.models.methods import method_of

_GARNISH: Final = re.compile(
    r"(?:^|(?<=[\s.;,(]))(?:and\s+)?garnish(?:ed)?(?:\s*[:–-]\s*|\s+with\s+|\s+)(?:an?\s+)?(?P<said>[^.;\n]+)",
    re.IGNORECASE,
)
_WORD: Final = re.compile(r"[^\W_0-9]+")
_JOINING: Final = frozenset(["and", "then", "with", "on", "over", "in", "the", "a", "an", "to", "into"])
_NOT: Final = frozenset(["no", "not", "without", "never", "don", "nor"])
"""With these a method may mean its contrary: "shake without ice" adds no water."""


class Prepared(NamedTuple):
    """method in the sheet's own words; steps is the whole text where the method is only a part of it."""

    method: str
    steps: str | None = None
    garnish: str | None = None


def prepared(text: str, *, has_garnish: bool) -> Prepared:
    """The method that a text says, if it says just one; else the text itself, in its own words.

    has_garnish  whether the garnish stands elsewhere, so that it is not taken out of the text

    >>> prepared("Shake, strain. Garnish: lime wheel", has_garnish=False)
    Prepared(method='Shake, strain', steps=None, garnish='lime wheel')
    >>> prepared("Stir over ice and strain into a chilled coupe", has_garnish=False).method
    'Stir over ice and strain'
    >>> prepared("smoke under a cloche", has_garnish=False)
    Prepared(method='smoke under a cloche', steps=None, garnish=None)
    """
    if method_of(text) is not None:
        return Prepared(text)
    found = None if has_garnish else _GARNISH.search(text)
    garnish = found["said"].strip(" ,") if found else None
    rest = _tidied(text[: found.start()] + " " + text[found.end() :]) if found else text
    if not rest:
        return Prepared(text)
    if method_of(rest) is not None:
        return Prepared(rest, garnish=garnish)
    method = _first_method(rest)
    return Prepared(rest, garnish=garnish) if method is None else Prepared(method, rest, garnish)


def _first_method(text: str) -> str | None:
    """The longest beginning that means one method, where nothing behind it means another or takes it back."""
    words = list(_WORD.finditer(text))
    if {word[0].casefold() for word in words} & _NOT:
        return None
    for last in range(len(words), 0, -1):
        beginning = text[: words[last - 1].end()]
        method = method_of(beginning)
        if method is None:
            continue
        others = {method_of(word[0]) for word in words[last:]} - {None, method}
        if others and not (method == "built" and others == {"stirred"}):
            return None
        while words[last - 1][0].casefold() in _JOINING:
            last -= 1  # noqa: PLW2901 - the method ends before what only joins
        return text[: words[last - 1].end()]
    return None


def _tidied(text: str) -> str:
    return " ".join(text.split()).strip(" .,;–-")
