"""Which pours of a bottle hang on another one: they are others once that other bottle is at its standard."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from balancer.engine.drink.amount import Amount
from balancer.engine.service.lines import BottleLines, lines_of
from balancer.engine.service.menu import Menu
from balancer.engine.service.rescale import DrinkRow, Rescale, key_of, rescale
from balancer.models.drink import Drink


class HangsOn(NamedTuple):
    """Another syrup, by its id, and the drinks whose pours of this bottle hang on the bottle of that."""

    syrup_id: str
    drinks: tuple[Drink, ...]


def hangs_on(result: Rescale, counting: Menu | None = None) -> tuple[HangsOn, ...]:
    """The other syrups that the pours of a batch hang on, in the order of its drinks.

    counting  as it was given to `rescale`
    A syrup that is at its standard already has nothing to lose, and is none of them.
    """
    found: dict[str, tuple[Drink, ...]] = {}
    for row in result.rows:
        for part in row.decided.parts:
            other = part.pour.of
            if other != result.syrup.id and other in result.others and other not in found:
                found[other] = _hanging(result, counting, other)
    return tuple(HangsOn(other, drinks) for other, drinks in found.items() if drinks)


def lasting_lines(result: Rescale, counting: Menu | None = None) -> tuple[BottleLines, tuple[Drink, ...]]:
    """The lines of a batch that hang on no other bottle, and the drinks that they leave out for that.

    A drink is among those only where it pours otherwise than written, or where a line could be read as if for it.
    """
    hanging = {drink.id for one in hangs_on(result, counting) for drink in one.drinks}
    if not hanging:
        return lines_of(result), ()
    lines = lines_of(replace(result, rows=tuple([row for row in result.rows if row.drink.id not in hanging])))
    return lines, tuple(
        row.drink
        for row in result.rows
        if row.drink.id in hanging and (row.moves or row.is_to_blame or lines.conversions)
    )


class MovedBy(NamedTuple):
    """Another syrup because of which pours move: its name, and whether it is stronger than its standard, or weaker."""

    name: str
    is_strong: bool


def moved_by(result: Rescale) -> tuple[MovedBy, ...]:
    """The other syrups because of which alone the pours of a batch move.

    None where nothing moves, where the batch is outside its own tolerance, or where a pour would move beside the others
    at their standards as well.
    """
    moving = [row for row in result.rows if row.moves]
    if result.is_outside or not moving or not result.others:
        return ()
    bar = moving[0].menu.bar
    alone = rescale(bar, result.syrup.id, result.batch_brix, [row.drink for row in moving])
    if any(row.moves for row in alone.rows):
        return ()
    off = {
        liquid.id: liquid.name
        for row in moving
        for liquid, pour in zip(row.decided.now, row.decided.off, strict=True)
        if pour.is_off and liquid.id in result.others
    }
    return tuple(
        MovedBy(name, result.others[each] > bar.standard(each))
        for each, name in off.items()
        if result.others[each] != bar.standard(each)
    )


def _hanging(result: Rescale, counting: Menu | None, other: str) -> tuple[Drink, ...]:
    """The drinks of a batch whose row changes when another syrup comes to its standard."""
    menu = result.rows[0].menu
    bar, standard = menu.bar, menu.bar.standard(other)
    if menu.brix(other) == standard:
        return ()
    sharing = [row.drink for row in result.rows if any(part.pour.of == other for part in row.decided.parts)]
    after = rescale(
        bar,
        result.syrup.id,
        result.batch_brix,
        sharing,
        menu=menu.at(other, standard),
        counting=counting.at(other, standard) if counting else None,
    )
    then = {row.drink.id: _said(row) for row in after.rows}
    return tuple(row.drink for row in result.rows if row.drink.id in then and then[row.drink.id] != _said(row))


def _said(row: DrinkRow) -> tuple[Amount, bool, str, bool]:
    return key_of(row.poured), row.is_to_blame, row.verdict, row.hangs_on_bottle
