"""The one runner: a command asks and returns an Answer; what is printed, where, and the exit code are decided here.

A command is a function with the decorator `answering`. It gets a Desk, then its own options, and returns its Answer:

    @answering(steps=True)
    def command(desk: Desk, drink: DrinkWords) -> Answer:
        result = totals(desk.bar, names.drink(desk.loaded, " ".join(drink)))
        return Answer(lambda: totals_text(result), lambda: totals_data(result), lambda: totals_steps(result))
"""

from __future__ import annotations

import functools
import inspect
import json
import re
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any, Final, TextIO, TypeVar

import typer

from balancer.cli.options import AsJson, Demo, Everything, SpecsFolder, Steps
from balancer.cli.terminal import ask, choose, columns_of, knows_every_character, write
from balancer.desk.desk import Desk
from balancer.errors import BalancerError, Problem, ProblemsError, UsageError
from balancer.files.house.load import Broken
from balancer.files.reading import fault_of
from balancer.output.words.look import Look, is_whole, looking
from balancer.output.words.numbers import understood_rows
from balancer.output.words.page import demo_note, looks_of
from balancer.output.words.problems import doubt_rows, elsewhere_text, problems_data, problems_text
from balancer.unseen import JSON_ESCAPES, whole

_Value = TypeVar("_Value")
_SPECS = inspect.Parameter("specs", inspect.Parameter.KEYWORD_ONLY, default=None, annotation=SpecsFolder)
_DEMO = inspect.Parameter("demo", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=Demo)
_EVERYTHING = inspect.Parameter("everything", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=Everything)
_WHOLE: Final = ("everything", "everywhere")
"""What a command calls its own --all."""
_AS_JSON = inspect.Parameter("as_json", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=AsJson)
_STEPS = inspect.Parameter("steps", inspect.Parameter.KEYWORD_ONLY, default=False, annotation=Steps)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a command answers. A callable is called only when its value is printed.

    text      for a person; its first line is the answer
    data      for a program
    working   the hand calculation that --steps adds
    touching  what makes the exit code 1, beside the problems that the desk has
    about     ids of the drinks, syrups and ingredients it is about, None for all of the house: what is doubted
              about them comes first
    code      the exit code where the command alone decides it
    tells_all whether the problems of the files are the answer, and are not told again beside it
    in_full   whether the answer points to the problems below it, so that each of them is told in full
    """

    text: str | Callable[[], str]
    data: dict[str, Any] | Callable[[], dict[str, Any]]
    working: Sequence[str] | Callable[[], Sequence[str]] = ()
    touching: Sequence[Broken | Problem] = ()
    about: Iterable[str] | None = None
    code: int | None = None
    tells_all: bool = False
    in_full: bool = False


def answering(
    *, folder: bool = True, steps: bool = False, lists: bool = False
) -> Callable[[Callable[..., Answer]], Callable[..., None]]:
    """Make a function that answers a command of the command line.

    folder  whether it takes --specs and --demo, and gets a Desk of that folder before its own options
    steps   whether it takes --steps, and its answer has a working
    lists   whether its answer is cut where it is long, and it takes --all to be shown whole
    --json it always takes. An error raised on purpose becomes its message and exit code.
    """

    def made(ask: Callable[..., Answer]) -> Callable[..., None]:
        @functools.wraps(ask)
        def run(*, as_json: bool, steps: bool = False, **given: Any) -> None:
            desk = None
            everything = given.pop("everything") if lists else any(given.get(word) for word in _WHOLE)
            can_all = lists or any(word in given for word in _WHOLE)
            look = _look(sys.stdout, everything=everything)
            try:
                desk = _desk(given.pop("specs"), as_json=as_json, is_demo=given.pop("demo")) if folder else None
                answer = ask(**given) if desk is None else ask(desk, **given)
                with looking(look):
                    code = _print(answer, desk, as_json=as_json, steps=steps, can_all=can_all)
            except BalancerError as error:
                code = fail(error, as_json=as_json)
            except OSError as error:
                told = fault_of(error)
                if told is None:
                    raise
                code = fail(ProblemsError([told]), as_json=as_json)
            raise typer.Exit(code)

        signature = inspect.signature(ask, eval_str=True)
        own = list(signature.parameters.values())[1 if folder else 0 :]
        own = [one.replace(kind=inspect.Parameter.KEYWORD_ONLY) for one in own]
        shared = [
            *([_EVERYTHING] if lists else []),
            *([_SPECS, _DEMO] if folder else []),
            _AS_JSON,
            *([_STEPS] if steps else []),
        ]
        run.__signature__ = signature.replace(parameters=[*own, *shared])  # type: ignore[attr-defined]
        run.__annotations__ = {}
        return run

    return made


def _desk(named: Path | None, *, as_json: bool, is_demo: bool) -> Desk:
    if named is not None and is_demo:
        raise UsageError("usage", "--specs and --demo: one of them says which bar", "leave one out")
    return Desk(named, as_json=as_json, ask=ask, choose=choose, is_demo=is_demo)


def _look(stream: TextIO, *, everything: bool = False) -> Look:
    return Look(columns_of(stream), everything=everything, at_terminal=stream.isatty())


def fail(error: BalancerError, *, as_json: bool) -> int:
    """Print an error where the caller of the command looks for it, and give its exit code."""
    if as_json:
        write(_to_text(problems_data(error.problems())), sys.stdout)
    else:
        with looking(_look(sys.stderr)):
            write(problems_text(error.problems()), sys.stderr, ["answer act"])
    return 2 if isinstance(error, UsageError) else 1


def _print(answer: Answer, desk: Desk | None, *, as_json: bool, steps: bool, can_all: bool) -> int:
    """Print an answer, then the problems elsewhere. Returns the exit code."""
    working = list(valued(answer.working)) if steps else []
    doubted = desk.doubts(answer.about) if desk is not None else ()
    touching = desk.touching() if desk is not None else ()
    demo_at = desk.at if desk is not None and desk.is_demo else None
    if as_json:
        besides = ({"steps": working} if working else {}) | ({"demo": demo_at.isoformat()} if demo_at else {})
        write(_to_text(valued(answer.data) | besides), sys.stdout)
    else:
        told = (*doubted, *touching)
        doubts = doubt_rows(one for one in told if one.is_doubt)
        days = understood_rows(desk.understood) if desk is not None else []
        last = [*(["", *working] if working else []), *(demo_note(demo_at) if demo_at else [])]
        text = valued(answer.text)
        looks = [*["answer act" for _ in doubts], *looks_of(text)]
        write("\n".join([*doubts, text, *days, *last]), sys.stdout, looks)
    if desk is not None and not answer.tells_all:
        first = (*doubted, *touching)
        listed = sorted(desk.problems(), key=lambda problem: problem not in first)
        told_text = partial(elsewhere_text, listed, desk.noticed, in_full=answer.in_full, can_all=can_all)
        _tell(listed, told_text, as_json=as_json)
    if answer.code is not None:
        return answer.code
    return 1 if doubted or answer.touching or touching else 0


def _tell(problems: Sequence[Problem], text: Callable[[], str], *, as_json: bool) -> None:
    """Print problems that do not stop the answer."""
    if not problems:
        return
    with looking(_look(sys.stderr, everything=is_whole())):
        write(_to_text(problems_data(problems)) if as_json else text(), sys.stderr)


def _to_text(data: dict[str, Any]) -> str:
    """A JSON object as text, with escapes only for what the output cannot hold or must not show."""
    text = whole(json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False)).translate(JSON_ESCAPES)
    if knows_every_character(sys.stdout):
        return text
    return re.sub(r"[^\x00-\x7f]", lambda found: json.dumps(found[0])[1:-1], text)


def valued(told: _Value | Callable[[], _Value]) -> _Value:
    """A part of an answer, worked out where it is a callable."""
    return told() if callable(told) else told
