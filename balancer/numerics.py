"""Numerical methods, each small enough to read: polynomials, a bracketed root, least squares on a grid."""

from __future__ import annotations

from bisect import bisect_left
from math import inf, isnan, sqrt
from typing import TYPE_CHECKING, Final, NamedTuple

from balancer.errors import CannotError

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_MAX_EVALUATIONS: Final = 200
_ROUNDING: Final = 4.0 * 2.0**-53
_SLOPE_STEP: Final = 1e-3
_DAMPING: Final = 1e-6
_GAIN: Final = 1e-12


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


class GridPoint(NamedTuple):
    """The best point of a grid: one candidate for each variable, and the least sum of squares."""

    values: tuple[float, ...]
    cost: float


class LeastSquares:
    """A sum of squares in a few variables, each held near a place of its own:

        f(x) = sum over rows i of (rows[i] . x - target[i])^2  +  sum over variables j of ridge[j] (x[j] - centre[j])^2

    rows    one row of coefficients for each residual; there may be fewer rows than variables, or none
    ridge   above zero for every variable, so that f has one minimum
    Raises CannotError when ridge is not above zero.
    """

    def __init__(
        self,
        rows: Sequence[Sequence[float]],
        target: Sequence[float],
        ridge: Sequence[float],
        centre: Sequence[float],
    ) -> None:
        if not all(weight > 0.0 for weight in ridge):
            raise CannotError("ridge", f"a ridge of {min(ridge):g} holds nothing", "give a weight above zero")
        self._rows, self._target, self._ridge, self._centre = rows, target, ridge, centre
        places = range(len(ridge))
        normal = [[sum([row[j] * row[k] for row in rows]) for k in range(j + 1)] for j in places]
        right = [ridge[j] * centre[j] + sum([row[j] * b for row, b in zip(rows, target, strict=True)]) for j in places]
        for j in places:
            normal[j][j] += ridge[j]
        self._lower = _cholesky(normal)
        self.minimum = tuple(_solve_cholesky(self._lower, right))

    def cost(self, x: Sequence[float]) -> float:
        """f(x).

        >>> LeastSquares([[1.0, 1.0]], [3.0], [1.0, 1.0], [0.0, 0.0]).cost([1.0, 1.0])
        3.0
        """
        missed = [
            sum([a * value for a, value in zip(row, x, strict=True)]) - b
            for row, b in zip(self._rows, self._target, strict=True)
        ]
        held = [weight * (value - c) ** 2 for weight, value, c in zip(self._ridge, x, self._centre, strict=True)]
        return sum([miss * miss for miss in missed]) + sum(held)

    def box(self, cost: float) -> list[tuple[float, float]]:
        """The ridge bound: for each variable the limits outside of which f is above a cost.

        f is nowhere below ridge[j] (x[j] - centre[j])^2. So a grid without end may be cut to this box,
        with the cost of any of its points, and still holds its best point.
        """
        reach = [sqrt(cost / weight) * (1.0 + _ROUNDING) for weight in self._ridge]
        return [(c - r, c + r) for c, r in zip(self._centre, reach, strict=True)]

    def best(self, candidates: Sequence[Sequence[float]]) -> GridPoint:
        """The point with the least f among all combinations of candidates: exact, not a heuristic.

        candidates  the values of each variable, ascending, at least one each
        With the triangular factor of the normal matrix, f(x) - f(minimum) is a sum of squares of which
        the k-th depends on the variables from k on only. So variables are chosen from the last to the
        first, each from the candidate nearest to where its square is zero outwards, and a branch ends
        where its squares alone reach the best sum found: everything behind it is worse.
        Source:    C. P. Schnorr, M. Euchner, Math. Program. 66 (1994) 181, for the order; U. Fincke, M. Pohst,
                   Math. Comp. 44 (1985) 463, for the bound; both from memory, and compared with full enumeration

        >>> LeastSquares([[1.0, 1.0]], [3.0], [0.01, 0.01], [1.0, 1.0]).best([[0.0, 1.0, 2.0], [0.0, 1.0]]).values
        (2.0, 1.0)
        """
        search = _Search(self._lower, self.minimum, candidates)
        search.run(len(candidates) - 1, 0.0)
        return GridPoint(tuple(search.best), self.cost(search.best))


class _Search:
    """The depth-first enumeration behind `LeastSquares.best`."""

    def __init__(
        self, lower: list[list[float]], minimum: Sequence[float], candidates: Sequence[Sequence[float]]
    ) -> None:
        count = len(candidates)
        self.minimum, self.candidates = minimum, candidates
        self.squares = [lower[k][k] * lower[k][k] for k in range(count)]
        # Row k of the upper factor over its diagonal: how the later variables move the middle of this one.
        self.slopes = [[lower[j][k] / lower[k][k] for j in range(k + 1, count)] for k in range(count)]
        self.away = [0.0] * count
        self.chosen = [0.0] * count
        self.best = [values[0] for values in candidates]
        self.least = inf

    def run(self, k: int, spent: float) -> None:
        if k < 0:
            self.least, self.best = spent, self.chosen[:]
            return
        values, square = self.candidates[k], self.squares[k]
        middle = self.minimum[k]
        for slope, away in zip(self.slopes[k], self.away[k + 1 :], strict=True):
            middle -= slope * away
        above = bisect_left(values, middle)
        below = above - 1
        while True:
            up = values[above] - middle if above < len(values) else inf
            down = middle - values[below] if below >= 0 else inf
            if up < down:
                value, far, above = values[above], up, above + 1
            elif down < inf:
                value, far, below = values[below], down, below - 1
            else:
                return
            total = spent + square * far * far
            if total >= self.least:
                return
            self.chosen[k] = value
            self.away[k] = value - self.minimum[k]
            self.run(k - 1, total)


def settle(
    residuals: Callable[[Sequence[float]], Sequence[float]],
    start: Sequence[float],
    scale: Sequence[float],
    least: Sequence[float] | None = None,
    tolerance: float = 1e-12,
) -> tuple[float, ...]:
    """The x where the residuals are zero or, when they cannot all be, where the sum of their squares is least.

    residuals  smooth and nearly straight
    scale      a natural size of each variable, above zero
    least      what each may not be below; the start is not either. Without it nothing is in the way
    tolerance  it is settled when no variable moves by more than this of its scale. What cannot all be zero moves on a
               little for ever, by the rounding of its slopes
    With fewer residuals than variables it is the x nearest to the start, in units of the scale: each pass is
    a Gauss-Newton step damped so little that it only stays out of directions that change no residual.
    Slopes are central differences over a thousandth of the scale.
    Raises:    CannotError when fifty passes do not settle it; with a floor under them the closest so far is the answer

    >>> settle(lambda x: [x[0] * x[0] - 4.0], [1.0], [1.0])
    (2.0,)
    """
    x = list(start)
    places = range(len(x))
    for _ in range(50):
        now = residuals(x)
        slopes: list[list[float]] = []  # by variable: change of each residual over one unit of scale
        for j in places:
            step = _SLOPE_STEP * scale[j]
            high = residuals([*x[:j], x[j] + step, *x[j + 1 :]])
            low = residuals([*x[:j], x[j] - step, *x[j + 1 :]])
            slopes.append([(a - b) / (2.0 * _SLOPE_STEP) for a, b in zip(high, low, strict=True)])
        normal = [
            [sum([a * b for a, b in zip(slopes[j], slopes[k], strict=True)]) for k in range(j + 1)] for j in places
        ]
        damping = _DAMPING * max(1e-30, *[normal[j][j] for j in places])
        for j in places:
            normal[j][j] += damping
        right = [-sum([a * b for a, b in zip(slopes[j], now, strict=True)]) for j in places]
        if least is None:
            steps = _solve_cholesky(_cholesky(normal), right)
        else:
            floor = [(low - value) / size for low, value, size in zip(least, x, scale, strict=True)]
            steps = _least_above(normal, right, floor)
        if least is not None:
            steps = _shortened(residuals, x, scale, steps, now)
        x = [value + step * size for value, step, size in zip(x, steps, scale, strict=True)]
        if all(
            abs(step) <= tolerance * (1.0 + abs(value / size))
            for step, value, size in zip(steps, x, scale, strict=True)
        ):
            return tuple(x)
    if least is not None:  # every pass came closer: what is found is the closest so far
        return tuple(x)
    raise CannotError("no-answer", "the pours keep moving instead of settling", "hold fewer things")


def _cholesky(normal: Sequence[Sequence[float]]) -> list[list[float]]:
    """The lower triangular factor of a positive definite matrix, of which the lower half is given."""
    lower: list[list[float]] = []
    for j, row in enumerate(normal):
        found: list[float] = []
        for k in range(j):
            done = sum([a * b for a, b in zip(found, lower[k], strict=False)])
            found.append((row[k] - done) / lower[k][k])
        # Rounding may bring a pivot of a nearly singular matrix to zero; the ridge keeps the true one above it.
        found.append(sqrt(max(row[j] - sum([a * a for a in found]), _ROUNDING * row[j])))
        lower.append(found)
    return lower


def _shortened(
    residuals: Callable[[Sequence[float]], Sequence[float]],
    x: Sequence[float],
    scale: Sequence[float],
    steps: Sequence[float],
    now: Sequence[float],
) -> list[float]:
    """Steps halved until the sum of squares is smaller; none where they gain nothing that matters."""
    spent = sum([miss * miss for miss in now])
    for halvings in range(40):
        part = 0.5**halvings
        there = [value + part * step * size for value, step, size in zip(x, steps, scale, strict=True)]
        if sum([miss * miss for miss in residuals(there)]) <= spent * (1.0 - _GAIN):
            return [part * step for step in steps]
    return [0.0] * len(steps)


def _least_above(normal: Sequence[Sequence[float]], right: Sequence[float], floor: Sequence[float]) -> list[float]:
    """The x, nowhere below a floor, where x . normal . x / 2 - right . x is least; the lower half of normal is given.

    Variables are let off the floor one by one, the one first that gains most, and put back where they would go below.
    Source:    C. L. Lawson, R. J. Hanson, Solving Least Squares Problems (1974), chapter 23, from memory; compared
               with every choice of variables
    """
    places = range(len(right))
    full = [[normal[max(j, k)][min(j, k)] for k in places] for j in places]
    bent = [
        value - sum([a * low for a, low in zip(row, floor, strict=True)])
        for value, row in zip(right, full, strict=True)
    ]
    above = [0.0] * len(right)  # over the floor
    free: list[int] = []
    size = _ROUNDING * max([abs(value) for value in bent], default=0.0)
    for _ in range(3 * len(right) + 3):
        gains = {
            j: bent[j] - sum([a * b for a, b in zip(full[j], above, strict=True)]) for j in places if j not in free
        }
        best = max(gains, key=lambda j: gains[j], default=None)
        if best is None or gains[best] <= 4.0 * size:
            break
        free = sorted([*free, best])
        while free:
            lower = _cholesky([[full[j][k] for k in free[: at + 1]] for at, j in enumerate(free)])
            found = _solve_cholesky(lower, [bent[j] for j in free])
            if min(found) > 0.0:
                break
            part = min([above[j] / (above[j] - x) for j, x in zip(free, found, strict=True) if x <= 0.0])
            for j, x in zip(free, found, strict=True):
                above[j] += part * (x - above[j])
            stuck = [j for j, x in zip(free, found, strict=True) if x <= 0.0 and above[j] <= size]
            stuck = stuck or [min(free, key=lambda j: above[j])]
            for j in stuck:
                above[j] = 0.0
            free = [j for j in free if j not in stuck]
        for j, x in zip(free, found if free else [], strict=True):
            above[j] = x
    return [low + value for low, value in zip(floor, above, strict=True)]


def _solve_cholesky(lower: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """x from lower * transposed lower * x = right."""
    middle: list[float] = []
    for row, value in zip(lower, right, strict=True):
        middle.append((value - sum([a * b for a, b in zip(row, middle, strict=False)])) / row[-1])
    count = len(middle)
    x = [0.0] * count
    for k in range(count - 1, -1, -1):
        later = sum([lower[j][k] * x[j] for j in range(k + 1, count)])
        x[k] = (middle[k] - later) / lower[k][k]
    return x
