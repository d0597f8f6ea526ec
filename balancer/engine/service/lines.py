"""What hangs on a bottle: its own lines, and the drinks that they are not for. Strip, label and screen alike."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Conversion, Rescale
from balancer.models.drink import Drink


@dataclass(frozen=True, slots=True)
class BottleLines:
    """The lines of one bottle.

    conversions  written and new pours, in ml before g, ascending
    own_pours    drinks that pour something else than the lines say: as written, because the drink is right so or its
                 pour is fixed, or searched together with another syrup that is off
    unreached    drinks that no pour is right for
    ask          drinks whose other bottles say what is right beside another batch of this syrup: a person decides
    """

    conversions: tuple[Conversion, ...] = ()
    own_pours: tuple[DrinkPour, ...] = ()
    unreached: tuple[Drink, ...] = ()
    ask: tuple[Drink, ...] = ()

    @property
    def serve_all(self) -> bool:
        """Whether every drink that pours it goes by the conversions."""
        return not (self.own_pours or self.unreached or self.ask)

    @property
    def moves(self) -> bool:
        """Whether anything is poured otherwise than written."""
        return bool(self.conversions) or any(own.moves for own in self.own_pours)


def lines_of(result: Rescale) -> BottleLines:
    """The lines of a syrup's batch against the menu."""
    exceptions = result.exceptions
    return BottleLines(
        result.conversions,
        tuple(
            DrinkPour(row.drink, row.written, row.poured)
            for row in exceptions
            if row.verdict != "out of reach" and not row.hangs_on_bottle
        ),
        tuple(row.drink for row in exceptions if row.verdict == "out of reach"),
        tuple(row.drink for row in exceptions if row.verdict != "out of reach" and row.hangs_on_bottle),
    )


def juice_lines_of(juice: JuiceTonight) -> BottleLines:
    """The lines of a measured juice."""
    return BottleLines(juice.conversions, juice.exceptions)
