"""What a question asked in Python is answered with: the engine's result, its JSON, and what it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final, Generic

from balancer.asking.outcome import Outcome, ResultT
from balancer.desk.desk import Desk
from balancer.errors import Problem

_WIDTH: Final = 110


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
        """Its problems, and of its JSON every key: a line a key, with what stands there, lists by their length."""
        count = len(self.problems)
        trouble = f", {count} problem{'s' if count > 1 else ''}" if count else ""
        lines = [f"  {key}: {_brief(value)}" for key, value in self.to_dict().items()]
        return "\n".join([f"<Reply: {type(self.result).__name__}{trouble}", *(_cut(line) for line in lines)]) + ">"

    def to_dict(self) -> dict[str, Any]:
        """The JSON object that the command prints with --json."""
        return {**self._data(), **dict(self._besides)}


def reply(desk: Desk, outcome: Outcome[ResultT]) -> Reply[ResultT]:
    """The answer to a question that was asked at a desk."""
    demo = (("demo", desk.at.isoformat()),) if desk.is_demo else ()
    return Reply(outcome.result, desk.problems_of(outcome.about, outcome.touching), outcome.data, demo)


def _brief(value: object, *, inside: bool = False) -> str:
    """A value of JSON in a few words: figures are shortened to be read, not to be reckoned with."""
    if isinstance(value, float):
        return f"{value:.5g}"
    if not isinstance(value, list | dict) or not value:
        return repr(value)
    if isinstance(value, list):
        is_long = inside or any(isinstance(each, list | dict) for each in value)
        return f"[… {len(value)}]" if is_long else f"[{', '.join(map(_brief, value))}]"
    return "{…}" if inside else f"{{{', '.join(f'{key}: {_brief(each, inside=True)}' for key, each in value.items())}}}"


def _cut(line: str) -> str:
    return line if len(line) <= _WIDTH else f"{line[: _WIDTH - 1]}…"
