"""What can go wrong, as values: a Problem for a person, and the exceptions that carry it.

Nothing here prints. A front end decides how a Problem is shown.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Final

DOUBT: Final = "doubt"
ZERO_PROOF_UNKNOWN: Final = "zero-proof-unknown"
DOUBTS: Final = frozenset((DOUBT, ZERO_PROOF_UNKNOWN))
"""The codes of what may be meant and is rather a slip: it is told first, and what it is about counts all the same."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing a person has to mend, said so that they can.

    code     stable name of the kind of problem, e.g. "unknown-key"
    message  what is wrong, with the value, in kitchen words
    remedy   what to do about it
    path     the file as the user named it, or None when it is not about a file
    line     1-based line, column 1-based column in characters, or None
    excerpt  the user's own line, unchanged
    width    how many characters of it are meant (for the caret)
    """

    code: str
    message: str
    remedy: str
    path: str | None = None
    line: int | None = None
    column: int | None = None
    excerpt: str | None = None
    width: int = 1

    def __str__(self) -> str:
        """Where it is, what is wrong, and what to do, in a line."""
        place = ":".join(str(each) for each in (self.path, self.line, self.column) if each is not None)
        return f"{f'{place}: ' if self.line else ''}{self.message}{f'; {self.remedy}' if self.remedy else ''}"

    @property
    def same_as(self) -> tuple[str | None, int | None, str]:
        """What stays the same of a problem when files beside it change: its remedy may name what is new there."""
        return self.path, self.line, self.code

    @property
    def is_doubt(self) -> bool:
        """Whether it may be meant: what it is about counts all the same."""
        return self.code in DOUBTS


class BalancerError(Exception):
    """Base of every error raised on purpose. Its text is that of its problems, one a line; it can be pickled."""

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        return (Problem(code="cannot", message=super().__str__(), remedy=""),)

    def __str__(self) -> str:
        return "\n".join(map(str, self.problems()))

    def __reduce__(self) -> tuple[Callable[..., BalancerError], tuple[object, ...]]:
        """What is raised in another process arrives as it was: what an error is made of is not what it keeps."""
        return _again, (type(self), self.args, vars(self))


def _again(kind: type[BalancerError], args: tuple[object, ...], held: Mapping[str, object]) -> BalancerError:
    """An error as it was when it was pickled."""
    error = kind.__new__(kind, *args)
    vars(error).update(held)
    return error


class OutOfRangeError(BalancerError, ValueError):
    """A formula was asked beyond the range its source gives. Never clamped, never extrapolated.

    quantity, value, low, high, unit, source and remedy stay readable as attributes.
    """

    def __init__(
        self, quantity: str, value: float, low: float, high: float, unit: str, *, source: str, remedy: str
    ) -> None:
        self.quantity = quantity
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        self.source = source
        self.remedy = remedy
        super().__init__(
            f"{quantity} of {value:g} {unit} is outside {low:g} to {high:g} {unit}, where [{source}] holds; {remedy}"
        )

    def __str__(self) -> str:
        """With the source of the formula."""
        return str(self.args[0])

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        message = f"{self.quantity} of {self.value:g} {self.unit} is outside {self.low:g} to {self.high:g} {self.unit}"
        return (Problem(code="out-of-range", message=message, remedy=self.remedy),)


class QuantityError(BalancerError, ValueError):
    """Text that should be an amount with a unit and is not.

    code, text, reason and remedy stay readable as attributes.
    """

    def __init__(self, code: str, text: str, reason: str, remedy: str) -> None:
        self.code = code
        self.text = text
        self.reason = reason
        self.remedy = remedy
        super().__init__(f"{reason}; {remedy}")

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        return (Problem(code=self.code, message=self.reason, remedy=self.remedy),)


class CannotError(BalancerError):
    """The question is understood but has no answer; the remedy says what would have one."""

    def __init__(self, code: str, message: str, remedy: str) -> None:
        self.code = code
        self.message = message
        self.remedy = remedy
        super().__init__(message)

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        return (Problem(code=self.code, message=self.message, remedy=self.remedy),)


class UsageError(CannotError):
    """The command line asks for something that does not exist; exit code 2."""


class ProblemsError(BalancerError):
    """Several problems at once, from a person's files."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self._problems = tuple(problems)
        super().__init__("; ".join(problem.message for problem in self._problems))

    def problems(self) -> tuple[Problem, ...]:
        """The error as problems for a person."""
        return self._problems
