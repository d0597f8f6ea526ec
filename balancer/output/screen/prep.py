"""`prep` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.batch.notes import BatchNow
from balancer.engine.prep.prep_list import Prep
from balancer.models.days import day_text
from balancer.output.paper.prep import day_word
from balancer.output.paper.sheet import PrintedSheet, listed, missing_row, sheet_text


def prep_text(result: Prep, printed: PrintedSheet, missing: Sequence[str]) -> str:
    """The answer of `sheet prep`."""
    sections = {
        "discard": [_called(item) for item in result.take_out],
        "ask what it is": [batch.id for batch in result.strangers],
        "read": [_called(item.task.item) for item in result.read],
        "correct": [_called(task.item) for task in result.correct],
        "make": [item.syrup.name for item in result.make],
        "waiting": [_called(item.item) for item in result.waiting],
        "last day": [f"{_called(item.item)} {day_word(item.day, result.today)}" for item in result.ending],
    }
    counted = [f"{len(names)} to {word}" for word, names in sections.items() if names and word in _COUNTED]
    first = f"prep {day_text(result.today)}: {', '.join(counted) or 'nothing to put right'}, on {printed.text}"
    rows = [f"{word}: {listed(names)}" for word, names in sections.items() if names]
    return sheet_text(first, [*missing_row(missing), *rows])


_COUNTED: Final = ("discard", "read", "correct", "make")


def _called(item: BatchNow) -> str:
    return f"{item.batch.id} {item.name}"
