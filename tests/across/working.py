"""A pencil that reads any line of working: it looks for `a = b = c`, and works both sides from what is printed.

A printed number stands for every number that is printed so; what a person gave stands for itself. Units and words
are passed over. An equation is true when both sides can be the same number.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator
from dataclasses import dataclass
from math import sqrt
from typing import Final

from tests.output.working.calculator import COEFFICIENTS

_NUMBER: Final = r"[0-9]+(?:\.[0-9]+)?"
_TOKEN: Final = re.compile(rf"(?P<number>{_NUMBER})(?P<percent> ?%)?|(?P<sign>[×÷+−√²()])|(?P<word>[^\W\d][^\s()²√]*)")
_ASIDE: Final = re.compile(r"\([^()0-9]*\)")
_LABEL: Final = re.compile(r"^.*: ")
_WHOLE: Final = {"0", "1", "2", "100", "1000"}
"""Counts, percents and grams in a kilogram: never the rounding of something else."""


class NoSuchSumError(Exception):
    """Tokens that are no sum: somewhere in a text an expression begins, and it is not here."""


@dataclass(frozen=True, slots=True)
class Span:
    """All the numbers that a printed one, or what is worked from it, may stand for."""

    low: float
    high: float

    def __add__(self, other: Span) -> Span:
        return Span(self.low + other.low, self.high + other.high)

    def __neg__(self) -> Span:
        return Span(-self.high, -self.low)

    def __mul__(self, other: Span) -> Span:
        ends = [a * b for a in (self.low, self.high) for b in (other.low, other.high)]
        return Span(min(ends), max(ends))

    def over(self, other: Span) -> Span:
        if other.low <= 0.0 <= other.high:
            raise NoSuchSumError("division by what may be zero")
        return self * Span(1.0 / other.high, 1.0 / other.low)

    def wider(self, by: float) -> Span:
        return Span(self.low - by, self.high + by)

    def meets(self, other: Span) -> bool:
        return self.low <= other.high + 1e-12 and other.low <= self.high + 1e-12


@dataclass(frozen=True, slots=True)
class Equation:
    """What a line claims: its sides, each with the span of what it comes to."""

    line: str
    sides: tuple[Span, ...]
    result: str

    @property
    def is_true(self) -> bool:
        return all(one.meets(next_one) for one, next_one in zip(self.sides, self.sides[1:], strict=False))


def whole_lines(lines: Iterable[str]) -> list[str]:
    """Lines with what runs on put back: it begins with a sign."""
    whole: list[str] = []
    for line in lines:
        if whole and re.match(r"\s*[+−×÷] ", line):
            whole[-1] += f" {line.strip()}"
        else:
            whole.append(line)
    return whole


def equations(lines: Iterable[str], given: Container[str]) -> Iterator[Equation]:
    """Every equation of some working. One that nobody can read is an error; formulas in words are none."""
    for line in whole_lines(lines):
        sides = _ASIDE.sub("", line).split(" = ")
        if len(sides) < 2 or not all(re.search("[0-9]", side) for side in sides):
            continue
        first, *rest = sides
        spans = [_last_sum(_LABEL.sub("", first), given)]
        spans += [_first_sum(side, given) for side in rest[:-1]]
        result = rest[-1].partition(";")[0]
        yield Equation(line, (*spans, _printed(result)), result)


def numbers_in(*texts: str) -> set[str]:
    """Every number that texts give, as it would be printed: plain, or grams of a kilogram as a share."""
    found = {float(match) for text in texts for match in re.findall(_NUMBER, text)}
    return {f"{number:.6f}".rstrip("0").rstrip(".") for one in found for number in (one, one / 1000.0)}


def _tokens(text: str) -> list[str]:
    return [match[0] for match in _TOKEN.finditer(text) if not match["word"]]


def _last_sum(text: str, given: Container[str]) -> Span:
    """The longest sum that ends a text: `1.04 °Bx off is worth 1300 g × 1.04 ÷ 50` is about 1300 × 1.04 ÷ 50."""
    tokens = _tokens(text)
    for start in range(len(tokens)):
        try:
            return _Sum(tokens[start:], given).whole()
        except NoSuchSumError:
            continue
    raise NoSuchSumError(text)


def _first_sum(text: str, given: Container[str]) -> Span:
    tokens = _tokens(text)
    for end in range(len(tokens), 0, -1):
        try:
            return _Sum(tokens[:end], given).whole()
        except NoSuchSumError:
            continue
    raise NoSuchSumError(text)


def _printed(result: str) -> Span:
    """A result: where zeros at the end are left out it is still printed to so many places."""
    match = re.match(rf"\s*(−?)({_NUMBER})\s*(%|°Bx)?", result)
    if match is None:
        raise NoSuchSumError(result)
    half = 0.5 * 10.0 ** -len(match[2].partition(".")[2])
    half = {"%": min(half, 0.05), "°Bx": min(half, 0.005)}.get(match[3] or "", half)
    value, per = float(match[2]) * (-1.0 if match[1] else 1.0), 0.01 if match[3] == "%" else 1.0
    return Span(value * per, value * per).wider(half * per)


class _Sum:
    """Reads tokens as a sum of products."""

    def __init__(self, tokens: list[str], given: Container[str]) -> None:
        self._tokens, self._given, self._at = tokens, given, 0

    def whole(self) -> Span:
        found = self._terms()
        if self._at != len(self._tokens):
            raise NoSuchSumError(self._tokens)
        return found

    def _next(self, *wanted: str) -> str | None:
        if self._at < len(self._tokens) and self._tokens[self._at] in wanted:
            self._at += 1
            return self._tokens[self._at - 1]
        return None

    def _terms(self) -> Span:
        total = -self._factors() if self._next("−") else self._factors()
        while sign := self._next("+", "−"):
            term = self._factors()
            total += term if sign == "+" else -term
        return total

    def _factors(self) -> Span:
        total = self._factor()
        while sign := self._next("×", "÷"):
            factor = self._factor()
            total = total * factor if sign == "×" else total.over(factor)
        return total

    def _factor(self) -> Span:
        found = self._atom()
        return found * found if self._next("²") else found

    def _atom(self) -> Span:
        if self._next("√"):
            inside = self._atom()
            return Span(sqrt(max(inside.low, 0.0)), sqrt(max(inside.high, 0.0)))
        if self._next("("):
            inside = self._terms()
            if not self._next(")"):
                raise NoSuchSumError(self._tokens)
            return inside
        if self._at == len(self._tokens) or not self._tokens[self._at][0].isdigit():
            raise NoSuchSumError(self._tokens)
        self._at += 1
        return self._number(self._tokens[self._at - 1])

    def _number(self, token: str) -> Span:
        number, per = token.rstrip(" %"), 0.01 if token.endswith("%") else 1.0
        places = len(number.partition(".")[2])
        is_given = number in COEFFICIENTS or number in _WHOLE or (number in self._given and places != 2)
        half = 0.0 if is_given else 0.5 * 10.0 ** -max(places, 2)  # two places are grams, and none are given
        return Span((float(number) - half) * per, (float(number) + half) * per)
