"""What a question asked in Python is answered with: the engine's result, its JSON, and what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Generic

from balancer.asking.outcome import Outcome, ResultT
from balancer.brief import listed
from balancer.desk.desk import Desk
from balancer.errors import Problem


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Reply(Generic[ResultT]):
    """What is answered to a question.

    result    the engine's result: frozen, in grams, ml at 20 °C, °Bx, % vol and °C, as its names say
    problems  what it rests on that is not right: where there is any, the command would exit with 1
    """

    result: ResultT
    problems: tuple[Problem, ...]
    _data: Any
    _besides: tuple[tuple[str, Any], ...] = ()

    def __repr__(self) -> str:
        """Its problems, and every key of its JSON: a line a key, with what stands there in short."""
        count = len(self.problems)
        trouble = f", {count} problem{'s' if count > 1 else ''}" if count else ""
        return listed(f"Reply: {type(self.result).__name__}{trouble}", self.to_dict().items())

    def to_dict(self) -> dict[str, Any]:
        """The JSON object that the command prints with --json."""
        return {**self._data(), **dict(self._besides)}


def reply(desk: Desk, outcome: Outcome[ResultT]) -> Reply[ResultT]:
    """The answer to a question that was asked at a desk."""
    demo = (("demo", desk.at.isoformat()),) if desk.is_demo else ()
    return Reply(outcome.result, desk.problems_of(outcome.about, outcome.touching), outcome.data, demo)
