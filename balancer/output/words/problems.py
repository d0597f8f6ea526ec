"""Problems as text for a person and as JSON."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from typing import Any, Final

from balancer.errors import Problem
from balancer.output.words.look import is_terminal, is_whole, most
from balancer.output.words.numbers import some, width
from balancer.output.words.page import together, watch, wrap
from balancer.unseen import in_line

_MOST: Final = 6
_MOST_TOLD: Final = 8
_MOST_DOUBTS: Final = 4
_COMMAND: Final = re.compile(r"balancer [a-z][^;]*")


_LONGEST_VALUE: Final = 200
_LONGEST: Final = 2_000
_LONGEST_PATH: Final = 1_000
_QUOTED: Final = re.compile(rf'"[^"]{{{_LONGEST_VALUE},}}"')


def _brief(text: str) -> str:
    """A message or remedy in which nothing endless is repeated: whoever typed or wrote it knows it."""
    if len(text) <= _LONGEST_VALUE:
        return text
    return _cut_short(_QUOTED.sub(lambda found: f'{found[0][:_LONGEST_VALUE]}…"', text), _LONGEST)


def _cut_short(text: str, most: int) -> str:
    """A text of at most so many letters, and a sign where it goes on."""
    return text if len(text) <= most else f"{text[:most]}…"


def problem_text(problem: Problem) -> str:
    """path:line:column and what is wrong; the user's own line with a caret; what to do."""
    path = None if problem.path is None else in_line(_cut_short(problem.path, _LONGEST_PATH))
    place = ":".join(str(part) for part in (path, problem.line, problem.column) if part is not None)
    message = in_line(_brief(problem.message))
    lines = _fitted(f"{place}: {message}" if place else message)
    if problem.excerpt is not None and problem.column is not None and problem.excerpt.strip():
        number = f"{problem.line:>5} | "
        lines.append(number + problem.excerpt)
        # Tabs are kept, so that the caret stands under its character whatever the tab width.
        start = problem.column - 1
        before = "".join("\t" if char == "\t" else " " * width(char) for char in problem.excerpt[:start])
        carets = "^" * max(width(problem.excerpt[start : start + problem.width]), 1)
        lines.append(" " * (len(number) - 2) + "| " + before + carets)
    if problem.remedy:
        lines += _fitted(f"  {in_line(_brief(problem.remedy))}")
    return "\n".join(lines)


def problems_text(problems: Iterable[Problem]) -> str:
    """Several problems, one after the other."""
    return "\n".join(problem_text(problem) for problem in problems)


def elsewhere_text(
    problems: Sequence[Problem], own: Collection[Problem] = (), *, in_full: bool = False, can_all: bool = False
) -> str:
    """Problems beside an answer, so that they never bury it: the first, and how many more.

    own      those that the command met itself, which `check` does not tell
    in_full  whether the answer points to what is left out: then more of that is told; what is doubted stands before it
    can_all  whether --all tells the others; without it each of its own is told
    """
    listed = sorted(problems, key=lambda problem: problem.is_doubt) if in_full else list(problems)
    faults = sum(not problem.is_doubt for problem in listed)
    shown = listed[: most(min(_MOST_TOLD, max(faults, 1))) if in_full else 1]
    rest = listed[len(shown) :]
    mine = [problem for problem in rest if problem in own]
    if mine and (is_whole() or not can_all):
        shown, rest, mine = [*shown, *mine], [problem for problem in rest if problem not in own], []
    told = [f"and {len(mine)} more: --all"] if mine else []
    others = len(rest) - len(mine)
    told += [f"and {others} more{' in the files' if mine else ''}: balancer check"] * bool(others)
    return "\n".join([*map(problem_text, shown), *told])


def doubt_rows(doubts: Iterable[Problem]) -> list[str]:
    """What is doubted about an answer, each once, to stand before it; many are cut."""
    found = [*dict.fromkeys(in_line(_brief(doubt.message)) for doubt in doubts)]
    shown = found[: most(_MOST_DOUBTS)]
    more = len(found) - len(shown)
    return [
        *(row for text in shown for row in _fitted(text)),
        *[f"and {more} more doubts: balancer check"] * bool(more),
    ]


def _fitted(text: str) -> list[str]:
    """Lines that fit a terminal. What a program reads stays one line; so does what is typed, and the path of a file."""
    if not is_terminal():
        return [text]
    return wrap(_COMMAND.sub(lambda found: together(found[0]), text), 4, splits=False)


def problems_data(problems: Iterable[Problem]) -> dict[str, Any]:
    """Problems as the JSON object every command gives for them."""
    return {
        "problems": [
            {
                "path": problem.path,
                "line": problem.line,
                "column": problem.column,
                "code": problem.code,
                "message": _brief(problem.message),
                "remedy": _brief(problem.remedy),
            }
            for problem in problems
        ]
    }


def missing_rows(drinks: Sequence[str]) -> list[str]:
    """A row that names the drinks an answer lacks, because they did not load; none when it lacks none."""
    return [watch(f"missing here, their files are broken: {some(drinks, _MOST)}; see balancer check")] if drinks else []


def house_words(problems: Sequence[Problem], *, is_lost: bool) -> str:
    """What is wrong with house.yaml, in half a line, and by what the answer is then; "" when nothing is.

    A doubt is nothing wrong.
    is_lost  whether it could not be read to its end
    """
    if is_lost:
        return "house.yaml cannot be read, the usual measures are taken; by those"
    if any(problem.code == "base" for problem in problems):
        return "the base that house.yaml names is not to be had; by what the house has itself"
    if any(not problem.is_doubt for problem in problems):
        return "house.yaml has a fault, the usual measures stand in; by those"
    return ""
