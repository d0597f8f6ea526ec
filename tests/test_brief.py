"""What is shown of an answer at a prompt."""

from __future__ import annotations

import pickle
from dataclasses import dataclass
from datetime import date
from typing import Any, NamedTuple

from balancer.brief import brief, listed


@dataclass(frozen=True, slots=True)
class Bottle:
    id: str
    parts: tuple[float, ...] = tuple(range(100))


@dataclass(frozen=True, slots=True)
class Shelf:
    brix: float
    bottle: Any
    night: date | None
    bottles: tuple[Any, ...]
    spread: dict[str, Any]

    __repr__ = brief


class Pair(NamedTuple):
    first: Any
    second: Any

    def __repr__(self) -> str:
        return brief(self)


def test_a_part_is_a_line_and_what_is_inside_of_it_is_named_or_counted() -> None:
    ras = Bottle("ras")
    shelf = Shelf(54.123456789, ras, date(2026, 11, 25), (ras, ras), {"ras": 0.1 + 0.2, "more": [1, 2]})
    assert repr(shelf) == (
        "<Shelf\n  brix: 54.123\n  bottle: Bottle 'ras'\n  night: 2026-11-25\n  bottles: [… 2]\n"
        "  spread: {'ras': 0.3, 'more': [… 2]}>"
    )
    assert repr(Pair((1.0, "a", None), shelf)) == "<Pair\n  first: [1, 'a', None]\n  second: Shelf(…)>"


def test_unknown_is_shown_as_unknown_and_nothing_as_nothing() -> None:
    assert listed("T", [("a", None), ("b", 0.0), ("c", ()), ("d", ""), ("e", False)]) == (
        "<T\n  a: None\n  b: 0\n  c: ()\n  d: ''\n  e: False>"
    )


def test_a_line_is_never_long_nor_two() -> None:
    shown = listed("T", [("a", "x" * 500), ("b", "one\ntwo"), ("c", {"k" * 300: 1}), ("d", Pair(1, 2))])
    _, *rest = shown.splitlines()
    assert len(rest) == 4
    assert max(map(len, rest)) <= 111
    assert pickle.loads(pickle.dumps(Pair(1, 2))) == Pair(1, 2)  # noqa: S301 - our own
