"""How much there is room for, and how much is wanted: what every answer on the screen is laid out by."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Final, NamedTuple

_ALL: Final = 1_000_000


class Look(NamedTuple):
    """The room of an answer.

    columns     of the terminal; 80 where nobody knows
    everything  whether no list is to be cut
    at_terminal whether a person looks at it
    """

    columns: int = 80
    everything: bool = False
    at_terminal: bool = False


_LOOK: Final[ContextVar[Look]] = ContextVar("look", default=Look())  # noqa: B039 - it is frozen


def columns() -> int:
    """So many columns a line may take."""
    return _LOOK.get().columns


def is_terminal() -> bool:
    """Whether a person looks at it, and no program reads it."""
    return _LOOK.get().at_terminal


def most(rows: int) -> int:
    """So many rows or names, or all of them when that is wanted."""
    return _ALL if _LOOK.get().everything else rows


def is_whole() -> bool:
    """Whether everything is wanted, so that details have their place."""
    return _LOOK.get().everything


@contextmanager
def looking(look: Look) -> Iterator[None]:
    """Lay out what is written inside by this look."""
    token = _LOOK.set(look)
    try:
        yield
    finally:
        _LOOK.reset(token)
