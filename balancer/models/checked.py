"""What a check of one bar's folder found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from balancer.errors import Problem
from balancer.models.layered import OverrideState


class NotKnown(NamedTuple):
    """A figure that the files do not tell whole, and the names of the drinks that lack it, in the order of the menu."""

    what: str
    drinks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Checked:
    """A folder that was checked.

    counts     how many of each kind of things loaded
    files      how many files were read, those of the base among them
    bases      the folders that it stands on, the nearest first
    standings  what it has its own for, in place of what its base says
    not_known  what its drinks pour without a figure: no problem, and not well either; empty where nobody asked
    """

    folder: str
    problems: tuple[Problem, ...]
    counts: Mapping[str, int] = field(default_factory=dict)
    files: int = 0
    bases: tuple[str, ...] = ()
    standings: tuple[OverrideState, ...] = ()
    not_known: tuple[NotKnown, ...] = ()

    @property
    def is_sound(self) -> bool:
        """Whether nothing was told."""
        return not self.problems

    @property
    def in_place(self) -> tuple[OverrideState, ...]:
        """The entries that stand in place of one that the base has."""
        return tuple(one for one in self.standings if one.since != "gone")

    @property
    def changed(self) -> tuple[OverrideState, ...]:
        """Those of which the base says something else since, or nothing any more."""
        return tuple(one for one in self.standings if one.since in ("changed", "gone"))

    @property
    def unknown(self) -> tuple[OverrideState, ...]:
        """Those of which nobody noted what the base said, so that nobody knows whether it changed."""
        return tuple(one for one in self.standings if one.since == "unknown")
