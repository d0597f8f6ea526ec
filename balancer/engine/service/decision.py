"""Which pours a bar can make, and what is the best of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import product
from math import floor
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.jigger import pours_near

Verdict = Literal["as written", "new pour", "out of reach"]

SMALL_POUR_ML: Final = 7.5
SMALL_POUR_PERCENT: Final = 20.0
"""A pour this small is changed only when its drink's sugar is further off than this: a jigger is no better."""
_SAME: Final = 1e-9


class OffPour(NamedTuple):
    """The pour of a syrup that is off-strength.

    spec_ml    as written, ml of the syrup as it is
    designed_g sugar it brings as designed, g
    g_per_ml   sugar in a ml of the syrup as it is, g
    step_ml    the smallest change the bar can pour, ml
    fixed      never changed
    small      changed only when the drink is off by more than SMALL_POUR_PERCENT
    pours      every pour of the jigger's lines, ascending, ml; none when it pours every multiple of the step
    """

    spec_ml: float
    designed_g: float
    g_per_ml: float
    step_ml: float
    fixed: bool = False
    small: bool = False
    pours: tuple[float, ...] = ()

    @property
    def exact_ml(self) -> float:
        """The pour that restores the syrup's own sugar."""
        return self.designed_g / self.g_per_ml

    @property
    def is_off(self) -> bool:
        """Whether the written pour brings another amount of sugar than designed."""
        return abs(self.extra_g(self.spec_ml)) > _SAME

    def extra_g(self, poured_ml: float) -> float:
        """Grams of sugar that a pour brings more than designed."""
        return poured_ml * self.g_per_ml - self.designed_g


class Rounded(NamedTuple):
    """What to pour instead of the written amount, in ml, and what it does to the drink's sugar, in %.

    exact_ml    restores that syrup's own sugar
    poured_ml   what to pour
    nearest_ml  the pour nearest to exact that the bar can make, whether or not it is worth the change
    """

    verdict: Verdict
    spec_ml: float
    exact_ml: float
    poured_ml: float
    nearest_ml: float
    as_written_percent: float
    after_percent: float


def best_pour(exact: float, spec: float, step: float, pours: tuple[float, ...] = ()) -> float:
    """The pour nearest to exact among those the jigger can make and the written pour.

    step, pours  what the jigger can make, as in `pours_near`

    The sugar error grows with the distance from exact, whatever else is in the drink, so the nearest
    pour has the least error. A tie goes to the pour nearer to the written one.

    >>> best_pour(20.46, 22.5, 2.5), best_pour(21.25, 22.5, 2.5)
    (20.0, 22.5)
    """
    candidates = _candidates(exact, spec, step, pours, reach=1)
    nearest = min(abs(pour - exact) for pour in candidates)
    tied = [pour for pour in candidates if abs(pour - exact) <= nearest + _SAME]
    return min(tied, key=lambda pour: abs(pour - spec))


def round_pours(pours: Sequence[OffPour], drink_sugar_g: float, tolerance_percent: float) -> tuple[Rounded, ...]:
    """The verdict on a drink whose syrups are off-strength, and what to pour of each.

    drink_sugar_g      sugar of the whole drink as designed
    tolerance_percent  change of it that service lets pass
    Rule: within tolerance as written, as it is; else the pours with the least sugar error, if that is
    within tolerance or at most half the error as written; else out of reach. One syrup takes the pour
    nearest to its exact one. Several are searched together for the least error; equal errors go to
    the least movement.
    """

    def change(amounts: Sequence[float]) -> float:
        moved = sum([pour.extra_g(amount) for pour, amount in zip(pours, amounts, strict=True)])
        return 100.0 * moved / drink_sugar_g

    specs = [pour.spec_ml for pour in pours]
    nearest = [best_pour(pour.exact_ml, pour.spec_ml, pour.step_ml, pour.pours) for pour in pours]
    written = change(specs)

    def answer(verdict: Verdict, poured: Sequence[float], after: float) -> tuple[Rounded, ...]:
        rows = zip(pours, poured, nearest, strict=True)
        return tuple(
            [Rounded(verdict, pour.spec_ml, pour.exact_ml, ml, near, written, after) for pour, ml, near in rows]
        )

    if abs(written) <= tolerance_percent + _SAME:
        return answer("as written", specs, written)
    kept = abs(written) <= SMALL_POUR_PERCENT + _SAME
    rigid = [pour.fixed or not pour.is_off or (pour.small and kept) for pour in pours]
    if all(rigid):
        verdict: Verdict = "out of reach" if any(pour.fixed and pour.is_off for pour in pours) else "as written"
        return answer(verdict, specs, written)
    poured = nearest if len(pours) == 1 else _best_together(pours, rigid, change)
    after = change(poured)
    reached = abs(after) <= tolerance_percent + _SAME or abs(after) <= abs(written) / 2 + _SAME
    return answer("new pour" if reached else "out of reach", poured, after)


def _best_together(
    pours: Sequence[OffPour], rigid: Sequence[bool], change: Callable[[Sequence[float]], float]
) -> list[float]:
    """The best of every combination the bar can pour.

    All but the last free pour run over everything up to bringing the free pours' sugar alone; the last one
    is then the nearest to what is left, which no other can beat.
    """
    free = [place for place, stays in enumerate(rigid) if not stays]
    sugar_g = sum([pours[place].designed_g for place in free])
    choices = [[pour.spec_ml] for pour in pours]
    for place in free[:-1]:
        pour = pours[place]
        most = sugar_g / pour.g_per_ml
        multiples = [count * pour.step_ml for count in range(1, floor(most / pour.step_ml) + 2)]
        choices[place] += pour.pours or multiples
    last = free[-1]

    def cost(amounts: Sequence[float]) -> tuple[float, float]:
        steps = sum([abs(amount - pour.spec_ml) / pour.step_ml for pour, amount in zip(pours, amounts, strict=True)])
        return round(abs(change(amounts)), 9), steps

    def complete() -> Iterator[list[float]]:
        for amounts in product(*choices):
            pour = pours[last]
            rest_g = sum([other.extra_g(ml) for other, ml in zip(pours, amounts, strict=True) if other is not pour])
            exact_ml = (pour.designed_g - rest_g) / pour.g_per_ml
            for ml in _candidates(exact_ml, pour.spec_ml, pour.step_ml, pour.pours, reach=1):
                yield [*amounts[:last], ml, *amounts[last + 1 :]]

    return min(complete(), key=cost)


def _candidates(exact: float, spec: float, step: float, pours: tuple[float, ...], reach: int) -> list[float]:
    """The written pour, and what the jigger can make near the exact one."""
    return [spec, *pours_near(exact, step, reach, pours)]
