"""What hangs on a bottle: its own lines, and the drinks that they are not for. Strip, label and screen alike."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Conversion, Rescale, rescale
from balancer.models.drink import Drink


@dataclass(frozen=True, slots=True)
class BottleLines:
    """The lines of one bottle.

    conversions  written and new pours, in ml before g, ascending
    own_pours    drinks that pour something else than the lines say: as written, because the drink is right so or its
                 pour is fixed, or searched together with another syrup that is off
    unreached    drinks that no pour is right for
    ask          drinks whose other bottles say what is right beside another batch of this syrup: a person decides
    written_for  strengths in °Bx that the drinks which move are written for; empty where all are for the standard
    """

    conversions: tuple[Conversion, ...] = ()
    own_pours: tuple[DrinkPour, ...] = ()
    unreached: tuple[Drink, ...] = ()
    ask: tuple[Drink, ...] = ()
    written_for: tuple[float, ...] = ()

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
        result.written_for,
    )


def corrected_lines(result: Rescale) -> BottleLines:
    """The lines of a batch once it is corrected to its standard; none where its drinks then pour as written."""
    if not any(row.is_apart for row in result.rows):
        return BottleLines()
    menu, drinks = result.rows[0].menu, [row.drink for row in result.rows]
    after = lines_of(rescale(menu.bar, result.syrup.id, result.standard_brix, drinks, menu=menu))
    return after if after.moves or after.unreached else BottleLines()


def gains_by_correction(result: Rescale) -> bool:
    """Whether a batch is worth correcting to its standard.

    It is where the advice says so, and where its drinks then pour as written; not where they pour what they do now, or
    are right already, or where one that has a pour now has none then.
    """
    now, after = lines_of(result), corrected_lines(result)
    if result.advice.word == "correct the batch" or not (after.moves or after.unreached):
        return True
    if any(drink not in now.unreached for drink in after.unreached):
        return False
    return after != now and (now.moves or bool(now.unreached))


def juice_lines_of(juice: JuiceTonight) -> BottleLines:
    """The lines of a measured juice."""
    return BottleLines(juice.conversions, juice.exceptions)
