"""What comes of a question: the engine's result, its JSON object, and what it is about."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from balancer.errors import Problem
from balancer.files.house.load import Broken

ResultT = TypeVar("ResultT")


@dataclass(frozen=True, slots=True)
class Outcome(Generic[ResultT]):
    """What comes of a question.

    result    what the engine answers, frozen
    data      its JSON object, worked out when it is wanted; a partial of plain functions, so that it can be pickled
    about     ids of the drinks, syrups and ingredients it is about, None for all of the house
    touching  what of it is missing or cannot be had, beside the problems that the desk has
    """

    result: ResultT
    data: Callable[[], dict[str, Any]]
    about: tuple[str, ...] | None
    touching: Sequence[Broken | Problem] = ()

    @property
    def broken(self) -> tuple[Broken, ...]:
        """The entries of the files that it would be about, and that did not load."""
        return tuple(each for each in self.touching if isinstance(each, Broken))
