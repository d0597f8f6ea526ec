"""What hangs on a bottle: its own lines, and the drinks that they are not for. Strip, label and screen alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from balancer.engine.drink.written import moves_on_paper, written
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
    pours        of every drink that a pour is right for and nobody has to ask about; none where nothing moves
    stuck        of drinks that no pour is right for, which no conversion is for either: not named beside them
    """

    conversions: tuple[Conversion, ...] = ()
    own_pours: tuple[DrinkPour, ...] = ()
    unreached: tuple[Drink, ...] = ()
    ask: tuple[Drink, ...] = ()
    written_for: tuple[float, ...] = ()
    pours: tuple[DrinkPour, ...] = field(default=(), compare=False)
    stuck: tuple[DrinkPour, ...] = field(default=(), compare=False)

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
        return any(
            moves_on_paper(pour.on_card, pour.written, pour.poured, house)
            for pour in self.pours
            if pour.on_card is not None
        )


class ReadLines(NamedTuple):
    """What stands on a bottle for who reads a written pour on a card or on the screen.

    lines   the pours that go by each, never none, in ml before g, ascending; no two lines read alike before
    others  pours that no line is for, or not the one that reads as they do
    stuck   drinks that no pour is right for, and that a line reads as if it were for
    """

    lines: tuple[tuple[DrinkPour, ...], ...]
    others: tuple[DrinkPour, ...]
    stuck: tuple[Drink, ...]


class Reading(NamedTuple):
    """How a written pour reads, and the one in its place; None where that reads the same."""

    written: str
    poured: str | None


def as_read(lines: BottleLines, reading: Callable[[DrinkPour], Reading]) -> ReadLines:
    """The lines of a bottle for who reads them: two written pours that read alike are one for everybody.

    ¾ oz and 22.5 ml both read ¾ oz on the cards, so that one line stands for both. Where they pour different amounts,
    it is the one that most drinks take, and of two the smaller change; the other drinks are named.
    """
    said, read = dict(lines.conversions), [(pour, reading(pour)) for pour in lines.pours]
    ways: dict[str, dict[str, list[DrinkPour]]] = {}
    for pour, (before, after) in read:
        line = said.get(key_of(pour.written))
        if after is not None and line is not None and pour.poured.is_same(line):
            ways.setdefault(before, {}).setdefault(after, []).append(pour)
    chosen = {before: min(found, key=lambda after: _rank(found[after])) for before, found in ways.items()}
    served = [tuple(pour for pour, way in read if way == (before, after)) for before, after in chosen.items()]
    served.sort(key=lambda line: (line[0].written.unit != "ml", line[0].written.value))
    return ReadLines(
        tuple(served),
        tuple(pour for pour, (before, after) in read if after != chosen.get(before)),
        tuple(pour.drink for pour in lines.stuck if reading(pour).written in chosen),
    )


def _rank(pours: list[DrinkPour]) -> tuple[int, float]:
    return -len(pours), min(abs(pour.poured.value - pour.written.value) for pour in pours)


def lines_of(result: Rescale) -> BottleLines:
    """The lines of a syrup's batch against the menu."""
    exceptions = result.exceptions
    own = [row for row in exceptions if row.verdict != "out of reach" and not row.hangs_on_bottle]
    named = {row.drink.id for row in exceptions}
    moves = bool(result.conversions or own)
    free = [row for row in result.rows if row.drink.id not in named] if moves else []
    pours = {row.drink.id: _pour_of(row) for row in (*own, *(row for row in free if row.verdict != "out of reach"))}
    return BottleLines(
        result.conversions,
        tuple(pours[row.drink.id] for row in own),
        tuple(row.drink for row in exceptions if row.verdict == "out of reach"),
        tuple(row.drink for row in exceptions if row.verdict != "out of reach" and row.hangs_on_bottle),
        result.written_for,
        tuple(pours[row.drink.id] for row in result.rows if row.drink.id in pours),
        tuple(_pour_of(row) for row in free if row.verdict == "out of reach"),
    )


def corrected_lines(result: Rescale) -> BottleLines:
    """The lines of a batch once it is corrected to its standard; none where its drinks then pour as written."""
    corrected = _corrected(result)
    after = BottleLines() if corrected is None else lines_of(corrected)
    return after if after.moves or after.unreached else BottleLines()


def gains_by_correction(result: Rescale) -> bool:
    """Whether a batch is worth correcting to its standard.

    It is where the advice says so, and where its drinks then pour as written; not where they pour what they do now, or
    are right already, or where one that has a pour now has none then. Nor is it where it reads what its standard reads,
    or is within its own tolerance while every drink pours it as written.
    """
    if not result.reads_off or (not result.is_outside and result.advice.word == "as written"):
        return False
    if result.advice.word == "correct the batch":
        return True
    corrected = _corrected(result)
    if corrected is None:
        return True
    had_one = {row.drink.id for row in result.rows if row.verdict != "out of reach"}
    if any(row.verdict == "out of reach" and row.drink.id in had_one for row in corrected.rows):
        return False
    now, after = lines_of(result), lines_of(corrected)
    if not (after.moves or after.unreached):
        return True
    return after != now and (now.moves or bool(now.unreached))


def _corrected(result: Rescale) -> Rescale | None:
    """A batch at its standard, the other syrups as they are; None where every drink then pours as written."""
    if not any(row.is_apart for row in result.rows) and not result.beside:
        return None
    menu, drinks = result.rows[0].menu, [row.drink for row in result.rows]
    return rescale(menu.bar, result.syrup.id, result.standard_brix, drinks, menu=menu)


def juice_lines_of(juice: JuiceTonight) -> BottleLines:
    """The lines of a measured juice."""
    return BottleLines(juice.conversions, juice.exceptions, pours=juice.rows if juice.conversions else ())


def _pour_of(row: DrinkRow) -> DrinkPour:
    return DrinkPour(row.drink, row.written, row.poured, written(row.menu.bar, row.pour, row.batch))
