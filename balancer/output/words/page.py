"""The shape of an answer: the answer first, at most eight rows, then where there is more."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from datetime import datetime
from typing import Final

from balancer.models.house import House
from balancer.output.words.numbers import volume, volume_change, weekday_text, width

ROWS = 8
COLUMNS = 80
_LABEL = 18


class Labelled(str):
    """A row with its label in a column of its own; what runs on stays out of that column."""

    __slots__ = ()


def page(first: str, rows: Iterable[str], more: str) -> str:
    """An answer as text that fits the columns."""
    lines = wrap(first, 4)
    for row in rows:
        lines += wrap(f"  {row}", 2 + _LABEL if isinstance(row, Labelled) else 4)
    return "\n".join([*lines, *wrap(f"more: {more}", 4)])


def demo_note(moment: datetime) -> list[str]:
    """What stands below every answer about the demo house."""
    when = f"{weekday_text(moment.date())} {moment:%Y, %H:%M}"
    return wrap(f"demo: an invented bar on {when}; to keep one of your own: balancer start DIR --demo", 4)


def house_volume(ml: float, house: House) -> str:
    """A volume nobody measures out, in the unit the house shows."""
    return volume(ml, house.show, house.ounce)


def house_change(ml: float, house: House) -> str:
    """A signed change of such a volume."""
    return volume_change(ml, house.show, house.ounce)


def allergen_notes(allergens: Collection[str] | None) -> list[str]:
    """What a syrup's tape should say of its allergens; nothing when the house lists none."""
    if allergens is None:
        return ["allergens unknown"]
    return [f"contains {', '.join(allergens)}"] if allergens else []


def labelled(label: str, text: str) -> Labelled:
    """A row with its label in a column of its own."""
    return Labelled(f"{label:<{_LABEL}}{text}")


_HELD: Final = "\u2060"
_TOGETHER: Final = re.compile(r"(?<=[0-9]) (?=(?:ml|oz|g|kg|l|°Bx|%)(?![^\W\d_]))| (?=→)|(?<=→) ")
"""Blanks at which no line ends: between a number and its unit, and around the arrow of a change."""


def together(text: str) -> str:
    """A text in which no line ends."""
    return text.replace(" ", _HELD)


def wrap(text: str, indent_columns: int) -> list[str]:
    """Lines of at most 80 columns; what runs on is indented."""
    if width(text) <= COLUMNS:
        return [text.replace(_HELD, " ")]
    text = _TOGETHER.sub(_HELD, text)
    indent = " " * indent_columns
    lines: list[str] = []
    line, *words = text.split(" ")
    for word in words:
        if width(line) + 1 + width(word) > COLUMNS and line.strip():
            lines.append(line.rstrip())
            line = indent + word
        else:
            line += f" {word}"
        while width(line) > COLUMNS:  # one long word, as in scripts without spaces
            end = max(end for end in range(1, len(line)) if width(line[:end]) <= COLUMNS)
            lines.append(line[:end])
            line = indent + line[end:]
    return [kept.replace(_HELD, " ") for kept in (*lines, line)]
