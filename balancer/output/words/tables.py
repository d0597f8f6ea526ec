"""Rows in columns, as broad as the terminal allows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.output.words.look import columns
from balancer.output.words.numbers import pad, width

_MARGIN: Final = 2
_GAP: Final = 2


def room_beside(*widths: int) -> int:
    """How many columns of a row are left beside others that are so broad."""
    return columns() - _MARGIN - sum(widths)


def broadest(rows: Sequence[Sequence[str]], place: int) -> int:
    """How broad one column of some rows is, with the gap behind it."""
    return max(width(row[place]) for row in rows) + _GAP


def in_columns(rows: Sequence[Sequence[str]]) -> list[str] | None:
    """The rows, each cell under that of the row before; None where the terminal is too narrow for them.

    >>> in_columns([("", "Sour", "moved"), ("sugar", "14 g", "+8 %")])
    ['       Sour  moved', 'sugar  14 g  +8 %']
    """
    last = len(rows[0]) - 1
    broad = [broadest(rows, place) for place in range(last)]
    if any(width(row[last]) > room_beside(*broad) for row in rows):
        return None
    return ["".join(map(pad, row, [*broad, 0])).rstrip() for row in rows]
