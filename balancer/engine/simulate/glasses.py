"""A menu poured of many batches, a draw at a time: the scalar decision itself, and what it leaves in the glass."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, fsum
from typing import Final, NamedTuple, TypeVar

from balancer.engine.drink.bar import is_beyond
from balancer.engine.service.decision import Decision, OffPour, Verdict, decide
from balancer.engine.simulate.drawn import Drawn
from balancer.engine.simulate.sugar_table import SugarTable
from balancer.models.drink import Drink

COURSES: Final = ("as written", "new pours", "corrected")
"""What may be done about batches that vary, from nothing on."""

VERDICTS: Final[tuple[Verdict, ...]] = ("as written", "new pour", "out of reach")

BINS: Final = 30
"""Errors are counted by whole percents up to this many to either side; those beyond in the bins at the ends."""

_SAME: Final = 1e-9
_Number = TypeVar("_Number", int, float)


@dataclass(frozen=True, slots=True)
class SyrupPart:
    """A pour of a syrup whose strength varies.

    off        the pour as designed; its strength is put in draw by draw
    sugar      grams of sugar in a ml or g of it by its strength
    wanted_brix, tolerance_brix  the strength it is written for, and what prep lets pass
    """

    syrup_id: str
    off: OffPour
    sugar: SugarTable
    wanted_brix: float
    tolerance_brix: float

    def at(self, brix: float) -> OffPour:
        """The pour with the syrup at a strength."""
        outside = is_beyond(brix, self.wanted_brix, self.tolerance_brix)
        return self.off._replace(per_unit_g=self.sugar.at(brix), outside=outside)


@dataclass(frozen=True, slots=True)
class DrinkParts:
    """A drink and its pours of syrups that vary; sugar_g: known sugar of the whole as designed."""

    drink: Drink
    parts: tuple[SyrupPart, ...]
    sugar_g: float
    tolerance_percent: float


class Counts(NamedTuple):
    """What becomes of one drink in some draws; of the three courses each, in their order.

    out       how often its sugar is out of tolerance
    off       by how much it is off in all, % to either side
    bins      how often it is off by so much, by whole percents
    verdicts  how often the decision is each of VERDICTS
    """

    out: tuple[int, ...]
    off: tuple[float, ...]
    bins: tuple[tuple[int, ...], ...]
    verdicts: tuple[int, ...]

    def plus(self, more: Counts) -> Counts:
        """With those of more draws."""
        return Counts(
            added(self.out, more.out),
            added(self.off, more.off),
            tuple([added(row, other) for row, other in zip(self.bins, more.bins, strict=True)]),
            added(self.verdicts, more.verdicts),
        )


class MenuCounts(NamedTuple):
    """Counts of every drink; squares: summed over the draws, how many drinks each course leaves out, squared."""

    drinks: tuple[Counts, ...]
    squares: tuple[int, ...]

    def plus(self, more: MenuCounts) -> MenuCounts:
        """With those of more draws."""
        drinks = [one.plus(other) for one, other in zip(self.drinks, more.drinks, strict=True)]
        return MenuCounts(tuple(drinks), added(self.squares, more.squares))


class OneDraw(NamedTuple):
    """How far the sugar is off by each course, %, and the decision by the reading."""

    errors: tuple[float, ...]
    decision: Decision


def pour_menu(menu: Sequence[DrinkParts], drawn: Mapping[str, Drawn]) -> MenuCounts:
    """Every drink poured of every batch drawn, draw by draw."""
    found = [_pour_all(made, drawn) for made in menu]
    squares = [
        sum([sum(of_one_draw) ** 2 for of_one_draw in zip(*(each[course] for _, each in found), strict=True)])
        for course in range(len(COURSES))
    ]
    return MenuCounts(tuple([counts for counts, _ in found]), tuple(squares))


def added(row: Sequence[_Number], more: Sequence[_Number]) -> tuple[_Number, ...]:
    """Two rows, place by place."""
    return tuple([before + now for before, now in zip(row, more, strict=True)])


def _pour_all(made: DrinkParts, drawn: Mapping[str, Drawn]) -> tuple[Counts, list[list[bool]]]:
    """One drink poured of every batch drawn, and by course which draws leave it out of tolerance."""
    of_parts = [drawn[part.syrup_id] for part in made.parts]
    found = [
        pour_one(made, columns)
        for columns in zip(
            zip(*(one.true for one in of_parts), strict=True),
            zip(*(one.read for one in of_parts), strict=True),
            zip(*(one.known for one in of_parts), strict=True),
            zip(*(one.corrected for one in of_parts), strict=True),
            strict=True,
        )
    ]
    errors = [[one.errors[course] for one in found] for course in range(len(COURSES))]
    each = [[is_out(error, made.tolerance_percent) for error in row] for row in errors]
    verdicts = [one.decision.verdict for one in found]
    counts = Counts(
        out=tuple([sum(row) for row in each]),
        off=tuple([fsum(map(abs, row)) for row in errors]),
        bins=tuple([_binned(row) for row in errors]),
        verdicts=tuple([verdicts.count(verdict) for verdict in VERDICTS]),
    )
    return counts, each


def pour_one(made: DrinkParts, strengths: tuple[Sequence[float], ...]) -> OneDraw:
    """One drink of one batch of each syrup: how strong each is, what is read, and the same two once corrected."""
    true, read, known, corrected = strengths
    now = [part.at(brix) for part, brix in zip(made.parts, true, strict=True)]
    after = [part.at(brix) for part, brix in zip(made.parts, corrected, strict=True)]
    as_written = [part.off.written.value for part in made.parts]
    decision, later = _decided(made, read), _decided(made, known)
    return OneDraw(
        (
            _error(made, now, as_written),
            _error(made, now, [amount.value for amount in decision.poured]),
            _error(made, after, [amount.value for amount in later.poured]),
        ),
        decision,
    )


def is_out(error_percent: float, tolerance_percent: float) -> bool:
    """Whether a drink's sugar is further off than service lets pass; arrays of errors are asked one by one."""
    return abs(error_percent) > tolerance_percent + _SAME


def _decided(made: DrinkParts, brix: Sequence[float]) -> Decision:
    pours = [part.at(one) for part, one in zip(made.parts, brix, strict=True)]
    return decide(pours, made.sugar_g, made.tolerance_percent)


def _error(made: DrinkParts, pours: Sequence[OffPour], poured: Sequence[float]) -> float:
    extra = sum([pour.extra_g(amount) for pour, amount in zip(pours, poured, strict=True)])
    return 100.0 * extra / made.sugar_g


def _binned(errors: Sequence[float]) -> tuple[int, ...]:
    """How many errors fall between two whole percents, from -BINS on."""
    found = [0] * (2 * BINS)
    for error in errors:
        found[min(max(floor(error), -BINS), BINS - 1) + BINS] += 1
    return tuple(found)
