"""What a check of one bar's folder found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from balancer.errors import Problem
from balancer.models.layered import OverrideState


@dataclass(frozen=True, slots=True)
class Checked:
    """A folder that was checked.

    counts     how many of each kind of things loaded
    files      how many files were read, those of the base among them
    bases      the folders that it stands on, the nearest first
    standings  what it has its own for, in place of what its base says
    """

    folder: str
    problems: tuple[Problem, ...]
    counts: Mapping[str, int] = field(default_factory=dict)
    files: int = 0
    bases: tuple[str, ...] = ()
    standings: tuple[OverrideState, ...] = ()

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
