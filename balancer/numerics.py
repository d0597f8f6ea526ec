"""Numerical methods, each small enough to read: polynomials and a bracketed root."""

from __future__ import annotations

from math import isnan
from typing import TYPE_CHECKING, Final

from balancer.errors import CannotError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_MAX_EVALUATIONS: Final = 200
_ROUNDING: Final = 4.0 * 2.0**-53


class RootError(CannotError):
    """No root was found.

    low, high, value_low, value_high and evaluations stay readable as attributes; they describe the last bracket.
    """

    def __init__(
        self, reason: str, low: float, high: float, value_low: float, value_high: float, evaluations: int
    ) -> None:
        self.low = low
        self.high = high
        self.value_low = value_low
        self.value_high = value_high
        self.evaluations = evaluations
        super().__init__(
            "no-root",
            f"{reason}: {value_low:g} at {low:g} and {value_high:g} at {high:g} after {evaluations} evaluations",
            "give limits between which the answer lies",
        )


def polynomial(coefficients: Sequence[float], x: float) -> float:
    """coefficients[0] + coefficients[1] x + coefficients[2] x² + …, by Horner's rule.

    >>> polynomial((1.0, 2.0, 3.0), 10.0)
    321.0
    """
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def find_root(f: Callable[[float], float], low: float, high: float, *, tolerance: float = 1e-12) -> float:
    """The x between low and high where f(x) is zero.

    f          continuous, with opposite signs at the two ends, or zero at one of them
    tolerance  the root is known this well in x, or to the rounding of a float if that is coarser
    Source:    [CHANDRUPATLA]; the first step is a secant instead of a bisection, because the
               formulas inverted here are nearly straight
    Raises:    RootError when the ends do not bracket a root, f is nan, or 200 evaluations do not suffice

    >>> find_root(lambda x: x * x - 4.0, 0.0, 10.0)
    2.0
    """
    a, b = low, high
    fa, fb = f(a), f(b)
    if fa == 0.0:
        return a
    if fb == 0.0:
        return b
    if not (fa < 0.0 < fb or fb < 0.0 < fa):
        raise RootError("the ends do not bracket a root", low, high, fa, fb, 2)
    step = fa / (fa - fb)
    for evaluations in range(3, _MAX_EVALUATIONS + 1):
        x = a + step * (b - a)
        fx = f(x)
        if fx == 0.0:
            return x
        if isnan(fx):
            raise RootError("not a number on the way", a, b, fa, fb, evaluations)
        # b always stays on the other side of the root from the newest point a; c is the point left behind.
        if (fx < 0.0) == (fa < 0.0):
            c, fc = a, fa
        else:
            c, fc, b, fb = b, fb, a, fa
        a, fa = x, fx
        best = a if abs(fa) < abs(fb) else b
        smallest_step = (0.5 * tolerance + _ROUNDING * abs(best)) / abs(b - a)
        if smallest_step > 0.5:
            return best
        step = _next_step(a, b, c, fa, fb, fc)
        step = min(1.0 - smallest_step, max(smallest_step, step))
    raise RootError("no convergence", a, b, fa, fb, evaluations)


def _next_step(a: float, b: float, c: float, fa: float, fb: float, fc: float) -> float:
    """Fraction of the way from a to b: inverse quadratic where it is safe, else half."""
    xi = (a - b) / (c - b)
    phi = (fa - fb) / (fc - fb)
    if phi * phi < xi and (1.0 - phi) * (1.0 - phi) < 1.0 - xi:
        return fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5
