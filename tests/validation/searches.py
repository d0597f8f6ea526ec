"""Brute force against every search: everything the bar may pour is tried, on made-up problems.

The physics of a trial is worked out (in `trials`) from the grams in a ml of each liquid and one volume model, the
goal from the rule as docs/explanation.md states it. A gap is how much more the tool's answer costs than the best
that was tried.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import prod
from random import Random
from typing import Final, NamedTuple

import numpy as np

from balancer.engine.drink.jigger import Jigger
from balancer.engine.prep.correct import first_addition_g, full_addition
from balancer.engine.service.decision import decide
from balancer.measured import Measured
from tests.engine.service.test_decision import JIGGERS, Syrup, by_the_rules, off_pour
from tests.test_numerics_grid import Problem
from tests.validation.draws import SEED
from tests.validation.trials import MOST_TRIED, adjusting, fitting, swapping


class Search(NamedTuple):
    """One search and the problems it is given.

    bound  how far the trial goes, and what the tool's own search does not promise
    trial  cases in, and one gap a case; None for a problem that is passed over
    """

    key: str
    what: str
    bound: str
    unit: str
    cases: int
    trial: Callable[[Random], float | None]


class Gaps(NamedTuple):
    """What the problems of one search come to: how many, passed over, with a gap at all, and the largest."""

    cases: int
    passed_over: int
    worse: int
    largest: float


def tried(search: Search, cases: int) -> Gaps:
    """The first problems of a search; the same ones at every run."""
    chance = Random(f"{SEED} {search.key}")  # noqa: S311 - the same problems at every run
    found: list[float] = []
    passed_over = 0
    while len(found) < cases:
        gap = search.trial(chance)
        if gap is None:
            passed_over += 1
        else:
            found.append(gap)
    return Gaps(cases, passed_over, sum(gap > 1e-6 for gap in found), max(0.0, *found))


def deciding(chance: Random) -> float:
    """One to four syrups off at once: 0 where way, movement and error are those of every combination tried, else 1."""
    jigger = chance.choice(JIGGERS)
    menu = []
    for _ in range(chance.randint(1, 4)):
        standard = chance.randint(35, 95) / 100.0
        off = chance.choice([0, chance.randint(-3, 3), chance.randint(-25, 25)])
        written = chance.choice([5.0, 7.5, 10.0, 15.0, 20.0, 22.0, 22.5, 30.0])
        menu.append(
            Syrup(written, standard, standard * (1.0 + off / 100.0), chance.random() < 0.5, chance.random() < 0.1)
        )
    pours = [off_pour(each, jigger) for each in menu]
    drink_g = chance.choice([0.0, 2.0, 8.0]) + sum(pour.designed_g for pour in pours)
    tolerance = chance.choice([2.0, 3.0, 5.0, 8.0])
    found = decide(pours, drink_g, tolerance)
    way, (error, movement) = by_the_rules(pours, drink_g, tolerance)
    steps = sum(abs(amount.value - each.written) / jigger.step for amount, each in zip(found.poured, menu, strict=True))
    same = found.way == way and abs(abs(found.after_percent) - error) < 1e-5 and abs(steps - movement) < 1e-5
    return 0.0 if same else 1.0


def rounding(pours: int) -> Callable[[Random], float | None]:
    """The search for jigger pours by itself, against all multiples of the step within its proven box."""

    def trial(chance: Random) -> float | None:
        problem = Problem(chance, pours)
        rounded = problem.squares.best(problem.near(reach=1))
        candidates = [problem.grid(low, high) for low, high in problem.squares.box(rounded.cost)]
        if prod(map(len, candidates)) > 20 * MOST_TRIED:
            return None
        found = problem.squares.best(candidates).cost
        return found - problem.enumerated(candidates)

    return trial


def nearest(chance: Random) -> float:
    """One pour on a jigger of lines: how much further from the exact one than the nearest sum of two lines, ml."""
    lines = sorted(chance.sample([5.0, 7.5, 10.0, 15.0, 20.0, 22.5, 25.0, 30.0, 40.0, 45.0, 50.0, 60.0], 5))
    every = sorted({*lines, *[a + b for a in lines for b in lines]})
    written, exact = chance.choice(lines), chance.uniform(4.0, 70.0)
    found = Jigger(lines[0], tuple(every)).nearest(exact, written)
    return abs(found - exact) - min(abs(one - exact) for one in [written, *every])


def staged(chance: Random) -> float:
    """The first part of a correction against the most that may be added if 1 tub in 44 may go past, in % of the whole.

    Two standard deviations leave out 2.28 % to one side: that quantile of 20,000 tubs, true strength and mass normal.
    """
    shown, mass_g = chance.choice([-1.0, 1.0]) * chance.uniform(2.5, 8.0) + 50.0, chance.uniform(800.0, 6000.0)
    u_brix, u_part = chance.choice([0.3, 0.5, 1.05]), chance.choice([0.0005, 0.05])
    additive = 0.0 if shown > 50.0 else 100.0
    measured = Measured(mass_g, {"mass": u_part * mass_g}), Measured(shown, {"brix": u_brix})
    full = full_addition(*measured, 50.0, additive)
    draws = np.random.default_rng(chance.getrandbits(32))
    brix, grams = draws.normal(shown, u_brix, 20_000), draws.normal(mass_g, u_part * mass_g, 20_000)
    needed = grams * (50.0 - brix) / (additive - 50.0)
    most = max(float(np.quantile(needed, 0.02275)), 0.0)
    return 100.0 * (first_addition_g(full) - most) / full.value


_PROVEN: Final = "every pour that could cost less is tried; beyond, its steps alone cost more"
_STRAIGHT: Final = (
    f"{_PROVEN}. The tool takes ABV and volume as straight around its answer, twice over, so a gap can be"
)
SEARCHES: Final[Sequence[Search]] = (
    Search("nearest", "`pour`: one pour, jiggers with lines", "every line and every two lines", "ml", 20_000, nearest),
    Search(
        "deciding",
        "`rescale`, `tonight`: one to four syrups off in a drink",
        "every combination from the written pour "
        "to the first past the exact one; that range is the rule, not a bound of the search",
        "cases",
        20_000,
        deciding,
    ),
    Search(
        "rounding 3",
        "jigger pours of a change, three pours",
        "all multiples of the step in the proven box",
        "of the sum",
        2_000,
        rounding(3),
    ),
    Search(
        "rounding 4",
        "the same, four pours",
        "all multiples of the step in the proven box; problems with more than 1.2 million combinations are passed over",
        "of the sum",
        200,
        rounding(4),
    ),
    Search("swap sugar", "`swap`, sugar held", _PROVEN, "of the sum", 1_000, swapping("sugar")),
    Search("swap sour", "`swap`, sugar and acid held", _PROVEN, "of the sum", 1_000, swapping("sugar", "acid")),
    Search(
        "swap volume",
        "`swap`, sugar, acid and volume held",
        _STRAIGHT,
        "of the sum",
        150,
        swapping("sugar", "acid", "volume"),
    ),
    Search(
        "fits",
        "`fits`: the pour of every sweetener",
        "every multiple of 2.5 ml to 200 ml",
        "of the sum",
        1_000,
        fitting,
    ),
    Search("adjust", "`adjust`, sugar and acid", _PROVEN, "of the sum", 1_000, adjusting("sugar", "acid")),
    Search(
        "adjust more",
        "`adjust`, sugar, acid, ABV and volume",
        _STRAIGHT,
        "of the sum",
        150,
        adjusting("abv", "sugar", "acid", "volume"),
    ),
    Search(
        "staged",
        "`correct`: the first addition",
        "20,000 tubs a case; 2.3 % of them may go past",
        "% of the whole",
        200,
        staged,
    ),
)
