"""What a file of a bar is once read: its text, a tree that remembers where everything stands, and its problems.

Nodes keep character offsets only; lines and columns are worked out when a problem is told.
"""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right, insort
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Final

from balancer.errors import Problem

MAX_SHOWN: Final = 200
"""A longer line than this is not repeated beside its problem."""

_LINE_BREAK: Final = re.compile(r"\r\n|\r|\n")
_SOURCE: Final = re.compile(r"(?:(?![ \t]#)[^\r\n]){0,200}")
_COMMENT: Final = re.compile(r"[ \t]+(#[^\r\n]{0,200})")


class Scalar:
    """A value or key: its text, whether it stood in quotes or a block, and where.

    An empty value stands where its key or hyphen does. Of a refused one everything is said already.
    """

    __slots__ = ("end", "quoted", "refused", "start", "text")

    def __init__(self, text: str, start: int, end: int, *, quoted: bool, refused: bool = False) -> None:
        self.text = text
        self.start = start
        self.end = end
        self.quoted = quoted
        self.refused = refused


class Sequence:
    """A list. It is not complete when the reading stopped inside it."""

    __slots__ = ("complete", "end", "flow", "items", "start")

    def __init__(self, start: int, *, flow: bool) -> None:
        self.items: list[Node] = []
        self.start = start
        self.end = start
        self.flow = flow
        self.complete = True


class Mapping:
    """Keys and values, in the order written. It is not complete when something in it could not be read."""

    __slots__ = ("complete", "end", "entries", "flow", "start")

    def __init__(self, start: int, *, flow: bool) -> None:
        self.entries: list[tuple[Scalar, Node]] = []
        self.start = start
        self.end = start
        self.flow = flow
        self.complete = True

    def get(self, key: str) -> Node | None:
        """The value of a key, or None."""
        return next((value for name, value in self.entries if name.text == key), None)

    def key(self, key: str) -> Scalar | None:
        """The key itself, for pointing at."""
        return next((name for name, _ in self.entries if name.text == key), None)


Node = Scalar | Sequence | Mapping


@dataclass(slots=True)
class Document:
    """One file.

    root   its tree
    found  the problems so far, by the offset each belongs to
    cut    the problem that ended the reading; whatever follows was never seen
    lost   the problem for which nothing of it could be read, so that nobody knows what it holds
    """

    path: str
    text: str = ""
    root: Node | None = None
    found: list[tuple[int, Problem]] = field(default_factory=list)
    cut: Problem | None = None
    lost: Problem | None = None
    _starts: list[int] | None = None

    @classmethod
    def lost_to(cls, problem: Problem) -> Document:
        """What stands for a file that could not be read."""
        return cls(problem.path or "", found=[(0, problem)], lost=problem)

    def report(self, code: str, where: Node | int, message: str, remedy: str, *, width: int = 1) -> Problem | None:
        """Add a problem at a node or an offset; none at a node that was refused already."""
        start, end = (where, where + width) if isinstance(where, int) else (where.start, where.start + 1)
        if isinstance(where, Scalar):
            if where.refused:
                return None
            end = where.end
        line, column, excerpt = self._place(start)
        if len(excerpt) > MAX_SHOWN:
            problem = Problem(code, message, remedy, self.path, line, column)
        else:
            shown = max(1, min(end - start, len(excerpt) - column + 1))
            problem = Problem(code, message, remedy, self.path, line, column, excerpt, shown)
        insort(self.found, (start, problem), key=itemgetter(0))
        return problem

    def problems(self) -> tuple[Problem, ...]:
        """Every problem found, in file order."""
        return tuple(problem for _, problem in self.found)

    def problems_between(self, start: int, end: int) -> tuple[Problem, ...]:
        """The problems found in a stretch of the text."""
        first = bisect_left(self.found, start, key=itemgetter(0))
        last = bisect_left(self.found, end, key=itemgetter(0))
        return tuple(problem for _, problem in self.found[first:last])

    def source(self, offset: int) -> str:
        """What stands from an offset to the end of its line, without a comment."""
        match = _SOURCE.match(self.text, offset)
        return match[0].strip() if match else ""

    def comment(self, offset: int) -> str:
        """The comment that starts behind an offset, or nothing; comments are seen only here."""
        match = _COMMENT.match(self.text, offset)
        return match[1].strip() if match else ""

    def line_number(self, offset: int) -> int:
        """The 1-based line of an offset."""
        return self._place(offset)[0]

    def _place(self, offset: int) -> tuple[int, int, str]:
        """Line, column and the line's text."""
        if self._starts is None:
            self._starts = [0, *(match.end() for match in _LINE_BREAK.finditer(self.text))]
        line = bisect_right(self._starts, offset) - 1
        start = self._starts[line]
        end = self._starts[line + 1] if line + 1 < len(self._starts) else len(self.text)
        # A line too long to show is not copied whole either.
        return line + 1, offset - start + 1, self.text[start : min(end, start + MAX_SHOWN + 3)].rstrip("\r\n")
