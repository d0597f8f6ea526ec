"""A house on a base: what of the base it has an entry of its own for, and what became of the base since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, Literal, NamedTuple


class Override(NamedTuple):
    """An entry of the house that stands in place of one of its base.

    kind               the folder such entries belong to
    place, base_place  file and line of either
    own, said          what either says, as plain data
    """

    kind: str
    id: str
    name: str
    place: str
    base_place: str
    own: Mapping[str, Any]
    said: Mapping[str, Any]


class SaidByBase(NamedTuple):
    """What the base said of an entry when the house was content to have its own; at is when, as an ISO moment."""

    kind: str
    id: str
    said: Mapping[str, Any]
    at: str


SinceWhen = Literal["unknown", "same", "changed", "gone"]
"""What the base says now, against what it said: nobody noted that; the same; something else; nothing any more."""


class KeyChange(NamedTuple):
    """One key of an entry of the base: what it said and what it says; None where it is not there."""

    key: str
    was: Any
    now: Any


@dataclass(frozen=True, slots=True)
class OverrideState:
    """An entry of the house in place of one of its base, as things are.

    base_place    file and line in the base; "" where it is gone
    changes       key by key, where it changed
    is_identical  whether the house says just what the base says now
    """

    kind: str
    id: str
    name: str
    place: str
    base_place: str
    since: SinceWhen
    changes: tuple[KeyChange, ...] = ()
    is_identical: bool = False


_NO_MATTER: Final = frozenset(("id",))


def says(data: Mapping[str, Any]) -> dict[str, Any]:
    """What an entry says, whatever the order of its keys, its comments, its line ends and the spaces between words."""
    return {key: _plain(value) for key, value in sorted(data.items()) if key not in _NO_MATTER}


def changes_between(was: Mapping[str, Any], now: Mapping[str, Any]) -> tuple[KeyChange, ...]:
    """The keys that say something else than they did, those of the new first."""
    old, new = says(was), says(now)
    keys = [*now, *(key for key in was if key not in now)]
    return tuple(
        KeyChange(key, old.get(key), new.get(key))
        for key in keys
        if key not in _NO_MATTER and old.get(key) != new.get(key)
    )


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    return " ".join(value.split()) if isinstance(value, str) else value
