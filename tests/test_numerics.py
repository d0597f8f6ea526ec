"""The root finder against closed forms and scipy; polynomials against a plain sum."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from balancer.errors import BalancerError
from balancer.numerics import RootError, find_root, polynomial

if TYPE_CHECKING:
    from collections.abc import Callable


class Counted:
    """A function that remembers how often it was called."""

    def __init__(self, f: Callable[[float], float]) -> None:
        self.f = f
        self.calls = 0

    def __call__(self, x: float) -> float:
        self.calls += 1
        return self.f(x)


HARD: dict[str, tuple[Callable[[float], float], float, float]] = {
    "line": (lambda x: 3.0 * x - 1.0, -10.0, 10.0),
    "cosine": (lambda x: math.cos(x) - x, 0.0, 1.0),
    "exponential": (lambda x: math.exp(x) - 2.0, -50.0, 50.0),
    "ninth power": (lambda x: x**9 - 1e-9, -1.0, 4.0),
    "steep then flat": (lambda x: math.atan(1e6 * (x - 0.3)), -1.0, 100.0),
    "step": (lambda x: -1.0 if x < 0.7 else 1.0, 0.0, 1.0),
    "logarithm": (lambda x: math.log(x) + 20.0, 1e-12, 1.0),
    "falling": (lambda x: 1.0 / x - 7.0, 0.01, 100.0),
}


@pytest.mark.parametrize("name", HARD)
def test_root_agrees_with_brentq(name: str) -> None:
    f, low, high = HARD[name]

    assert find_root(f, low, high) == pytest.approx(brentq(f, low, high, xtol=1e-13), rel=1e-11, abs=2e-12)


@pytest.mark.parametrize("name", HARD)
def test_root_lies_within_the_tolerance_of_a_change_of_sign(name: str) -> None:
    f, low, high = HARD[name]
    root = find_root(f, low, high, tolerance=1e-6)

    assert f(max(low, root - 1e-6)) * f(min(high, root + 1e-6)) <= 0.0


@pytest.mark.parametrize("name", HARD)
def test_even_hard_functions_take_fewer_evaluations_than_twice_bisection(name: str) -> None:
    f, low, high = HARD[name]
    counted = Counted(f)
    find_root(counted, low, high)

    assert counted.calls <= 2 * math.ceil(math.log2((high - low) / 1e-12))


def test_a_smooth_function_takes_no_more_evaluations_than_brentq() -> None:
    ours, theirs = Counted(lambda x: x * (1.0 + 0.2 * x) - 0.37), Counted(lambda x: x * (1.0 + 0.2 * x) - 0.37)
    find_root(ours, 0.0, 1.0)
    brentq(theirs, 0.0, 1.0, xtol=1e-12)

    assert ours.calls <= theirs.calls


@given(root=st.floats(-1e3, 1e3), width=st.floats(1e-3, 1e3), slope=st.floats(-5.0, 5.0))
def test_any_monotonic_cubic_is_solved(root: float, width: float, slope: float) -> None:
    def f(x: float) -> float:
        return (x - root) * (1.0 + math.exp(slope) * (x - root) ** 2)

    assert find_root(f, root - width, root + 2.0 * width) == pytest.approx(root, rel=1e-12, abs=1e-11)


def test_limits_may_be_given_in_either_order() -> None:
    assert find_root(lambda x: x - 0.25, 1.0, 0.0) == 0.25


@pytest.mark.parametrize(("low", "high"), [(2.0, 5.0), (-3.0, 2.0)])
def test_a_root_at_either_end_is_returned_exactly(low: float, high: float) -> None:
    assert find_root(lambda x: x - 2.0, low, high) == 2.0


def test_no_change_of_sign_is_a_named_error_with_its_numbers() -> None:
    with pytest.raises(RootError, match="do not bracket") as caught:
        find_root(lambda x: x * x + 1.0, -1.0, 2.0)

    error = caught.value
    assert isinstance(error, BalancerError)
    assert (error.low, error.high, error.value_low, error.value_high) == (-1.0, 2.0, 2.0, 5.0)
    assert error.evaluations == 2


@pytest.mark.parametrize("bad_at", [0.0, 1.0])
def test_nan_at_an_end_is_not_a_bracket(bad_at: float) -> None:
    with pytest.raises(RootError, match="do not bracket"):
        find_root(lambda x: math.nan if x == bad_at else x - 0.5, 0.0, 1.0)


def test_nan_on_the_way_is_a_named_error() -> None:
    with pytest.raises(RootError, match="not a number") as caught:
        find_root(lambda x: x - 0.5 if x in {0.0, 1.0} else math.nan, 0.0, 1.0)

    assert (caught.value.low, caught.value.high) == (0.0, 1.0)


def test_giving_up_is_a_named_error_with_the_last_bracket() -> None:
    flips = Counted(lambda x: x)  # never settles: the sign at a point depends on how often it was asked

    def restless(x: float) -> float:
        flips(x)
        return -1.0 if x == 0.0 else 1.0 if x == 1.0 else -(x**300)

    with pytest.raises(RootError, match="no convergence") as caught:
        find_root(restless, 0.0, 1.0, tolerance=-1.0)

    assert caught.value.evaluations == flips.calls == 200


@given(st.lists(st.floats(-1e3, 1e3), max_size=12), st.floats(-2.0, 2.0))
def test_polynomial_is_the_plain_sum(coefficients: list[float], x: float) -> None:
    plain = math.fsum(c * x**power for power, c in enumerate(coefficients))

    assert polynomial(coefficients, x) == pytest.approx(plain, rel=1e-9, abs=1e-9)
