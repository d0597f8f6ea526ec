"""The one decision by brute force, straight from its rules: everything the bar may pour is tried.

Only the physics is the product's own (what a ml or a gram of a syrup at a strength holds, what an amount weighs): it
is proven elsewhere against published values. Which pours there are, what is chosen and what it is called is worked
out here a second time, in another way.

The rules. A syrup is *off* in a drink when its strength is not the one that the drink is written for, its standard
where the drink names none; a syrup that nobody read is at its standard; the *error* is the change of the whole drink's
sugar. The bar may pour every multiple of its step (what its jiggers' lines add up to; every division of its scale)
and the written amount. A syrup's *own line* is the pour nearest to the one that restores its own sugar.

(b) Within tolerance as written: as written.
(c) Else every syrup outside its batch tolerance takes its own line, or all that are off when none is outside. Within
    tolerance, or at most half the error: new pour.
(d) Else between the written pour and the first one at or past the exact one, everything is tried for every syrup
    that is off: within tolerance, least movement in steps, then least error.
(e) Else out of reach, with the least error of all that was tried.
Fixed pours never move, nor does any in a house that pours free; those of 7.5 ml or less only when the drink is more
than 20 % off.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations_with_replacement
from math import ceil

import numpy as np

from balancer.engine.drink.bar import Bar as LoadedBar
from balancer.engine.drink.liquid import ingredient_liquid
from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.units import Quantity
from tests.across.houses import MadeBatch, MadeHouse

SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Amounts:
    """What a bar may pour of one thing, in its unit, ml or g."""

    unit: str
    step: float
    lines: tuple[float, ...] = ()

    def all(self, written: float, at_least: float) -> list[float]:
        """Every pour up to the first one beyond two amounts, ascending."""
        most = max(written, at_least)
        found = self.lines or [count * self.step for count in range(1, ceil(most / self.step) + 2)]
        return sorted({*[round(one, 9) for one in found], round(written, 9)})

    def nearest(self, written: float, exact: float) -> float:
        """The own line: nearest to the exact pour; of two as near, the one nearer to the written pour."""
        return min(self.all(written, exact), key=lambda one: (round(abs(one - exact), 9), abs(one - written)))

    def first_past(self, written: float, exact: float) -> float:
        """The first pour at or beyond the exact one, as seen from the written one; the last there is when none is."""
        found = self.all(written, exact)
        if exact >= written:
            return next((one for one in found if one >= exact - SAME), found[-1])
        return next((one for one in reversed(found) if one <= exact + SAME), found[0])

    def between(self, written: float, exact: float) -> list[float]:
        """From the written pour to the first past the exact one."""
        low, high = sorted((round(written, 9), self.first_past(written, exact)))
        return [one for one in self.all(written, exact) if low <= one <= high]


@dataclass(frozen=True, slots=True)
class SyrupPour:
    """One syrup of one drink. written, exact and what follows from them in the amounts' unit; sugar in g."""

    amounts: Amounts
    written: float
    sugar_g: float
    sugar_per_unit: float
    is_off: bool
    is_outside: bool
    may_move: bool
    is_fixed: bool

    @property
    def exact(self) -> float:
        return self.sugar_g / self.sugar_per_unit

    @property
    def own_line(self) -> float:
        return self.amounts.nearest(self.written, self.exact)

    def extra_g(self, poured: float) -> float:
        return poured * self.sugar_per_unit - self.sugar_g


@dataclass(frozen=True, slots=True)
class Decided:
    """A drink's verdict, what is poured of each syrup, and the error in % before and after."""

    verdict: str
    poured: tuple[float, ...]
    as_written: float
    after: float


def decide(pours: Sequence[SyrupPour], sugar_g: float, tolerance: float) -> Decided:
    """The decision on one drink; sugar_g is all that it holds as designed."""

    def error(poured: Sequence[float]) -> float:
        return 100.0 * sum(pour.extra_g(one) for pour, one in zip(pours, poured, strict=True)) / sugar_g

    def answer(verdict: str, poured: Sequence[float]) -> Decided:
        return Decided(verdict, tuple(poured), written, error(poured))

    as_they_are = [pour.written for pour in pours]
    written = error(as_they_are)
    if abs(written) <= tolerance + SAME:  # (b)
        return answer("as written", as_they_are)
    if not any(pour.may_move for pour in pours):
        return answer(
            "out of reach" if any(pour.is_off and pour.is_fixed for pour in pours) else "as written", as_they_are
        )
    outside = any(pour.is_off and pour.is_outside for pour in pours)
    own = [pour.own_line if pour.may_move and (pour.is_outside or not outside) else pour.written for pour in pours]
    if abs(error(own)) <= max(tolerance, abs(written) / 2.0) + SAME:  # (c)
        return answer("new pour", own)
    choices = [pour.amounts.between(pour.written, pour.exact) if pour.may_move else [pour.written] for pour in pours]
    moved, errors = _try_everything(pours, choices, sugar_g)
    within = np.flatnonzero(errors <= tolerance + SAME)
    if within.size:  # (d)
        best = within[np.lexsort((errors[within].round(9), moved[within].round(6)))[0]]
        return answer("new pour", _nth(choices, int(best)))
    best = np.lexsort((moved.round(6), errors.round(9)))[0]
    tried = [_nth(choices, int(best)), own]
    return answer("out of reach", min(tried, key=lambda one: round(abs(error(one)), 9)))  # (e)


def _try_everything(
    pours: Sequence[SyrupPour], choices: Sequence[Sequence[float]], sugar_g: float
) -> tuple[np.ndarray, np.ndarray]:
    """Steps moved and size of the error, in %, of every combination; the last choice runs fastest."""
    moved, grams = np.zeros(1), np.zeros(1)
    for pour, some in zip(pours, choices, strict=True):
        assert moved.size * len(some) <= 5_000_000, "too many to try; make a smaller house"
        moved = np.add.outer(moved, [abs(one - pour.written) / pour.amounts.step for one in some]).ravel()
        grams = np.add.outer(grams, [pour.extra_g(one) for one in some]).ravel()
    return moved, np.abs(100.0 * grams / sugar_g)


def _nth(choices: Sequence[Sequence[float]], place: int) -> list[float]:
    found = []
    for some in reversed(choices):
        place, here = divmod(place, len(some))
        found.append(some[here])
    return found[::-1]


@dataclass(frozen=True, slots=True)
class Row:
    """What every command must say of one syrup in one drink. Amounts in the unit that it is poured in, errors in %."""

    verdict: str
    unit: str
    spec: float
    exact: float
    poured: float
    as_written: float
    after: float


@dataclass(frozen=True, slots=True)
class Oracle:
    """A house as it was written, and its physics as it was loaded."""

    house: MadeHouse
    tolerances: Mapping[str, float | None]
    bar: LoadedBar

    def rows(self, drink_id: str, strengths: Mapping[str, float]) -> dict[str, Row]:
        """By syrup, what a drink pours when its syrups are as strong as this; a syrup not named is at standard."""
        drink = self.bar.specs.drinks[drink_id]
        poured = [pour for pour in drink.pours if pour.of in self.bar.specs.syrups]
        sugar_g = sum(self._designed(drink, pour)[2] for pour in drink.pours)
        pours = self._pours(drink, poured, strengths, sugar_g)
        found = decide(pours, sugar_g, self.house.tolerance)
        rows = {}
        for pour, here, amount in zip(poured, pours, found.poured, strict=True):
            verdict = found.verdict
            if verdict == "new pour" and abs(amount - here.written) <= 1e-6:
                verdict = "as written"  # this one stays, although another moves
            rows[pour.of] = Row(
                verdict, here.amounts.unit, here.written, here.exact, amount, found.as_written, found.after
            )
        return rows

    def strengths(self, read: Iterable[tuple[MadeBatch, float]]) -> dict[str, float]:
        """°Bx by syrup id of what counts: the first opened that is believed, else the standard.

        One whose sugar is more than a fifth off is read again before anything is poured by it.
        """
        found: dict[str, float] = {}
        for batch, brix in read:
            ratio = self.bar.liquid(batch.liquid, brix).sugar_g_per_ml / self.bar.liquid(batch.liquid).sugar_g_per_ml
            if abs(100.0 * (ratio - 1.0)) <= 20.0:
                found.setdefault(batch.liquid, brix)
        return found

    def wanted(self, drink: Drink, syrup: str) -> float:
        """The strength that a drink's pour is written for, °Bx."""
        return drink.written_for.get(syrup, self.bar.standard(syrup))

    def own_line(self, syrup: str, brix: float, unit: str, written: float, drinks: Iterable[str]) -> float:
        """What stands on a bottle for a written pour: it depends on nothing but this syrup.

        drinks  those that pour so much of it: the line is theirs whose strength is the standard, or closest to it
        """
        wanted = {self.wanted(self.bar.specs.drinks[drink], syrup) for drink in drinks}
        of = min(wanted, key=lambda one: (abs(one - self.bar.standard(syrup)), one))
        now, standard = self.bar.liquid(syrup, brix), self.bar.liquid(syrup, of)
        ratio = standard.sugar_per_g / now.sugar_per_g
        if unit == "ml":
            ratio = standard.sugar_g_per_ml / now.sugar_g_per_ml
        return self.amounts(unit).nearest(written, written * ratio)

    def juice_pours(self, juice: str, acid_g_per_l: float) -> dict[str, tuple[str, float, float]]:
        """By drink, unit, written pour and what a measured juice pours instead at equal acid, where it moves."""
        liquid, file = self.bar.liquid(juice), self.bar.specs.ingredients[juice]
        measured = ingredient_liquid(file.model_copy(update={"acid": Quantity(acid_g_per_l, "g/l")}))
        assert file.acid is not None
        assert measured.density is not None
        assert liquid.density is not None
        ratio = acid_g_per_l / file.acid.value
        if self.house.style == "free" or abs(100.0 * (ratio - 1.0)) <= self.house.tolerance + SAME:
            return {}
        unit, found = "g" if self.house.style == "scale" else "ml", {}
        was, is_now = (liquid.density, measured.density) if unit == "g" else (1.0, 1.0)
        for drink in self.bar.specs.drinks.values():
            for pour in drink.pours:
                if pour.of == juice and not pour.fixed:
                    ml = self._designed(drink, pour)[0]
                    poured = self.amounts(unit).nearest(ml * was, ml / ratio * is_now)
                    if abs(poured - ml * was) > 1e-6:
                        found[drink.id] = unit, ml * was, poured
        return found

    def juice_lines(self, juice: str, acid_g_per_l: float) -> dict[tuple[str, float], float]:
        """What hangs on the bottle of a measured juice: by unit and written pour, what to pour instead."""
        pours = self.juice_pours(juice, acid_g_per_l).values()
        return {(unit, round(written, 6)): poured for unit, written, poured in pours}

    def amounts(self, unit: str) -> Amounts:
        house = self.house
        if unit == "g":
            return Amounts("g", house.division_g)
        if not house.lines_ml:
            return Amounts("ml", house.step_ml)
        found = [*house.lines_ml, *[sum(two) for two in combinations_with_replacement(house.lines_ml, 2)]]
        if house.barspoon_ml:
            found += [house.barspoon_ml, *[line + house.barspoon_ml for line in house.lines_ml]]
        return Amounts("ml", house.lines_ml[0], tuple(found))

    def _designed(self, drink: Drink, pour: Pour) -> tuple[float, float, float]:
        """ml, g and grams of known sugar of a pour as designed."""
        is_syrup = pour.of in self.bar.specs.syrups
        liquid = self.bar.liquid(pour.of, self.wanted(drink, pour.of) if is_syrup else None)
        ml, grams = self.bar.amount(pour, liquid)
        return ml or 0.0, grams, grams * liquid.sugar_per_g

    def _pours(
        self, drink: Drink, poured: Sequence[Pour], strengths: Mapping[str, float], sugar_g: float
    ) -> list[SyrupPour]:
        house, found, extra_g = self.house, [], 0.0
        for pour in poured:
            wanted = self.wanted(drink, pour.of)
            brix = strengths.get(pour.of, self.bar.standard(pour.of))
            now = self.bar.liquid(pour.of, brix)
            ml, grams, designed_g = self._designed(drink, pour)
            by_weight = pour.amount.unit == "g" or house.style == "scale"
            own = self.tolerances[pour.of]
            limit = house.batch_tolerance if own is None else own
            written, per_unit = (grams, now.sugar_per_g) if by_weight else (ml, now.sugar_g_per_ml)
            fixed, is_off = pour.fixed or house.style == "free", brix != wanted
            here = SyrupPour(
                amounts=self.amounts("g" if by_weight else "ml"),
                written=written,
                sugar_g=designed_g,
                sugar_per_unit=per_unit,
                is_off=is_off,
                is_outside=is_off and abs(brix - wanted) > limit + SAME,
                may_move=is_off and not fixed,
                is_fixed=fixed,
            )
            extra_g += here.extra_g(written)
            found.append((here, ml <= 7.5 + SAME))
        tiny = abs(100.0 * extra_g / sugar_g) <= 20.0 + SAME
        return [replace(here, may_move=here.may_move and not (small and tiny)) for here, small in found]
