"""The next version of a spec, whatever the house calls its versions."""

from __future__ import annotations

import re
from typing import Final

FIRST: Final = "1"
"""The version of a new drink."""

_LAST_NUMBER: Final = re.compile(r"(?<![0-9])[0-9]{1,9}$")
_LAST_LETTER: Final = re.compile(r"(?<=[0-9])[A-Ya-y]$")


def next_version(version: str | None) -> str:
    """The version behind another: the number that it ends with is raised, or the letter behind its number.

    Words without either get a 2 behind them.

    A spec without a version was the first of its kind.

    >>> [next_version(each) for each in ("3", "v9", "1.9", "2b", "draft", None)]
    ['4', 'v10', '1.10', '2c', 'draft 2', '2']
    """
    if not version or not version.strip():
        return "2"
    text = version.strip()
    if _LAST_LETTER.search(text):
        return text[:-1] + chr(ord(text[-1]) + 1)
    number = _LAST_NUMBER.search(text)
    if number is None:
        return f"{text} 2"
    return text[: number.start()] + str(int(number[0]) + 1).rjust(len(number[0]), "0")
