"""Which of a house's glasses the word of a spreadsheet means, and which it may mean."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from typing import Final

from balancer.models.names import glass_key

# How a glass is, and not which (common practice).
_SAID: Final = frozenset({
    "chilled", "frozen", "frosted", "cold", "iced", "a", "an", "the", "our", "stemmed",
})  # fmt: skip
_SHORT: Final = {
    "n-n": "nick-nora",
    "nn": "nick-nora",
    "hi-ball": "highball",
    "high-ball": "highball",
    "hb": "highball",
}
# What may stand in for another in a bar that has only one of them (common practice): to be asked about.
_LIKE: Final = (
    ("rocks", "old-fashioned", "double-old-fashioned", "of", "dof", "lowball", "tumbler", "whiskey", "whisky"),
    ("highball", "collins", "tall", "long-drink", "sling"),
    ("coupe", "cocktail", "martini", "saucer", "coupette", "champagne-coupe"),
    ("flute", "champagne", "sparkling"),
    ("goblet", "balloon", "copa", "spritz"),
    ("wine", "red-wine", "white-wine"),
)
_CLOSE: Final = 0.75


def house_glass(text: str, glasses: Iterable[str]) -> str | None:
    """The glass of the house that is meant, by its name or with a word of how it is; None where that is another one.

    >>> house_glass("chilled coupe", ["coupe", "nick and nora"]), house_glass("N&N", ["coupe", "nick and nora"])
    ('coupe', 'nick and nora')
    >>> house_glass("Collins", ["highball"])
    """
    known = {glass_key(name): name for name in glasses}
    key = glass_key(text)
    keys = (key, _short(key), _short(_plain(key)), _plain(key).removesuffix("s"))
    return next((known[one] for one in keys if one in known), None)


def like_glass(text: str, glasses: Iterable[str]) -> str | None:
    """The glass of the house that may be meant, to be asked about.

    >>> like_glass("Collins", ["coupe", "highball"]), like_glass("coup", ["coupe"]), like_glass("mug", ["coupe"])
    ('highball', 'coupe', None)
    """
    known = {glass_key(name): name for name in glasses}
    plain = _plain(glass_key(text))
    near = [*difflib.get_close_matches(plain, known, n=1, cutoff=_CLOSE), plain.rpartition("-")[2]]
    if found := next((known[name] for name in near if name in known), None):
        return found
    alike = next((names for names in _LIKE if plain in names), ())
    return next((known[name] for name in alike if name in known), None)


def _plain(key: str) -> str:
    """A glass without how it is: its last word always stays."""
    words = key.split("-")
    return "-".join([*(word for word in words[:-1] if word not in _SAID), words[-1]])


def _short(key: str) -> str:
    return _SHORT.get(key, key)
