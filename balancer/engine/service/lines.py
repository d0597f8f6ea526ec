"""What hangs on a bottle: its own lines, and the drinks that they are not for. Strip, label and screen alike."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.engine.drink.amount import Amount
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.rescale import Conversion, Rescale
from balancer.models.drink import Drink


@dataclass(frozen=True, slots=True)
class OwnPour:
    """A drink that does not pour what the lines of a bottle say.

    It is as written because the drink is right so, or its pour is fixed; or it was searched together with another
    syrup that is off.
    """

    drink: Drink
    written: Amount
    poured: Amount

    @property
    def moves(self) -> bool:
        """Whether it is another pour than written."""
        return not self.poured.is_same(self.written)


@dataclass(frozen=True, slots=True)
class BottleLines:
    """The lines of one bottle.

    conversions  written and new pours, in ml before g, ascending
    own_pours    drinks that pour something else than the lines say
    unreached    drinks that no pour is right for
    """

    conversions: tuple[Conversion, ...] = ()
    own_pours: tuple[OwnPour, ...] = ()
    unreached: tuple[Drink, ...] = ()

    @property
    def serve_all(self) -> bool:
        """Whether every drink that pours it goes by the conversions."""
        return not (self.own_pours or self.unreached)

    @property
    def moves(self) -> bool:
        """Whether anything is poured otherwise than written."""
        return bool(self.conversions) or any(own.moves for own in self.own_pours)


def lines_of(result: Rescale) -> BottleLines:
    """The lines of a syrup's batch against the menu."""
    exceptions = result.exceptions
    return BottleLines(
        result.conversions,
        tuple(OwnPour(row.drink, row.written, row.poured) for row in exceptions if row.verdict != "out of reach"),
        tuple(row.drink for row in exceptions if row.verdict == "out of reach"),
    )


def juice_lines_of(juice: JuiceTonight) -> BottleLines:
    """The lines of a measured juice."""
    own = tuple(OwnPour(row.drink, row.written, row.poured) for row in juice.exceptions)
    return BottleLines(juice.conversions, own)
