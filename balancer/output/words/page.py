"""The shape of an answer: the answer first, at most eight rows, then where there is more."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import Final, Literal, Self, TypeVar, overload

from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from balancer.output.words.look import columns, most
from balancer.output.words.numbers import fitting, volume, volume_change, weekday_text, width
from balancer.unseen import INSTEAD

_Shown = TypeVar("_Shown")

ROWS = 8
_LABEL = 18


Tone = Literal["act", "watch", "fine", ""]
"""How urgent a row is: to be acted on, to be watched, well, or nothing of that. Its words say the same."""


class AnswerRow(str):
    """A row of an answer, and how urgent it is. A plain str is a row too, of no tone."""

    __slots__ = ("tone",)
    tone: Tone

    def __new__(cls, text: str, tone: Tone = "") -> Self:
        """A row of a tone."""
        row = super().__new__(cls, text)
        row.tone = tone
        return row


class Labelled(AnswerRow):
    """A row with its label in a column of its own; what runs on stays out of that column."""

    __slots__ = ()


class Page(str):
    """An answer as lines. looks says of each line what it is: "answer" or nothing, then its tone."""

    __slots__ = ("looks",)
    looks: tuple[str, ...]


def page(first: str, rows: Iterable[str], more: str, below: str = "") -> Page:
    """An answer as text that fits the columns; what stands below it is laid out already."""
    lines = wrap(first, 4)
    looks = [f"answer {tone_of(first)}".rstrip()] * len(lines)
    for row in rows:
        wrapped = wrap(f"  {row}", 2 + _LABEL if isinstance(row, Labelled) else 4)
        lines += wrapped
        looks += [tone_of(row)] * len(wrapped)
    return _laid_out([*lines, *(wrap(f"more: {more}", 4) if more else []), *([below] if below else [])], looks)


def led(first: str, below: str = "") -> Page:
    """An answer whose rows are laid out already, if there are any."""
    return _laid_out([first, *([below] if below else [])], [f"answer {tone_of(first)}".rstrip()])


def _laid_out(lines: Sequence[str], looks: Sequence[str]) -> Page:
    text = Page("\n".join(lines))
    text.looks = tuple(looks)
    return text


def looks_of(text: str) -> tuple[str, ...]:
    """What the lines of an answer are: of plain text the first is the answer."""
    return text.looks if isinstance(text, Page) else ("answer",)


def tone_of(row: str) -> Tone:
    """The tone of a row; none of plain text."""
    return row.tone if isinstance(row, AnswerRow) else ""


@overload
def act(text: Labelled) -> Labelled: ...
@overload
def act(text: str) -> AnswerRow: ...
def act(text: str) -> AnswerRow:
    """A row to be acted on."""
    return _toned(text, "act")


@overload
def watch(text: Labelled) -> Labelled: ...
@overload
def watch(text: str) -> AnswerRow: ...
def watch(text: str) -> AnswerRow:
    """A row to be watched."""
    return _toned(text, "watch")


def fine(text: str) -> AnswerRow:
    """A row that says that all is well."""
    return _toned(text, "fine")


def _toned(text: str, tone: Tone) -> AnswerRow:
    return type(text)(text, tone) if isinstance(text, AnswerRow) else AnswerRow(text, tone)


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


def allergen_notes(source: Ingredient | Syrup) -> list[str]:
    """What a syrup's tape should say of its allergens; nothing when the house lists none."""
    said = [f"contains {', '.join(source.allergens)}"] if source.allergens else []
    return [*said, *["allergens unknown"] * source.allergens_unknown]


def labelled(label: str, text: str) -> Labelled:
    """A row with its label in a column of its own."""
    return Labelled(f"{label:<{_LABEL}}{text}")


_HELD: Final = "\0"  # no file holds one, and none reaches a terminal
_TOGETHER: Final = re.compile(r"(?<=[0-9]) (?=(?:ml|oz|g|kg|l|°Bx|%)(?![^\W\d_]))| (?=→)|(?<=→) ")
"""Blanks at which no line ends: between a number and its unit, and around the arrow of a change."""


def few(rows: Sequence[_Shown], room: int, what: str = "rows") -> tuple[Sequence[_Shown], list[str]]:
    """So many rows as there is room for, and what to say of the rest; every one of them where all is wanted."""
    left = len(rows) - most(room)
    return (rows, []) if left <= 0 else (rows[:room], [f"--all shows {left} more {what if left > 1 else what[:-1]}"])


def together(text: str) -> str:
    """A text in which no line ends."""
    return text.replace(" ", _HELD)


def _taken_apart(line: str, room: int, indent: str) -> Iterator[str]:
    """The pieces of a line, each within the room; each letter is looked at once, or a long one would take minutes."""
    start = fitting(line, room)
    yield line[:start]
    while start < len(line):
        end = fitting(line, room - len(indent), start)
        yield indent + line[start:end]
        start = end


def wrap(text: str, indent_columns: int, *, splits: bool = True) -> list[str]:
    """Lines that fit the columns; what runs on is indented. splits says whether a longer word is taken apart."""
    room, text = columns(), text.replace("\n", INSTEAD)  # of a name, which begins no line of its own
    if width(text) <= room:
        return [text.replace(_HELD, " ")]
    text = _TOGETHER.sub(_HELD, text)
    indent = " " * indent_columns
    lines: list[str] = []
    line, taken = "", 0
    for place, word in enumerate(text.split(" ")):
        wide = width(word)
        if place and taken + 1 + wide > room and line.strip():
            lines.append(line.rstrip())
            line, taken = indent + word, indent_columns + wide
        else:
            line += f" {word}" if place else word
            taken += wide + bool(place)
        if splits and taken > room:  # one long word, as in scripts without spaces
            *full, line = _taken_apart(line, room, indent)
            lines += full
            taken = width(line)
    return [kept.replace(_HELD, " ") for kept in (*lines, line)]
