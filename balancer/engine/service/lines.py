"""What hangs on a bottle: its own lines, and the drinks that they are not for. Strip, label and screen alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.written import Written, moves_on_paper, written
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Conversion, DrinkRow, Rescale, key_of, rescale
from balancer.models.drink import Drink
from balancer.models.house import House


@dataclass(frozen=True, slots=True)
class BottleLines:
    """The lines of one bottle.

    conversions  written and new pours, in ml before g, ascending
    own_pours    drinks that pour something else than the lines say: as written, because the drink is right so or its
                 pour is fixed, or searched together with another syrup that is off
    unreached    drinks that no pour is right for
    ask          drinks whose other bottles say what is right beside another batch of this syrup: a person decides
    written_for  strengths in °Bx that the drinks which move are written for; empty where all are for the standard
    on_cards     by its written amount, the pours that a conversion serves as their cards write them
    """

    conversions: tuple[Conversion, ...] = ()
    own_pours: tuple[DrinkPour, ...] = ()
    unreached: tuple[Drink, ...] = ()
    ask: tuple[Drink, ...] = ()
    written_for: tuple[float, ...] = ()
    on_cards: Mapping[Amount, Sequence[Written]] = field(default_factory=dict, compare=False, hash=False)

    @property
    def serve_all(self) -> bool:
        """Whether every drink that pours it goes by the conversions."""
        return not (self.own_pours or self.unreached or self.ask)

    @property
    def moves(self) -> bool:
        """Whether anything is poured otherwise than written."""
        return bool(self.conversions) or any(own.moves for own in self.own_pours)

    def moves_on_paper(self, house: House) -> bool:
        """Whether anybody who reads the cards and pours that has to pour otherwise."""
        found = [(pour, old, new) for old, new in self.conversions for pour in self.on_cards.get(old, ())]
        found += [(own.on_card, own.written, own.poured) for own in self.own_pours if own.on_card is not None]
        return any(moves_on_paper(pour, old, new, house) for pour, old, new in found)


def lines_of(result: Rescale) -> BottleLines:
    """The lines of a syrup's batch against the menu."""
    exceptions = result.exceptions
    moved = [_pour_of(row) for row in result.rows if row.verdict == "new pour"]
    return BottleLines(
        result.conversions,
        tuple(_pour_of(row) for row in exceptions if row.verdict != "out of reach" and not row.hangs_on_bottle),
        tuple(row.drink for row in exceptions if row.verdict == "out of reach"),
        tuple(row.drink for row in exceptions if row.verdict != "out of reach" and row.hangs_on_bottle),
        result.written_for,
        _on_cards(moved, result.conversions),
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
    return BottleLines(juice.conversions, juice.exceptions, on_cards=_on_cards(juice.moved, juice.conversions))


def _pour_of(row: DrinkRow) -> DrinkPour:
    return DrinkPour(row.drink, row.written, row.poured, written(row.menu.bar, row.pour, row.batch))


def _on_cards(pours: Iterable[DrinkPour], conversions: Iterable[Conversion]) -> dict[Amount, list[Written]]:
    """What the cards say of the written pours of some conversions, each way once."""
    said, found = dict(conversions), dict[Amount, list[Written]]()
    for pour in pours:
        line, ways = said.get(key_of(pour.written)), found.setdefault(key_of(pour.written), [])
        if pour.on_card is not None and pour.on_card not in ways and line is not None and pour.poured.is_same(line):
            ways.append(pour.on_card)
    return found
