"""What was typed into a form: understood by the parsers of the command line, kept as typed, each error at its field."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Final, TypeVar

from balancer.errors import BalancerError, Problem
from balancer.units import is_number

_Value = TypeVar("_Value")
Parse = Callable[[str, str], _Value]
"""A parser of a text, told what the field is called."""

_LONGEST: Final = 200
_COMMAND: Final = re.compile(r"(?:^|[\s:(])(?:balancer |--[a-z])")
"""What only somebody at a terminal can do."""
_ASIDE: Final = re.compile(r" \(--[^)]*\)")


@dataclass(slots=True)
class Typed:
    """A form as it was sent. wrong: what is wrong with a field, by its name."""

    fields: Mapping[str, str]
    wrong: dict[str, str] = field(default_factory=dict)

    def text(self, name: str) -> str:
        """What stands in a field, on one line; empty when nothing does."""
        return " ".join(self.fields.get(name, "").split())[:_LONGEST]

    def take(self, name: str, parse: Parse[_Value]) -> _Value | None:
        """What a field means; None when it is empty, or wrong."""
        text = self.text(name)
        if not text:
            return None
        try:
            return parse(text, name)
        except BalancerError as error:
            self.refuse(name, error)
            return None

    def refuse(self, name: str, error: BalancerError | str) -> None:
        """Something is wrong with a field."""
        told = error if isinstance(error, str) else sentence(error, name)
        self.wrong.setdefault(name, told)


def in_unit(parse: Parse[_Value], unit: str) -> Parse[_Value]:
    """The parser of a field whose label says the unit, so that a bare number is in it."""

    def parsed(text: str, name: str) -> _Value:
        return parse(f"{text} {unit}" if is_number(text) else text, name)

    return parsed


def sentence(error: BalancerError, name: str = "") -> str:
    """An error for somebody without a terminal: what is wrong and what to do, but no line to type."""
    return "; ".join(said(problem, name) for problem in error.problems())


def said(problem: Problem, name: str = "") -> str:
    """A problem so."""
    message = problem.message.removeprefix(f"{name}: ") if name else problem.message
    remedy = untyped(problem.remedy)
    return f"{message}: {remedy}" if remedy else message


def untyped(text: str) -> str:
    """A text without its parts that are lines to type.

    >>> untyped("take that back first: balancer batch undo RAS-2; or weigh it"), untyped("add --yes if it is meant")
    ('take that back first; or weigh it', '')
    """
    kept = []
    for part in _ASIDE.sub("", text).split("; "):
        match = _COMMAND.search(part)
        if match is None:
            kept.append(part)
        elif part[match.start() : match.start() + 1] == ":":
            kept.append(part[: match.start()])
        elif ": " in part[: match.start() + 1]:
            kept.append(part[: match.start() + 1].rpartition(": ")[0])
    return "; ".join(part for part in kept if part)
