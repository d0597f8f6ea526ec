"""The one decision: what a drink pours, given what every syrup reads now.

Every command, strip, label and page that says what to pour shows this decision.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.jigger import Jigger
from balancer.engine.service.search import Choice, least_error, least_movement

Verdict = Literal["as written", "new pour", "out of reach"]
Way = Literal["as written", "own lines", "searched", "out of reach"]
"""How a decision was come by: nothing moves; every syrup takes its own line; searched together; no pours are right."""

SMALL_POUR_ML: Final = 7.5
SMALL_POUR_PERCENT: Final = 20.0
"""A pour this small is changed only when its drink's sugar is further off than this: a jigger is no better."""
_SAME: Final = 1e-9


class OffPour(NamedTuple):
    """A pour of a syrup that is not as its specs count on.

    written     as the spec has it, ml, or g where it goes on the scale
    designed_g  sugar it brings as designed, g
    per_unit_g  sugar in one ml or g of the syrup as it is, g; of a juice its acid, for sugar in all of this
    jigger      what it is measured with
    fixed       never changed
    small       changed only when the drink is off by more than SMALL_POUR_PERCENT
    outside     the syrup is outside its batch tolerance
    """

    written: Amount
    designed_g: float
    per_unit_g: float
    jigger: Jigger
    fixed: bool = False
    small: bool = False
    outside: bool = True

    @property
    def exact(self) -> Amount:
        """The pour that restores the syrup's own sugar."""
        return self.written.of(self.designed_g / self.per_unit_g)

    @property
    def line(self) -> Amount:
        """Its own line: the pour nearest to the exact one. It depends on nothing but the syrup and the written pour."""
        return self.written.of(self.jigger.nearest(self.designed_g / self.per_unit_g, self.written.value))

    @property
    def is_off(self) -> bool:
        """Whether the written pour brings another amount of sugar than designed."""
        return abs(self.extra_g(self.written.value)) > _SAME

    def extra_g(self, poured: float) -> float:
        """Grams of sugar that a pour brings more than designed."""
        return poured * self.per_unit_g - self.designed_g

    def choices(self) -> list[Amount]:
        """Every pour from the written one to the first at or past the exact one, in the order of the movement."""
        return [self.written.of(amount) for amount in self.jigger.toward(self.exact.value, self.written.value)]

    def choice(self, amount: Amount, drink_sugar_g: float) -> Choice:
        """What an amount moves and changes."""
        moved = amount.value - self.written.value
        return Choice(abs(moved) / self.jigger.step, 100.0 * moved * self.per_unit_g / drink_sugar_g)


@dataclass(frozen=True, slots=True)
class Decision:
    """What a drink pours of its syrups that are off.

    way                 how it was come by
    poured              of each pour, in the order they were given
    as_written_percent  how far the drink's sugar is off as written, %; after_percent with what is poured
    """

    way: Way
    poured: tuple[Amount, ...]
    as_written_percent: float
    after_percent: float

    @property
    def verdict(self) -> Verdict:
        """On the drink as a whole."""
        match self.way:
            case "own lines" | "searched":
                return "new pour"
            case verdict:
                return verdict


def decide(pours: Sequence[OffPour], drink_sugar_g: float, tolerance_percent: float) -> Decision:
    """Decide on a drink, by the rules of the house.

    drink_sugar_g      known sugar of the whole drink as designed
    tolerance_percent  change of it that service lets pass
    Rule: within tolerance as written, as it is. Else every syrup outside its batch tolerance takes its own line (all
    of them, where none is outside), if that is within tolerance or at most half the error as written. Else every
    pour is searched from its written amount to the first past its exact one, for the least movement that is within
    tolerance. Else no pours are right: those with the least error are given. Fixed pours stay; so do small ones
    unless the drink is far off.
    """
    written = [pour.written for pour in pours]
    if not pours:
        return Decision("as written", (), 0.0, 0.0)

    def error(amounts: Sequence[Amount]) -> float:
        extra = sum([pour.extra_g(amount.value) for pour, amount in zip(pours, amounts, strict=True)])
        return 100.0 * extra / drink_sugar_g

    as_written = error(written)
    if abs(as_written) <= tolerance_percent + _SAME:
        return Decision("as written", tuple(written), as_written, as_written)
    small_stay = abs(as_written) <= SMALL_POUR_PERCENT + _SAME
    free = [pour.is_off and not pour.fixed and not (pour.small and small_stay) for pour in pours]
    if not any(free):
        fixed = any(pour.fixed and pour.is_off for pour in pours)
        return Decision("out of reach" if fixed else "as written", tuple(written), as_written, as_written)
    all_move = not any(pour.outside and pour.is_off for pour in pours)
    own = [
        pour.line if moves and (pour.outside or all_move) else pour.written
        for pour, moves in zip(pours, free, strict=True)
    ]
    after = error(own)
    if abs(after) <= tolerance_percent + _SAME or abs(after) <= abs(as_written) / 2 + _SAME:
        return Decision("own lines", tuple(own), as_written, after)
    amounts = [pour.choices() if moves else [pour.written] for pour, moves in zip(pours, free, strict=True)]
    rows = [[pour.choice(amount, drink_sugar_g) for amount in row] for pour, row in zip(pours, amounts, strict=True)]
    found = least_movement(rows, as_written, tolerance_percent)
    places = least_error(rows, as_written) if found is None else found
    poured = [row[place] for row, place in zip(amounts, places, strict=True)]
    return Decision("out of reach" if found is None else "searched", tuple(poured), as_written, error(poured))
