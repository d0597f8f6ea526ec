"""The print mark at the foot of a card: four signs by which staff tell the old card from the new one."""

from __future__ import annotations

from itertools import count
from typing import Final

SIGNS: Final = "79CHKMQRTWX"
"""What a mark is made of. Read aloud, written by hand or upside down, none of them is taken for another: no 0/O/Q/D
beside each other, no 1/I/L, 2/Z, 3/E, 4/9, 5/S, 6/G, 8/B, U/V, M/N, P/T, J/K. Without vowels, F, P and the digits that
stand for vowels they make no word that a guest should not read. Judged."""

LENGTH: Final = 4
_MARKS: Final = len(SIGNS) * (len(SIGNS) - 1) ** (LENGTH - 1)


def print_mark(content: str, apart_from: str | None = None) -> str:
    """The mark of a card that says something: two that say the same have the same.

    content     the SHA-256 of what the card says, in hexadecimal
    apart_from  the mark of the card that it replaces: the new one has another, whatever the chance
    No sign stands twice in a row, for one of them is easily left out: 11,000 marks.

    >>> print_mark("0" * 64), print_mark("0" * 64, apart_from="7979")
    ('7979', '9797')
    """
    number = int(content, 16)
    tries = (_mark(number // _MARKS**more + more) for more in count())
    return next(mark for mark in tries if mark != apart_from)


def _mark(number: int) -> str:
    mark = ""
    for _ in range(LENGTH):
        open_to = SIGNS.replace(mark[-1], "") if mark else SIGNS
        number, place = divmod(number, len(open_to))
        mark += open_to[place]
    return mark
