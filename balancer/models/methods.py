"""What bars call a method: the words of the trade, each for the one method it means.

What a card prints is the bar's own word; how much water it adds goes by the method it means.
"""

from __future__ import annotations

import difflib
import re
from typing import Final

_VERBS: Final = {
    word: method
    for method, words in {
        "shaken": "shake shaken shakes shaking",
        "stirred": "stir stirred stirs stirring",
        "built": "build built builds building",
        "blended": "blend blended blends blending",
        "swizzled": "swizzle swizzled swizzles swizzling",
        "thrown": "throw thrown throws throwing",
        "rolled": "roll rolled rolls rolling",
    }.items()
    for word in words.split()
}
# A dry shake comes before the one with ice, and to strain, to muddle or to top adds no water (common practice).
_BESIDES: Final = frozenset({
    "and", "then", "with", "on", "over", "ice", "well", "hard", "down", "dry", "wet", "reverse", "double", "fine",
    "single", "twice", "strain", "strained", "straining", "muddle", "muddled", "dump", "up", "top", "topped", "s",
    "sec", "secs", "second", "seconds",
})  # fmt: skip
_ONLY_BUILT: Final = frozenset(["in", "the", "glass", "stir", "stirred"])
_WORD: Final = re.compile(r"[^\W_0-9]+")
_LIKE: Final = 0.8


def method_of(text: str) -> str | None:
    """The method that a bar's words mean; None for words that the trade has no one meaning for.

    >>> method_of("Shake & double strain"), method_of("build in glass"), method_of("flash blend")
    ('shaken', 'built', None)
    """
    words = set(_words(text))
    methods = {_VERBS[word] for word in words if word in _VERBS}
    besides = words - _VERBS.keys() - _BESIDES
    if "built" in methods and words - _BESIDES - _ONLY_BUILT <= _VERBS.keys():
        methods -= {"stirred"}
        besides -= _ONLY_BUILT
    return methods.pop() if len(methods) == 1 and not besides else None


def method_key(text: str) -> str:
    """A method to look up: the one that is meant, or the bar's own word.

    >>> method_key("Stir"), method_key(" Flash  Blend")
    ('stirred', 'flash blend')
    """
    return method_of(text) or " ".join(text.casefold().split())


def method_nearly(text: str) -> str | None:
    """The method that words which mean none were probably meant for, or None.

    >>> method_nearly("shakn"), method_nearly("smoked")
    ('shaken', None)
    """
    known = (*_VERBS, *sorted(_BESIDES | _ONLY_BUILT))
    words = _words(text)
    near = [(difflib.get_close_matches(word, known, n=1, cutoff=_LIKE) or [word])[0] for word in words]
    return method_of(" ".join(near)) if near != words else None


def _words(text: str) -> list[str]:
    return _WORD.findall(text.casefold())
