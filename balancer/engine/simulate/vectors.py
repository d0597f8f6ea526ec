"""A menu poured of many batches at once: draws, and the scalar decision's rules, on arrays. Needs numpy.

Every branch of `decide` is here but its search: the few draws that come so far with several syrups are given to
`decide` itself. The arithmetic is in the same order, so that both give the same to the last bit; tests hold every
draw's pours and verdict to it.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from math import fsum
from typing import Any, Final, NamedTuple, cast

import numpy as np
from numpy.typing import NDArray

from balancer.engine.drink.bar import is_beyond
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX
from balancer.engine.drink.jigger import Jigger
from balancer.engine.service.decision import SMALL_POUR_PERCENT, OffPour, decide
from balancer.engine.simulate.drawn import LEAST_CHANCE, Batches, Drawn, left_by_correction
from balancer.engine.simulate.glasses import BINS, VERDICTS, Counts, DrinkParts, MenuCounts, SyrupPart, is_out
from balancer.engine.simulate.normal import CENTRAL, FAR, central, depth, near_tail, quantile
from balancer.engine.simulate.sugar_table import SugarTable, cubic

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Codes = NDArray[np.int8]

_SAME: Final = 1e-9
_ROUNDING: Final = 1e-9
_AS_WRITTEN, _NEW_POUR, _OUT_OF_REACH = range(len(VERDICTS))


class ManyPours(NamedTuple):
    """One pour with its syrup as many draws have it: grams of sugar in a ml or g, and whether it is outside."""

    off: OffPour
    per_unit_g: Floats
    outside: Flags

    def of(self, draws: NDArray[np.intp]) -> ManyPours:
        """The pours of some of the draws."""
        return ManyPours(self.off, self.per_unit_g[draws], self.outside[draws])

    def one(self, at: int) -> OffPour:
        """The pour of one draw."""
        return self.off._replace(per_unit_g=float(self.per_unit_g[at]), outside=bool(self.outside[at]))

    def extra_g(self, poured: Floats | float) -> Floats:
        """Grams of sugar that the pours bring more than designed."""
        return poured * self.per_unit_g - self.off.designed_g


class ManyDecisions(NamedTuple):
    """For every draw the place of its verdict in VERDICTS, and what is poured of each pour."""

    verdicts: Codes
    poured: list[Floats]


def next_batches(batches: Batches, count: int) -> Drawn:
    """So many more batches: as `drawn.next_batches`, and equal to it."""
    spread, standard = batches.spread, batches.standard
    of_batch, of_reading, of_stirred, of_mass = batches.streams
    true = np.clip(spread.mean_brix + spread.sd_brix * normals(of_batch, count), *batches.reaches)
    read = np.clip(true + spread.reading_brix * normals(of_reading, count), *batches.reaches)
    outside = np.flatnonzero(_beyond(read, standard, batches.tolerance))
    again = true[outside] + spread.reading_brix * normals(of_stirred, len(outside))
    additive = np.where(again > standard, WATER_BRIX, DRY_SUGAR_BRIX)
    judged: Any = 1.0
    if batches.mass_share:
        judged = 1.0 + batches.mass_share * normals(of_mass, len(outside))
    left: Any = left_by_correction(
        cast("Any", true[outside]), cast("Any", again), standard, cast("Any", additive), judged
    )
    known, corrected = read.copy(), true.copy()
    known[outside], corrected[outside] = standard, np.clip(left, *batches.reaches)
    return Drawn(cast("Any", true), cast("Any", read), cast("Any", known), cast("Any", corrected), outside=len(outside))


def normals(stream: random.Random, count: int) -> Floats:
    """Values of mean 0 and standard deviation 1 out of a stream, which goes on behind them."""
    chances = _uniforms(stream, count)
    chances[chances == 0.0] = LEAST_CHANCE
    side = chances - 0.5
    found = cast("Floats", central(cast("Any", side)))
    (tails,) = np.nonzero(np.abs(side) > CENTRAL)
    out = np.array([depth(chance) for chance in chances[tails].tolist()])  # numpy's logarithm has another last bit
    found[tails] = np.copysign(near_tail(cast("Any", out)), side[tails])
    for at in tails[out > FAR].tolist():
        found[at] = quantile(float(chances[at]))
    return found


def _uniforms(stream: random.Random, count: int) -> Floats:
    """What a stream gives next, made by numpy's own copy of the same generator."""
    version, state, rest = stream.getstate()
    twin = np.random.MT19937()
    twin.state = {
        "bit_generator": "MT19937",
        "state": {"key": np.array(state[:-1], dtype=np.uint32), "pos": state[-1]},
    }
    found = np.random.Generator(twin).random(count)
    inner: Any = twin.state["state"]
    stream.setstate((version, (*inner["key"].tolist(), int(inner["pos"])), rest))
    return found


def pour_menu(menu: Sequence[DrinkParts], drawn: Mapping[str, Drawn]) -> MenuCounts:
    """Every drink poured of every batch drawn: as `glasses.pour_menu`, and equal to it."""
    together: Any = 0
    counts = []
    for made in menu:
        found, each = _pour_all(made, drawn)
        counts.append(found)
        together = together + np.array(each, dtype=np.int64)
    return MenuCounts(tuple(counts), tuple((together**2).sum(axis=1).tolist()))


def _pour_all(made: DrinkParts, drawn: Mapping[str, Drawn]) -> tuple[Counts, list[Flags]]:
    of_parts = [drawn[part.syrup_id] for part in made.parts]
    now = [_at(part, one.true) for part, one in zip(made.parts, of_parts, strict=True)]
    after = [_at(part, one.corrected) for part, one in zip(made.parts, of_parts, strict=True)]
    decided = decide_many([_at(part, one.read) for part, one in zip(made.parts, of_parts, strict=True)], made)
    later = decide_many([_at(part, one.known) for part, one in zip(made.parts, of_parts, strict=True)], made)
    errors = [
        _error(now, [part.off.written.value for part in made.parts], made.sugar_g),
        _error(now, decided.poured, made.sugar_g),
        _error(after, later.poured, made.sugar_g),
    ]
    each = [cast("Flags", is_out(cast("Any", row), made.tolerance_percent)) for row in errors]
    counts = Counts(
        out=tuple([int(np.count_nonzero(row)) for row in each]),
        off=tuple([fsum(np.abs(row).tolist()) for row in errors]),
        bins=tuple([_binned(row) for row in errors]),
        verdicts=tuple([int(np.count_nonzero(decided.verdicts == code)) for code in range(len(VERDICTS))]),
    )
    return counts, each


def decide_many(pours: Sequence[ManyPours], made: DrinkParts) -> ManyDecisions:
    """The decision on a drink for every draw, by the rules of `decide`."""
    written = [pour.off.written.value for pour in pours]
    as_written = _error(pours, written, made.sugar_g)
    verdicts = np.full(len(as_written), _AS_WRITTEN, dtype=np.int8)
    poured = [np.full(len(as_written), amount) for amount in written]
    (off,) = np.nonzero(np.abs(as_written) > made.tolerance_percent + _SAME)
    if len(off):
        found = _decide_off([pour.of(off) for pour in pours], np.abs(as_written[off]), made)
        verdicts[off] = found.verdicts
        for row, amounts in zip(poured, found.poured, strict=True):
            row[off] = amounts
    return ManyDecisions(verdicts, poured)


def _decide_off(pours: Sequence[ManyPours], error: Floats, made: DrinkParts) -> ManyDecisions:
    """Of draws that are all out of tolerance as written, by so many percent to either side."""
    written = [pour.off.written.value for pour in pours]
    small_stay = error <= SMALL_POUR_PERCENT + _SAME
    is_off = [np.abs(pour.extra_g(amount)) > _SAME for pour, amount in zip(pours, written, strict=True)]
    free = [_free(pour, off, small_stay) for pour, off in zip(pours, is_off, strict=True)]
    stuck = ~np.logical_or.reduce(free)
    fixed_off = np.logical_or.reduce([one & pour.off.fixed for pour, one in zip(pours, is_off, strict=True)])
    all_move = ~np.logical_or.reduce([one & pour.outside for pour, one in zip(pours, is_off, strict=True)])
    poured = [
        np.where(one & (pour.outside | all_move), _lines(pour), amount)
        for pour, one, amount in zip(pours, free, written, strict=True)
    ]
    after = np.abs(_error(pours, poured, made.sugar_g))
    helps = (after <= made.tolerance_percent + _SAME) | (after <= error / 2 + _SAME)
    verdicts = np.where(helps, _NEW_POUR, _OUT_OF_REACH)
    verdicts[stuck] = np.where(fixed_off, _OUT_OF_REACH, _AS_WRITTEN)[stuck]
    if len(pours) > 1:  # of one pour the line is the best there is
        for at in np.flatnonzero(~(stuck | helps)).tolist():
            found = decide([pour.one(at) for pour in pours], made.sugar_g, made.tolerance_percent)
            verdicts[at] = VERDICTS.index(found.verdict)
            for row, amount in zip(poured, found.poured, strict=True):
                row[at] = amount.value
    return ManyDecisions(verdicts.astype(np.int8), poured)


def many(part: SyrupPart, brix: Floats) -> ManyPours:
    """A pour with its syrup at many strengths, °Bx."""
    return ManyPours(part.off, sugar_at(part.sugar, brix), _beyond(brix, part.wanted_brix, part.tolerance_brix))


def sugar_at(table: SugarTable, brix: Floats) -> Floats:
    """The table's values at many strengths."""
    values = np.array(table.values)
    place = (brix - table.origin) / table.step - table.first
    below = np.clip(np.floor(place).astype(np.int64), 1, len(values) - 3)
    near: list[Any] = [values[below + step] for step in (-1, 0, 1, 2)]
    return cast("Floats", cubic(cast("Any", place - below), *near))


def nearest(jigger: Jigger, exact: Floats, written: float) -> Floats:
    """`Jigger.nearest` for many exact pours."""
    if jigger.pours:
        pours = np.array(jigger.pours)
        above = np.searchsorted(pours, exact - _ROUNDING, side="left")
        places = [above - 1, above]
        candidates = [pours[np.clip(place, 0, len(pours) - 1)] for place in places]
    else:
        first = np.maximum(np.ceil(exact / jigger.step - 1 - _ROUNDING), 1.0)
        last = np.maximum(np.floor(exact / jigger.step + 1 + _ROUNDING), 1.0)
        candidates = [np.minimum(first + more, last) * jigger.step for more in range(3)]
    rows = np.array([np.full(len(exact), written), *candidates])
    distance = np.abs(rows - exact)
    tied = distance <= distance.min(axis=0) + _ROUNDING
    moved = np.where(tied, np.abs(rows - written), np.inf)
    return cast("Floats", rows[moved.argmin(axis=0), np.arange(len(exact))])


def _at(part: SyrupPart, brix: Sequence[float]) -> ManyPours:
    return many(part, np.asarray(brix))


def _beyond(brix: Floats, wanted_brix: float, tolerance_brix: float) -> Flags:
    return cast("Flags", is_beyond(cast("Any", brix), wanted_brix, tolerance_brix))


def _free(pour: ManyPours, is_off: Flags, small_stay: Flags) -> Flags:
    """Where a pour may be changed."""
    if pour.off.fixed:
        return np.zeros(len(is_off), dtype=np.bool_)
    return is_off & ~small_stay if pour.off.small else is_off


def _lines(pour: ManyPours) -> Floats:
    """The own line of each draw."""
    return nearest(pour.off.jigger, pour.off.designed_g / pour.per_unit_g, pour.off.written.value)


def _error(pours: Sequence[ManyPours], poured: Sequence[Floats | float], sugar_g: float) -> Floats:
    extra: Any = sum([pour.extra_g(amount) for pour, amount in zip(pours, poured, strict=True)])
    return cast("Floats", 100.0 * extra / sugar_g)


def _binned(errors: Floats) -> tuple[int, ...]:
    places = np.clip(np.floor(errors), -BINS, BINS - 1).astype(np.int64) + BINS
    return tuple(np.bincount(places, minlength=2 * BINS).tolist())
