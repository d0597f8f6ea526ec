"""Least squares on a grid against full enumeration; the settled answer against closed forms and numpy."""

from __future__ import annotations

import itertools
import math
import random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import lsq_linear

from balancer.errors import CannotError
from balancer.numerics import LeastSquares, settle
from tests.examples import examples

if TYPE_CHECKING:
    from collections.abc import Sequence

STEP_ML = 2.5


class Problem:
    """Pours of a made-up drink: a few held quantities, the pours nearest to right, and the written ones."""

    def __init__(self, rng: random.Random, pours: int) -> None:
        held = rng.randint(1, pours)
        self.rows = [[rng.choice([0.0, 1.0]) * rng.uniform(0.1, 6.0) for _ in range(pours)] for _ in range(held)]
        self.written = [STEP_ML * rng.randint(2, 24) for _ in range(pours)]
        exact = [ml * rng.uniform(0.5, 1.6) for ml in self.written]
        self.target = [sum(a * x for a, x in zip(row, exact, strict=True)) for row in self.rows]
        self.ridge = [0.01 / STEP_ML**2] * pours
        self.squares = LeastSquares(self.rows, self.target, self.ridge, self.written)

    def grid(self, low: float, high: float) -> list[float]:
        """Positive multiples of the step between two limits, or the smallest."""
        first, last = math.ceil(low / STEP_ML), math.floor(high / STEP_ML)
        return [STEP_ML * count for count in range(max(1, first), max(1, last) + 1)]

    def near(self, reach: int) -> list[list[float]]:
        return [self.grid(x - reach * STEP_ML, x + reach * STEP_ML) for x in self.squares.minimum]

    def enumerated(self, candidates: Sequence[Sequence[float]]) -> float:
        """The least cost of all combinations, straight from the definition."""
        mesh = np.meshgrid(*[np.array(values) for values in candidates], indexing="ij")
        x = np.stack([axis.ravel() for axis in mesh])
        missed = np.array(self.rows) @ x - np.array(self.target)[:, None]
        held = np.array(self.ridge)[:, None] * (x - np.array(self.written)[:, None]) ** 2
        return float((np.sum(missed**2, axis=0) + np.sum(held, axis=0)).min())


def test_two_thousand_searches_find_what_full_enumeration_finds() -> None:
    rng = random.Random(7)  # noqa: S311 - the same problems at every run
    for number in range(2000):
        problem = Problem(rng, pours=3 + number % 2)
        candidates = problem.near(reach=3)

        found = problem.squares.best(candidates)

        assert found.cost == pytest.approx(problem.enumerated(candidates), rel=1e-9, abs=1e-12)
        assert all(value in values for value, values in zip(found.values, candidates, strict=True))


@pytest.mark.slow
def test_five_pours_find_what_every_pour_in_the_proven_box_has() -> None:
    """No multiple of the step outside the box can be better, so this is the best of all multiples."""
    rng = random.Random(11)  # noqa: S311 - the same problems at every run
    most = 2_000_000
    looked_at = 0
    while looked_at < 60:
        problem = Problem(rng, pours=5)
        rounded = problem.squares.best(problem.near(reach=1))
        candidates = [problem.grid(low, high) for low, high in problem.squares.box(rounded.cost)]
        if math.prod(map(len, candidates)) > most:
            continue
        looked_at += 1

        assert problem.squares.best(candidates).cost == pytest.approx(problem.enumerated(candidates), rel=1e-9)


def test_nothing_outside_the_box_is_better() -> None:
    rng = random.Random(3)  # noqa: S311 - the same problems at every run
    for _ in range(300):
        problem = Problem(rng, pours=3)
        best = problem.squares.best(problem.near(reach=1))
        for place, (low, high) in enumerate(problem.squares.box(best.cost)):
            for outside in (low - 1e-6, high + 1e-6):
                x = [*problem.squares.minimum]
                x[place] = outside
                assert problem.squares.cost(x) > best.cost


def test_the_minimum_is_that_of_numpy() -> None:
    rng = random.Random(5)  # noqa: S311 - the same problems at every run
    for _ in range(200):
        problem = Problem(rng, pours=4)
        stacked = np.vstack([problem.rows, np.diag(np.sqrt(problem.ridge))])
        right = np.concatenate([problem.target, np.sqrt(problem.ridge) * problem.written])
        expected = np.linalg.lstsq(stacked, right, rcond=None)[0]

        assert problem.squares.minimum == pytest.approx(expected.tolist(), rel=1e-6)


def test_without_rows_every_pour_stays_nearest_to_where_it_was() -> None:
    found = LeastSquares([], [], [1.0, 2.0], [3.2, 7.0]).best([[0.0, 3.0, 4.0], [5.0, 8.0]])

    assert found.values == (3.0, 8.0)
    assert found.cost == pytest.approx(0.04 + 2.0)


def test_one_candidate_each_is_the_answer_whatever_it_costs() -> None:
    found = LeastSquares([[1.0, 1.0]], [0.0], [1.0, 1.0], [0.0, 0.0]).best([[100.0], [-300.0]])

    assert found.values == (100.0, -300.0)


def test_a_variable_that_nothing_holds_is_refused() -> None:
    with pytest.raises(CannotError, match="ridge of 0 holds nothing"):
        LeastSquares([[1.0, 1.0]], [0.0], [1.0, 0.0], [0.0, 0.0])


@given(a=st.floats(1.0, 20.0), b=st.floats(0.5, 20.0))
def test_two_curved_equations_settle_to_their_root(a: float, b: float) -> None:
    """x + y and x² + y, whose root on the side of the start is known in closed form."""

    def residuals(x: Sequence[float]) -> list[float]:
        return [x[0] + x[1] - (a + b), x[0] ** 2 + x[1] - (a * a + b)]

    found = settle(residuals, [a + 1.0, b], [1.0, 1.0])

    assert found == pytest.approx((a, b), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("rows", [1, 2, 3, 5])
def test_straight_residuals_settle_to_least_squares_nearest_to_the_start(rows: int) -> None:
    """Fewer, as many and more residuals than variables: numpy's least-norm step from the start."""
    rng = np.random.default_rng(rows)
    for _ in range(20):
        matrix, right, start = rng.normal(size=(rows, 3)), rng.normal(size=rows), rng.normal(size=3)

        def residuals(x: Sequence[float], matrix: Any = matrix, right: Any = right) -> list[float]:
            return [float(value) for value in matrix @ np.array(x) - right]

        expected = start + np.linalg.lstsq(matrix, right - matrix @ start, rcond=None)[0]
        assert settle(residuals, start.tolist(), [1.0, 1.0, 1.0]) == pytest.approx(expected.tolist(), abs=1e-7)


def test_what_never_settles_is_a_named_error() -> None:
    with pytest.raises(CannotError, match="keep moving"):
        settle(lambda x: [math.copysign(math.sqrt(abs(x[0])), x[0])], [1.0], [1.0])


def test_every_combination_is_reachable() -> None:
    """Whatever point is right is found: no branch is lost at the edges of the candidates."""
    values = [1.0, 2.0, 4.0, 7.0]
    for point in itertools.product(values, repeat=3):
        assert LeastSquares([], [], [1.0] * 3, point).best([values] * 3).values == point


@given(data=st.data(), count=st.integers(1, 7))
@settings(max_examples=examples(150))
def test_above_a_floor_it_is_what_scipy_finds(data: st.DataObject, count: int) -> None:
    """Straight residuals, more of them than variables: lsq_linear of scipy as second opinion."""
    number = st.integers(-40, 40).map(lambda tenths: tenths / 10.0)
    rows = [[data.draw(number) for _ in range(count)] for _ in range(count + 2)]
    for j in range(count):
        rows[j][j] += 9.0  # well posed, so that the answer is one
    target = [data.draw(number) for _ in rows]
    floor = [data.draw(number) for _ in range(count)]
    start = [low + 1.0 for low in floor]

    def residuals(x: Sequence[float]) -> list[float]:
        return [
            sum(a * value for a, value in zip(row, x, strict=True)) - b for row, b in zip(rows, target, strict=True)
        ]

    found = settle(residuals, start, [1.0] * count, floor)

    other = lsq_linear(rows, target, (floor, [math.inf] * count), tol=1e-12)
    assert all(value >= low - 1e-9 for value, low in zip(found, floor, strict=True))
    assert sum(miss * miss for miss in residuals(found)) <= 2.0 * other.cost + 1e-6 * (1.0 + other.cost)


def test_a_floor_that_is_not_reached_changes_nothing() -> None:
    def residuals(x: Sequence[float]) -> list[float]:
        return [x[0] + x[1] - 3.0, x[0] - x[1] - 1.0]

    assert settle(residuals, [5.0, 5.0], [1.0, 1.0], [0.0, 0.0]) == pytest.approx((2.0, 1.0), abs=1e-9)
    assert settle(residuals, [5.0, 5.0], [1.0, 1.0], [0.0, 1.5]) == pytest.approx((2.0, 1.5), abs=1e-5)
