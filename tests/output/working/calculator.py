"""A pocket calculator for printed working: it knows nothing but what stands on the paper.

A printed number stands for every number that is printed so: it is off by at most half its last digit. What a
person gave (a pour, a strength) stands for itself. Working is right when the printed result lies within what
the printed numbers can give.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable
from dataclasses import dataclass

from balancer.properties.dilution import RELATIONS

_TOKEN = re.compile(r"(?P<number>[0-9]+(?:\.[0-9]+)?)(?P<percent> ?%)?|(?P<sign>[×÷+−()])")
COEFFICIENTS = {f"{abs(value):g}" for row in RELATIONS.values() for value in (row.constant, row.linear, row.square)}
"""Published coefficients, printed in full."""


@dataclass(frozen=True)
class Range:
    """All the numbers a printed one may stand for."""

    low: float
    high: float

    def __add__(self, other: Range) -> Range:
        return Range(self.low + other.low, self.high + other.high)

    def __sub__(self, other: Range) -> Range:
        return Range(self.low - other.high, self.high - other.low)

    def __mul__(self, other: Range) -> Range:
        ends = [a * b for a in (self.low, self.high) for b in (other.low, other.high)]
        return Range(min(ends), max(ends))

    def __truediv__(self, other: Range) -> Range:
        assert other.low > 0
        return self * Range(1 / other.high, 1 / other.low)


@dataclass(frozen=True)
class Equation:
    """One line of working: `label: expression = result`."""

    line: str
    expression: str
    result: str

    def tokens(self) -> list[str]:
        return [match[0] for match in _TOKEN.finditer(self.expression)]

    def inputs(self) -> list[str]:
        """The printed numbers that the expression is worked from."""
        return [match["number"] for match in _TOKEN.finditer(self.expression) if match["number"]]

    def value(self, given: Container[str]) -> Range:
        """What a calculator gives, with the rounding of the printed numbers; the given ones are exact."""
        tokens = self.tokens()
        found = _sum(tokens, given)
        assert tokens == [], f"cannot be worked: {self.line}"
        return found

    def printed(self) -> float:
        return float(re.match(r" *(−?)([0-9.]+)", self.result).expand(r"\1\2").replace("−", "-"))  # type: ignore[union-attr]

    def half_digit(self, percent_digits: int) -> float:
        """Half of the last digit that the result is printed to; zeros at the end of a percentage are left out."""
        places = percent_digits if "%" in self.result else _decimals(self.result.split()[0])
        return 0.5 * 10.0**-places


def joined(lines: Iterable[str]) -> list[str]:
    """Lines with what runs on put back; it begins with a plus."""
    whole: list[str] = []
    for line in lines:
        if line.lstrip().startswith("+ "):
            whole[-1] += f" {line.strip()}"
        else:
            whole.append(line)
    return whole


def equation(line: str) -> Equation | None:
    """The equation of a line, if it holds one."""
    left, equals, right = line.partition(" = ")
    if not equals:
        return None
    expression = left.rpartition(": ")[2]
    return Equation(line, expression, right.partition(";")[0].strip())


def _decimals(number: str) -> int:
    return len(number.partition(".")[2])


def _half(number: str, given: Container[str]) -> float:
    """How far a printed number may be from what it stands for.

    Densities and shares have four places, grams two. Whole numbers are counts and the like (1000 g in a kg),
    and with one or three places stands only what a person gave.
    """
    places = _decimals(number)
    return 0.5 * 10.0**-places if places >= 2 and number not in given and number not in COEFFICIENTS else 0.0


def _sum(tokens: list[str], given: Container[str]) -> Range:
    total = _product(tokens, given)
    while tokens and tokens[0] in "+−":
        sign, term = tokens.pop(0), _product(tokens, given)
        total = total + term if sign == "+" else total - term
    return total


def _product(tokens: list[str], given: Container[str]) -> Range:
    total = _factor(tokens, given)
    while tokens and tokens[0] in "×÷":
        sign, factor = tokens.pop(0), _factor(tokens, given)
        total = total * factor if sign == "×" else total / factor
    return total


def _factor(tokens: list[str], given: Container[str]) -> Range:
    first = tokens.pop(0)
    if first == "−":
        return Range(0.0, 0.0) - _factor(tokens, given)
    if first == "(":
        inside = _sum(tokens, given)
        assert tokens.pop(0) == ")"
        return inside
    number = first.rstrip(" %")
    per, half = 0.01 if first.endswith("%") else 1.0, _half(number, given)
    return Range((float(number) - half) * per, (float(number) + half) * per)
