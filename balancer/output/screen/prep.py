"""`prep` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from balancer.engine.batch.notes import BatchNow
from balancer.engine.prep.prep_list import Ending, Prep
from balancer.models.days import day_text
from balancer.output.paper.sheet import PrintedSheet, listed, missing_row, sheet_text
from balancer.output.words.numbers import some


def prep_text(result: Prep, printed: PrintedSheet, missing: Sequence[str], left_off: Sequence[str] = ()) -> str:
    """The answer of `sheet prep`. left_off: what the font of the page has no signs for."""
    sections = {
        "discard": [_called(item) for item in (*result.take_out, *(task.item for task in result.far))],
        "ask what it is": [batch.id for batch in result.strangers],
        "read": [_called(item.task.item) for item in result.read],
        "correct": [_called(task.item) for task in result.correct],
        "make": [item.syrup.name for item in result.make],
        "waiting": [_called(item.item) for item in result.waiting],
        "last day": [_ending(item, result.today) for item in result.ending],
    }
    counted = [f"{len(names)} to {word}" for word, names in sections.items() if names and word in _COUNTED]
    first = f"prep {day_text(result.today)}: {', '.join(counted) or 'nothing to put right'}, on {printed.text}"
    rows = [f"{word}: {listed(names)}" for word, names in sections.items() if names]
    lost = [f"not on the page, the font cannot show it: {some(left_off, _LOST)}"] if left_off else []
    return sheet_text(first, [*missing_row(missing), *lost, *rows])


_COUNTED: Final = ("discard", "read", "correct", "make")

_LOST: Final = 4


def _ending(item: Ending, today: date) -> str:
    more = ": runs out, make more" if item.make_more else ""
    return f"{_called(item.item)} {'today' if item.day == today else 'tomorrow'}{more}"


def _called(item: BatchNow) -> str:
    return f"{item.batch.id} {item.name}"
