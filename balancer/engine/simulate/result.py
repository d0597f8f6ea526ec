"""What a simulation tells: of the whole menu, of each drink and of each syrup. Figures are parts of 100."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.brief import brief
from balancer.engine.service.decision import Verdict
from balancer.engine.simulate.glasses import BINS
from balancer.engine.simulate.spread import Spread
from balancer.models.drink import Drink
from balancer.models.syrup import Syrup

_TENS: Final = 10
_FEW: Final = 200
"""One drink in so many may be further off than a drawing reaches."""


class Courses(NamedTuple):
    """One figure for each thing that may be done: nothing, new pours by a reading, or a correction before."""

    as_written: float
    new_pours: float
    corrected: float


@dataclass(frozen=True, slots=True)
class SimulatedDrink:
    """One drink poured of every draw.

    syrups    those of it that vary
    out       in how many of 100 its sugar is out of tolerance
    off       how far its sugar is off on average, % to either side
    verdicts  in how many of 100 the decision is each, by the reading
    is_most   some of its sugar is not known, so that its figures are the most they can be
    """

    drink: Drink
    syrups: tuple[Syrup, ...]
    out: Courses
    off: Courses
    verdicts: Mapping[Verdict, float]
    is_most: bool

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class SimulatedSyrup:
    """One syrup.

    drinks    how many drinks pour it
    out       of 100 of them, those out of tolerance, whichever of their syrups is to blame
    outside   of 100 of its batches, those that read outside what prep lets pass
    doubtful  of 100 of its batches, those that read so far off that they are read again before anybody pours by them
    """

    spread: Spread
    drinks: int
    out: Courses
    outside: float
    doubtful: float


@dataclass(frozen=True, slots=True)
class UntoldDrink:
    """A drink that nothing is told of.

    syrups  those of it that nobody knows the spread of; none where the drink itself cannot be worked out
    why     what stands in the way then, a sentence
    """

    drink: Drink
    syrups: tuple[Syrup, ...]
    why: str = ""


@dataclass(frozen=True, slots=True)
class Simulation:
    """What measuring is worth. Every drink counts alike.

    draws      how often each drink was poured, each time of other batches
    out        of 100 drinks, those out of tolerance; by_chance: the standard error that the number of draws leaves
    off        how far their sugar is off on average, % to either side
    drinks, syrups  the worst as written first
    untold     drinks left out, mostly because nothing tells how a syrup of theirs varies
    too_few    such syrups, and how many batches of each the log has
    steady     drinks left out because they pour no syrup
    weighs     whether prep weighs what it corrects, or judges it by eye
    bins       by each course, how many drinks are off by so much: by whole percents, BINS to either side
    """

    draws: int
    seed: int
    tolerance_percent: float
    out: Courses
    by_chance: Courses
    off: Courses
    drinks: tuple[SimulatedDrink, ...]
    syrups: tuple[SimulatedSyrup, ...]
    untold: tuple[UntoldDrink, ...]
    too_few: tuple[tuple[Syrup, int], ...]
    steady: tuple[Drink, ...]
    weighs: bool
    bins: tuple[tuple[int, ...], ...]

    __repr__ = brief

    @property
    def is_most(self) -> bool:
        """Whether the figures of the menu are the most they can be."""
        return any(drink.is_most for drink in self.drinks)

    @property
    def by_chance_percent(self) -> float:
        """How far the least sure of the menu's figures may be off by chance: two standard errors, parts of 100."""
        return 2.0 * max(self.by_chance)

    @property
    def reach_percent(self) -> int:
        """How far off nearly all drinks are at most, by each course: whole tens of a percent, up to BINS."""
        for reach in range(_TENS, BINS, _TENS):
            beyond = max(sum(row[: BINS - reach]) + sum(row[BINS + reach :]) for row in self.bins)
            if beyond * _FEW <= sum(self.bins[0]):
                return reach
        return BINS

    @property
    def reading_brix(self) -> tuple[float, float]:
        """How far a reading may be off, the surest syrup's and the least sure one's: two standard uncertainties."""
        found = [2.0 * one.spread.reading_brix for one in self.syrups]
        return min(found), max(found)

    @property
    def doubtful(self) -> float:
        """Of 100 batches those that are read again before anybody pours by them, the share of the worst syrup."""
        return max(one.doubtful for one in self.syrups)

    @property
    def logged(self) -> tuple[SimulatedSyrup, ...]:
        """The syrups whose spread the log tells."""
        return tuple(one for one in self.syrups if one.spread.batches is not None)
