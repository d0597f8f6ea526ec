"""How fast the search for jigger pours is, against a general solver, and what rounding would have cost.

Run it with `python -m tests.benchmarks.jigger_search`. The problems are made up: six free pours of a drink whose
sugar, acid, volume, alcohol and sweetness are held. Scipy solves a form of its own, the sum of absolute instead
of squared changes, because that is what a mixed-integer solver can take; so the times compare and the answers do not.
"""

from __future__ import annotations

import random
import statistics
import time
from typing import TYPE_CHECKING

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from balancer.numerics import GridPoint, LeastSquares

if TYPE_CHECKING:
    from collections.abc import Callable

POURS = 6
STEP_ML = 2.5
PROBLEMS = 400
SOLVED_BY_SCIPY = 60
WEIGHTS_PERCENT = (5.0, 10.0, 5.0, 5.0, 5.0)


class Problem:
    """Six pours that bring sugar, acid, volume, ethanol and sweetness, wanted as another set of pours has them."""

    def __init__(self, rng: random.Random) -> None:
        self.written = [STEP_ML * rng.randint(3, 18) for _ in range(POURS)]
        wanted = [ml * rng.uniform(0.6, 1.4) for ml in self.written]
        sugar = [rng.choice([0.0, 0.1, 0.6, 0.88]) * rng.uniform(0.9, 1.1) for _ in range(POURS - 1)] + [0.6]
        acid = [rng.choice([0.0, 0.01, 0.05]) * rng.uniform(0.9, 1.1) for _ in range(POURS - 1)] + [0.048]
        ethanol = [rng.choice([0.0, 0.16, 0.32]) for _ in range(POURS - 1)] + [0.3]
        sweetness = [grams * rng.uniform(0.9, 1.1) for grams in sugar]
        brought = (sugar, acid, [1.0] * POURS, ethanol, sweetness)
        self.rows, self.target = [], []
        for per_ml, weight in zip(brought, WEIGHTS_PERCENT, strict=True):
            total = sum(grams * ml for grams, ml in zip(per_ml, wanted, strict=True))
            self.rows.append([100.0 * grams / total / weight for grams in per_ml])
            self.target.append(100.0 / weight)
        self.ridge = [0.01 / STEP_ML**2] * POURS

    def squares(self) -> LeastSquares:
        return LeastSquares(self.rows, self.target, self.ridge, self.written)

    def rounded(self) -> tuple[float, GridPoint]:
        """The continuous answer rounded pour by pour, and its cost."""
        squares = self.squares()
        values = tuple([STEP_ML * max(1, round(x / STEP_ML)) for x in squares.minimum])
        return squares.cost(values), GridPoint(values, squares.cost(values))

    def searched(self) -> GridPoint:
        """The best of all positive multiples of the step: the ridge bound makes them finite."""
        squares = self.squares()
        values = [STEP_ML * max(1, round(x / STEP_ML)) for x in squares.minimum]
        grid = []
        for low, high in squares.box(squares.cost(values)):
            first, last = max(1, -int(-low // STEP_ML)), max(1, int(high // STEP_ML))
            grid.append([STEP_ML * count for count in range(first, last + 1)])
        return squares.best(grid)

    def by_scipy(self) -> None:
        """The same pours and weights with absolute changes: slack u >= |row . x - target|, v >= steps from written."""
        held = len(self.rows)
        cost = np.concatenate([np.zeros(POURS), np.ones(held), np.full(POURS, 0.1)])
        rows, target = np.array(self.rows) * STEP_ML, np.array(self.target)
        steps, written = np.eye(POURS), np.array(self.written) / STEP_ML
        above = np.block([[rows, -np.eye(held), np.zeros((held, POURS))], [steps, np.zeros((POURS, held)), -steps]])
        below = np.block([[-rows, -np.eye(held), np.zeros((held, POURS))], [-steps, np.zeros((POURS, held)), -steps]])
        answer = milp(
            cost,
            constraints=[
                LinearConstraint(above, ub=np.concatenate([target, written])),
                LinearConstraint(below, ub=np.concatenate([-target, -written])),
            ],
            integrality=np.concatenate([np.ones(POURS), np.zeros(held + POURS)]),
            bounds=Bounds(np.concatenate([np.ones(POURS), np.zeros(held + POURS)]), np.inf),
        )
        assert answer.success, answer.message


def median_ms(work: Callable[[Problem], object], problems: list[Problem]) -> float:
    times = []
    for problem in problems:
        start = time.perf_counter()
        work(problem)
        times.append(1000.0 * (time.perf_counter() - start))
    return statistics.median(times)


def main() -> None:
    rng = random.Random(2026)  # noqa: S311 - the same problems at every run
    problems = [Problem(rng) for _ in range(PROBLEMS)]
    ours = median_ms(Problem.searched, problems)
    theirs = median_ms(Problem.by_scipy, problems[:SOLVED_BY_SCIPY])
    losses = [problem.rounded()[0] - problem.searched().cost for problem in problems]
    worse = [loss for loss in losses if loss > 1e-9]
    print(f"{POURS} free pours, {PROBLEMS} problems: median {ours:.2f} ms; wanted: under 1 ms")
    print(f"scipy.optimize.milp on absolute changes: median {theirs:.1f} ms, {theirs / ours:.0f} times as long")
    print(f"rounding pour by pour is worse in {100 * len(worse) / len(losses):.0f} % of them")
    if worse:
        print(
            f"  there the sum of squares is higher by {statistics.median(worse):.2f} (median), {max(worse):.1f} (most)"
        )
        print("  for scale: one quantity off by its whole weight, like sugar by 5 %, is 1")


if __name__ == "__main__":
    main()
