"""Names, ids, and finding one by the other as people type them."""

from __future__ import annotations

import difflib
import re
import unicodedata
from bisect import bisect_left
from collections.abc import Iterable
from typing import Final

_LETTERS: Final = {"ł": "l", "ø": "o", "æ": "ae", "ß": "ss", "œ": "oe", "đ": "d", "ı": "i"}
_APOSTROPHES: Final = dict.fromkeys("'’‘‛ʼʻ´`′")
_SPELT: Final = str.maketrans(_LETTERS | _APOSTROPHES)
# Marks above, below and around a letter, and invisible characters (soft hyphen, joiners) that came in by pasting.
_DROPPED: Final = ("Mn", "Me", "Cf")
_NO_GLASS: Final = ("and", "n", "glass", "glasses")
_DEVICES: Final = "con|prn|aux|nul|com[0-9]|lpt[0-9]"
"""Names that no file has on Windows."""
_ASCII_WORDS: Final = re.compile(r"[a-z0-9]+")
_CLOSE: Final = 0.75
"""How like a text a name must be to be asked about: one letter of four may differ, of a beginning one of five."""
_CLOSE_BEGINNING: Final = 0.8


def slug(name: str) -> str:
    """The id of a name: lower case, marks dropped, everything but letters and digits one hyphen.

    Letters of other scripts stay.

    >>> slug("Crème de Cassis"), slug("Barkeep's Nº 7"), slug("Łódź")
    ('creme-de-cassis', 'barkeeps-no-7', 'lodz')
    """
    if name.isascii():  # most names, and there is nothing to decompose
        return "-".join(_ASCII_WORDS.findall(name.lower().translate(_SPELT)))
    # Twice: NFKD brings out further capitals and letters (№ is No, ǿ is ø with a mark).
    decomposed = unicodedata.normalize("NFKD", name.casefold().translate(_SPELT))
    plain = "".join(char for char in decomposed if not _is_dropped(char)).casefold().translate(_SPELT)
    words = "".join(char if _belongs(char) else " " for char in plain).split()
    return unicodedata.normalize("NFC", "-".join(words))


def file_stem(identity: str, most: int = 200) -> str:
    """An id as the name of a file without its ending, on any system; of the 255 bytes of a name at most so many.

    >>> file_stem("slipway-sour"), file_stem("slipway-sour", 8), file_stem("燈台守", 7), file_stem("con")
    ('slipway-sour', 'slipway', '燈台', 'con-drink')
    """
    stem = identity.encode()[:most].decode(errors="ignore").strip("-")
    return f"{stem}-drink" if re.fullmatch(_DEVICES, stem) else stem


def _is_dropped(char: str) -> bool:
    return unicodedata.combining(char) != 0 or unicodedata.category(char) in _DROPPED


def _belongs(char: str) -> bool:
    """Letters, digits, and the vowel signs that are written apart from their letter."""
    return char.isalnum() or unicodedata.category(char) == "Mc"


def as_word(text: str) -> str:
    """A name or folder as one word of a command line.

    >>> as_word("lime"), as_word("lime juice")
    ('lime', '"lime juice"')
    """
    return f'"{text}"' if " " in text else text


def glass_key(name: str) -> str:
    """What two spellings of one glass have in common: case, "&" or "and", hyphens and the word glass do not count.

    >>> glass_key("Nick & Nora"), glass_key("nick-and-nora glass")
    ('nick-nora', 'nick-nora')
    """
    words = slug(name).split("-")
    return "-".join([word for word in words if word not in _NO_GLASS] or words)


class NameIndex:
    """Finds ids by id, name or other name, whole or by a unique beginning, whatever the case."""

    def __init__(self) -> None:
        self._exact: dict[str, str] = {}
        self._sorted: list[str] | None = None

    def add(self, identity: str, names: Iterable[str]) -> str | None:
        """Make an id findable. Returns the id that already answers to one of its names, if any."""
        clash = None
        for name in (identity, *names):
            key = slug(name)
            if key and self._exact.setdefault(key, identity) != identity:
                clash = clash or self._exact[key]
        self._sorted = None
        return clash

    def find(self, text: str) -> list[str]:
        """The ids that a text may mean: one when it is clear, several when ambiguous, none when unknown."""
        key = slug(text)
        if not key:
            return []
        exact = self._exact.get(key)
        if exact is not None:
            return [exact]
        if self._sorted is None:
            self._sorted = sorted(self._exact)
        found: dict[str, None] = {}
        for candidate in self._sorted[bisect_left(self._sorted, key) :]:
            if not candidate.startswith(key):
                break
            found[self._exact[candidate]] = None
        return list(found)

    def whole(self, text: str) -> str | None:
        """The id that answers to this very name; a beginning of it is not enough."""
        return self._exact.get(slug(text))

    def closest(self, text: str) -> str | None:
        """The id most like a text that was not found, or None when nothing is like it."""
        key = slug(text)
        matches = difflib.get_close_matches(key, self._exact, n=1, cutoff=_CLOSE)
        if matches:
            return self._exact[matches[0]]
        beginnings = {name[: len(key) + 1]: name for name in reversed(self._exact)} if len(key) > 2 else {}
        matches = difflib.get_close_matches(key, beginnings, n=1, cutoff=_CLOSE_BEGINNING)
        return self._exact[beginnings[matches[0]]] if matches else None
