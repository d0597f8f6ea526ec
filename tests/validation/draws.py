"""Monte Carlo against every ± the tool prints: made-up truths, read as people read, judged by the tool.

A case draws a truth and what somebody would have seen of it, asks the tool, and gives back how far the answer is off
and the ± that was printed with it. What goes wrong in the reading is put in here by hand and never taken from the
tool's budget; densities, indices and corrections are its own, proven elsewhere against published tables.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from random import Random
from typing import Final, NamedTuple

SEED: Final = 20261126
DRAWS: Final = 100_000
PART: Final = 10
"""The slow test draws this part of them."""

Draw = Callable[[Random], tuple[float, float] | None]
"""How far the answer is off, and the ± printed with it; None where the tool gave no answer."""


class Case(NamedTuple):
    """One ± and one way in which truth and reading may differ.

    assumes  what was put in, for people
    unit     of the ±; empty where an answer is right or wrong, and no ± is printed
    meant    the ± is said to hold then; else it shows what the ± leaves out
    claimed  % of the answers that should be within it: two standard uncertainties, where nothing else is said
    """

    key: str
    what: str
    assumes: str
    draw: Draw
    unit: str = "°Bx"
    meant: bool = True
    claimed: float = 95.0


class Found(NamedTuple):
    """What the draws of one case come to.

    within  % of the answers whose error is within the printed ±
    ratio   standard deviation of the error over the standard uncertainty printed, half of the ±, root mean square
    bias    mean error, in the unit of the ±
    shown   mean of the printed ±
    """

    draws: int
    within: float
    ratio: float
    bias: float
    shown: float


def drawn(case: Case, draws: int) -> Found:
    """The first draws of a case; the same ones at every run."""
    chance = Random(f"{SEED} {case.key}")  # noqa: S311 - a simulation that repeats, not a secret
    count, inside, total, squares, shown, shown_squares = 0, 0, 0.0, 0.0, 0.0, 0.0
    while count < draws:
        answer = case.draw(chance)
        if answer is None:
            continue
        error, plus_minus = answer
        count += 1
        inside += abs(error) <= plus_minus + 1e-9
        total += error
        squares += error * error
        shown += plus_minus
        shown_squares += plus_minus * plus_minus
    bias = total / count
    spread = sqrt(max(squares / count - bias * bias, 0.0))
    return Found(count, 100.0 * inside / count, spread / (sqrt(shown_squares / count) / 2.0), bias, shown / count)
