"""Batches drawn by chance: how strong each truly is, what is read of it, and what a correction leaves.

Every syrup and purpose has its own stream of chances, named after the seed: what is drawn of one syrup does not change
with what else is asked, and with another spread the same chances are only stretched.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Final, NamedTuple

from balancer.engine.drink.bar import Bar, is_beyond
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX, balance_g
from balancer.engine.prep.tub import ESTIMATED_PERCENT
from balancer.engine.simulate.normal import quantile
from balancer.engine.simulate.spread import Spread
from balancer.engine.simulate.sugar_table import possible

LEAST_CHANCE: Final = 2.0**-54
"""Stands for a chance of 0, which a stream gives once in 2⁵³ times and no normal value has."""
_REACH: Final = 6.0
"""Standard deviations that are drawn to either side; chance goes further twice in a billion times."""
_ROOM_BRIX: Final = 1.0


class Drawn(NamedTuple):
    """Some batches of one syrup, °Bx; sequences of numbers, or arrays of them.

    true       as they came out; read: what one reading says of each
    known      what is known of each once those that read outside prep's tolerance are corrected
    corrected  how strong they truly are then
    outside    how many are corrected
    """

    true: Sequence[float]
    read: Sequence[float]
    known: Sequence[float]
    corrected: Sequence[float]
    outside: int


class Batches:
    """An endless number of batches of one syrup.

    streams     of chances: how a batch comes out, how a reading of it is off, a second, stirred one, and its mass
    mass_share  standard uncertainty of a batch's mass, as a part of it: with a scale it does not matter
    reaches     the strengths drawn, °Bx, from the weakest to the strongest: no such syrup can be beyond
    """

    def __init__(self, bar: Bar, spread: Spread, seed: int) -> None:
        self.spread = spread
        self.standard = spread.standard_brix
        self.tolerance = bar.batch_tolerance(spread.syrup.id)
        self.mass_share = 0.0 if bar.specs.house.scale else ESTIMATED_PERCENT / 100.0
        reach = _REACH * (spread.sd_brix + spread.reading_brix)
        low = min(self.standard - _ROOM_BRIX, spread.mean_brix - reach)
        high = max(self.standard + _ROOM_BRIX, spread.mean_brix + reach)
        self.reaches = possible(spread.syrup, low, high)
        self.streams = [
            random.Random(f"{seed} {spread.syrup.id} {name}")  # noqa: S311 - chances that repeat, no secret
            for name in ("batch", "reading", "stirred", "mass")
        ]


def next_batches(batches: Batches, count: int) -> Drawn:
    """So many more batches."""
    spread, standard = batches.spread, batches.standard
    low, high = batches.reaches
    of_batch, of_reading, of_stirred, of_mass = batches.streams
    true = [min(max(spread.mean_brix + spread.sd_brix * one, low), high) for one in _normals(of_batch, count)]
    read = [
        min(max(was + spread.reading_brix * one, low), high)
        for was, one in zip(true, _normals(of_reading, count), strict=True)
    ]
    outside = [at for at, shown in enumerate(read) if is_beyond(shown, standard, batches.tolerance)]
    known, corrected = read[:], true[:]
    stirred = _normals(of_stirred, len(outside))
    judged = _normals(of_mass, len(outside)) if batches.mass_share else [0.0] * len(outside)
    for at, off, mass in zip(outside, stirred, judged, strict=True):
        again = true[at] + spread.reading_brix * off
        additive = WATER_BRIX if again > standard else DRY_SUGAR_BRIX
        left = left_by_correction(true[at], again, standard, additive, 1.0 + batches.mass_share * mass)
        known[at], corrected[at] = standard, min(max(left, low), high)
    return Drawn(true, read, known, corrected, len(outside))


def left_by_correction(
    true_brix: float, read_brix: float, standard_brix: float, additive_brix: float, judged: float
) -> float:
    """How strong a batch truly is once it was corrected to its standard by its last, stirred reading, °Bx.

    additive_brix  of what is added: water to a batch that reads strong, dry sugar to a weak one
    judged         what its mass is taken for, as a part of what it is
    As much is added as the reading asks for, so that what is left is about the error of the reading. The same for
    arrays.

    >>> [round(left_by_correction(54.0, read, 50.0, 0.0, 1.0), 2) for read in (54.0, 54.5)]
    [50.0, 49.54]
    """
    added = balance_g(judged, read_brix, standard_brix, additive_brix)
    return (true_brix + added * additive_brix) / (1.0 + added)


def _normals(stream: random.Random, count: int) -> list[float]:
    """Values of mean 0 and standard deviation 1."""
    uniform = stream.random
    return [quantile(uniform() or LEAST_CHANCE) for _ in range(count)]
