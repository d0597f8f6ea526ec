"""What measuring is worth: how many drinks of a menu leave their tolerance, by what is done about its syrups."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import suppress
from functools import reduce
from importlib.util import find_spec
from math import isfinite, sqrt
from typing import Final, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.service.menu import DrinkDecision, Menu
from balancer.engine.simulate.drawn import Batches, Drawn, next_batches
from balancer.engine.simulate.glasses import (
    COURSES,
    VERDICTS,
    Counts,
    DrinkParts,
    MenuCounts,
    added,
    pour_menu,
)
from balancer.engine.simulate.result import Courses, SimulatedDrink, SimulatedSyrup, Simulation, UntoldDrink
from balancer.engine.simulate.shelf import SyrupShelf, parts_of
from balancer.engine.simulate.spread import Spread, spread_of
from balancer.errors import BalancerError, CannotError
from balancer.models.batch import Batch
from balancer.models.drink import Drink
from balancer.models.syrup import Syrup

DRAWS: Final = 10_000
LEAST_DRAWS: Final = 100
MOST_DRAWS: Final = 10_000_000
SEED: Final = 1
MOST_SD_BRIX: Final = 15.0
"""A syrup that varies more than this is made by no recipe (judged)."""
_AT_ONCE: Final = 20_000
"""So many draws are in memory at a time."""


class _Way(NamedTuple):
    """How batches are drawn, and a menu poured of them: one by one, or in arrays."""

    next_batches: Callable[[Batches, int], Drawn]
    pour_menu: Callable[[Sequence[DrinkParts], Mapping[str, Drawn]], MenuCounts]


def simulate(
    bar: Bar,
    batches: Sequence[Batch] = (),
    *,
    sd_brix: float | None = None,
    own_sd_brix: Mapping[str, float] | None = None,
    reading_brix: float | None = None,
    drinks: Iterable[Drink] | None = None,
    draws: int = DRAWS,
    seed: int = SEED,
    vectors: bool | None = None,
) -> Simulation:
    """Pour a menu of many batches: as written, with new pours, and corrected.

    batches       as the log has them: how each syrup varies, where nothing else is said
    sd_brix       standard deviation of every syrup about its standard, °Bx; own_sd_brix: of some, by id
    reading_brix  standard uncertainty of one reading, °Bx; that of the house's instrument when None
    drinks        which; the whole menu when None
    draws         of each drink, LEAST_DRAWS to MOST_DRAWS; the same seed draws the same batches
    vectors       whether numpy does it; where it is installed when None. The answer is the same
    Each draw has another batch of every syrup, independent of the others, and a reading of each that is off by
    chance. New pours: the one decision by the readings. Corrected: what reads outside prep's tolerance is brought to
    its standard by a stirred reading, and the one decision is asked again. Both are judged by what is truly in the
    bottle.
    Raises CannotError when a value cannot be meant, and when nothing tells how any syrup of the menu varies.
    """
    own = own_sd_brix or {}
    _check([value for value in (sd_brix, reading_brix, *own.values()) if value is not None], draws)
    asked = list(bar.specs.drinks.values() if drinks is None else drinks)
    decided, untold = _designed(bar, asked)
    poured = {part.pour.of: bar.specs.syrups[part.pour.of] for one in decided for part in one.parts}
    found = {
        each: spread_of(bar, syrup, batches, own.get(each, sd_brix), reading_brix) for each, syrup in poured.items()
    }
    spreads = {each: spread for each, spread in found.items() if isinstance(spread, Spread)}
    untold += [UntoldDrink(one.drink, missing) for one in decided if (missing := _missing(bar, one, spreads))]
    left_out = {one.drink.id for one in untold}
    told = [one for one in decided if one.parts and one.drink.id not in left_out]
    if not told:
        raise _nothing(untold)
    shelf = SyrupShelf(bar, {each: Batches(bar, spread, seed) for each, spread in spreads.items()})
    tallies = _pour(shelf, [parts_of(shelf, one) for one in told], draws, _way(vectors))
    counts = tallies.menu.drinks
    return Simulation(
        draws=draws,
        seed=seed,
        tolerance_percent=bar.specs.house.tolerance,
        out=_mean([one.out for one in counts], 100.0 / draws),
        by_chance=tallies.by_chance(draws),
        off=_mean([one.off for one in counts], 1.0 / draws),
        drinks=_drinks(bar, told, counts, draws),
        syrups=_syrups(told, tallies, spreads, draws),
        untold=tuple(untold),
        too_few=tuple([(poured[each], count) for each, count in found.items() if isinstance(count, int)]),
        steady=tuple([one.drink for one in decided if not one.parts]),
        weighs=bar.specs.house.scale is not None,
        bins=tuple([reduce(added, [one.bins[course] for one in counts]) for course in range(len(COURSES))]),
    )


def has_vectors() -> bool:
    """Whether numpy is installed."""
    return find_spec("numpy") is not None


def _way(vectors: bool | None) -> _Way:
    if vectors or (vectors is None and has_vectors()):
        from balancer.engine.simulate import vectors as arrays  # noqa: PLC0415 - numpy is heavy, and may not be there

        return _Way(arrays.next_batches, arrays.pour_menu)
    return _Way(next_batches, pour_menu)


def _check(values: Sequence[float], draws: int) -> None:
    for value in values:
        if not (isfinite(value) and 0.0 <= value <= MOST_SD_BRIX):
            raise CannotError("value", f"{value:g} °Bx is no spread of a syrup", f"give 0 to {MOST_SD_BRIX:g} °Bx")
    if not LEAST_DRAWS <= draws <= MOST_DRAWS:
        raise CannotError("value", f"{draws} draws", f"give {LEAST_DRAWS} to {MOST_DRAWS} of them")


def _designed(bar: Bar, asked: Sequence[Drink]) -> tuple[list[DrinkDecision], list[UntoldDrink]]:
    """Every drink with its syrups at their standards, and those that cannot be worked out."""
    standards = {}
    for syrup in bar.specs.syrups:
        with suppress(BalancerError):  # told of each drink that pours it
            standards[syrup] = bar.standard(syrup)
    menu, found, failed = Menu(bar, standards), [], []
    for drink in asked:
        try:
            found.append(menu.decide(drink))
        except BalancerError as error:
            failed.append(UntoldDrink(drink, (), error.problems()[0].message))
    return found, failed


def _missing(bar: Bar, decided: DrinkDecision, spreads: Mapping[str, Spread]) -> tuple[Syrup, ...]:
    """The syrups of a drink that nobody knows the spread of."""
    return tuple([bar.specs.syrups[part.pour.of] for part in decided.parts if part.pour.of not in spreads])


def _nothing(untold: Sequence[UntoldDrink]) -> CannotError:
    if not any(one.syrups for one in untold):
        return CannotError("no-syrup", "no drink asked about pours a syrup that could vary", "name another drink")
    return CannotError(
        "no-spread",
        "the log has too few batches of any syrup to tell how they vary",
        "say how far they do, as a standard deviation: --sd 2",
    )


class _Tallies(NamedTuple):
    """Counts of the menu; by syrup, how many batches read outside prep's tolerance, and so far off they are doubted."""

    menu: MenuCounts
    outside: Mapping[str, int]
    doubtful: Mapping[str, int]

    def by_chance(self, draws: int) -> Courses:
        """The standard error of the share out of tolerance, %: draws are independent, drinks of one draw are not."""
        found = []
        for course, squares in enumerate(self.menu.squares):
            mean = sum(counts.out[course] for counts in self.menu.drinks) / draws
            variance = max(squares / draws - mean * mean, 0.0)
            found.append(100.0 / len(self.menu.drinks) * sqrt(variance / draws))
        return Courses(*found)


def _pour(shelf: SyrupShelf, made: Sequence[DrinkParts], draws: int, way: _Way) -> _Tallies:
    menu: MenuCounts | None = None
    outside, doubtful = dict.fromkeys(shelf.batches, 0), dict.fromkeys(shelf.batches, 0)
    doubted = {each: shelf.doubted(each) for each in shelf.batches}
    for start in range(0, draws, _AT_ONCE):
        count = min(_AT_ONCE, draws - start)
        drawn = {each: way.next_batches(batches, count) for each, batches in shelf.batches.items()}
        for each, (least, most) in doubted.items():
            outside[each] += drawn[each].outside
            doubtful[each] += sum([not least <= brix <= most for brix in drawn[each].read])
        more = way.pour_menu(made, drawn)
        menu = more if menu is None else menu.plus(more)
    if menu is None:  # no draw at all
        raise ValueError(draws)
    return _Tallies(menu, outside, doubtful)


def _drinks(
    bar: Bar, told: Sequence[DrinkDecision], tallies: Sequence[Counts], draws: int
) -> tuple[SimulatedDrink, ...]:
    share = 100.0 / draws
    found = [
        SimulatedDrink(
            drink=one.drink,
            syrups=tuple([bar.specs.syrups[part.pour.of] for part in one.parts]),
            out=_mean([tally.out], share),
            off=_mean([tally.off], 1.0 / draws),
            verdicts={verdict: share * count for verdict, count in zip(VERDICTS, tally.verdicts, strict=True)},
            is_most=any(part.liquid.sugar_unknown and not part.is_small for part in one.designed),
        )
        for one, tally in zip(told, tallies, strict=True)
    ]
    return tuple(sorted(found, key=lambda one: _worst(one.out)))


def _syrups(
    told: Sequence[DrinkDecision], tallies: _Tallies, spreads: Mapping[str, Spread], draws: int
) -> tuple[SimulatedSyrup, ...]:
    found = []
    for each, spread in spreads.items():
        rows = [
            tally.out
            for one, tally in zip(told, tallies.menu.drinks, strict=True)
            if any(part.pour.of == each for part in one.parts)
        ]
        if rows:
            share = 100.0 / draws
            outside, doubtful = share * tallies.outside[each], share * tallies.doubtful[each]
            found.append(SimulatedSyrup(spread, len(rows), _mean(rows, share), outside, doubtful))
    return tuple(sorted(found, key=lambda one: _worst(one.out)))


def _worst(out: Courses) -> tuple[float, ...]:
    return tuple([-figure for figure in out])


def _mean(rows: Sequence[Sequence[float]], share: float) -> Courses:
    """Of several drinks alike, each count as a share."""
    return Courses(*[share * sum(column) / len(rows) for column in zip(*rows, strict=True)])
