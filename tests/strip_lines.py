"""The lines of printed strips, read from the file as it is read aloud."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple

from tests import pdf
from tests.pdf import Word

_NUMBER = re.compile(r"[0-9.,⁄¼½¾⅓⅔⅛⅜⅝⅞⅚]+")
_UNIT_WORDS = 2
_CARD_PT = 15.1  # what the card says is no larger, what to pour never as small


class Printed(NamedTuple):
    """A line of a strip as it is read aloud, and the size of the letters of what to pour."""

    page: int
    written: str
    poured: str
    unit: str
    size_pt: float


def lines_of(path: Path) -> list[Printed]:
    """Every line of the strips in the order of the file: small what the card says, large what to pour, the unit."""
    words, found, place = pdf.words(path), list[Printed](), 0
    counted = [at for at, word in enumerate(words) if word.text == "of"]  # "1 of 2", before the first line
    words = [word for at, word in enumerate(words) if not {at - 1, at, at + 1} & {*counted}]
    while place < len(words):
        start = place
        while place < len(words) and _is_number(words[place]) and words[place].size_pt < _CARD_PT:
            place += 1
        middle = place
        while place - middle < _UNIT_WORDS and place < len(words) and _is_small_word(words[place]):
            place += 1  # its unit, where that is another than the one to pour in
        large = place
        while place < len(words) and _is_number(words[place]) and words[place].size_pt > _CARD_PT:
            place += 1
        if start < middle and large < place < len(words):
            poured = words[large:place]
            size = min(round(word.size_pt, 2) for word in poured)
            written, new = (" ".join(word.text for word in some) for some in (words[start:large], poured))
            found.append(Printed(poured[0].page, written, new, words[place].text, size))
        place = max(middle, start + 1) if place == large else place + 1
    return found


def _is_number(word: Word) -> bool:
    return _NUMBER.fullmatch(word.text) is not None


def _is_small_word(word: Word) -> bool:
    return not _is_number(word) and word.size_pt < _CARD_PT
