"""A drink as written beside the same with other pours: what a swap and an adjusted drink show alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from starlette.requests import Request
from starlette.responses import Response

from balancer.engine.drink.amount import Amount
from balancer.engine.swaps.adjust import AdjustedDrink
from balancer.engine.swaps.slots import SwappedPour
from balancer.engine.swaps.swap import Swap
from balancer.engine.swaps.taste import Tasting
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.words.amounts import amount_number, amount_text, change_of, unit_text
from balancer.output.words.known import unknown_contents
from balancer.output.words.moved_facts import moved_facts
from balancer.output.words.taste import published_text, taste_items, taste_rest
from balancer.units import Quantity, format_quantity
from balancer.web.adjusting import AskedAdjust
from balancer.web.house import sorted_by_name
from balancer.web.render import halves, show
from balancer.web.swapping import AskedSwap

NONE: Final = "none"
_MEASURED: Final = ("ml", "cl", "l", "oz", "g", "kg")


@dataclass(frozen=True, slots=True)
class ShownPourChange:
    """A pour before and after.

    ingredient, exact  its id, and to pour in ml or g, unrounded
    written, now       as the bar reads them, now in its two sizes, with its unit
    word, note         what is done with it, and what else to know of it
    """

    ingredient: str
    name: str
    exact: float
    written: str
    now: tuple[str, str]
    unit: str
    word: str
    moves: bool
    note: str = ""
    gone: bool = False


@dataclass(frozen=True, slots=True)
class ShownTaste:
    """What to taste first, in order; the rest of it; and what such figures are worth."""

    items: tuple[str, ...]
    rest: str
    published: str


def show_change(
    request: Request, template: str, asked: AskedSwap | AskedAdjust, *, again: str, title: str, **shown: Any
) -> Response:
    """The page of a question about a drink, with what is wrong with it, and every drink to choose from."""
    desk = asked.desk
    return show(
        request,
        template,
        house=desk.house.name,
        at=desk.at,
        status=422 if asked.typed.wrong else 200,
        again=again,
        title=title,
        asked=asked,
        typed=asked.typed,
        drink=asked.drink,
        drinks=[(one.id, one.name) for one in sorted_by_name(desk.specs.drinks)],
        **shown,
    )


def pour_rows(pours: Sequence[SwappedPour], drink: Drink, house: House) -> list[ShownPourChange]:
    """Pours of a drink that may have become others; water that is not added is none of them."""
    said = {pour.of: pour.amount for pour in drink.pours}
    return [
        _as_said(pour, said[pour.liquid.id]) if _is_counted(pour, said) else pour_row(pour, house)
        for pour in pours
        if pour.was_there or pour.liquid.id in said or pour.poured.value
    ]


def _is_counted(pour: SwappedPour, said: Mapping[str, Quantity]) -> bool:
    """Whether it stays, and is written in dashes, leaves or the like."""
    amount = said.get(pour.liquid.id)
    return amount is not None and not pour.is_free and not pour.is_new and amount.unit not in _MEASURED


def _as_said(pour: SwappedPour, amount: Quantity) -> ShownPourChange:
    """A pour that stays, as the spec has it."""
    number, _, unit = format_quantity(amount, glyphs=False).rpartition(" ")
    return ShownPourChange(
        pour.liquid.id, pour.liquid.name, pour.poured.value, number, halves(number), unit, "the same", moves=False
    )


def pour_row(pour: SwappedPour, house: House, note: str = "", *, before: Amount | None = None) -> ShownPourChange:
    """One pour. before: of what comes in a swap, how much the drink had of it."""
    number, unit = _amount(pour.poured, pour.measured, house)
    written = _written(pour, before, house)
    if pour.is_new:
        word = f"in all, {amount_number(before, house)} before" if before else ""
    elif pour.stays:
        word = "the same"
    else:
        word = "more" if pour.spec is None or pour.poured.value > pour.spec.value else "less"
        word = word if pour.was_there or pour.spec is None else "added"
    moves = pour.is_new or not pour.stays
    return ShownPourChange(
        pour.liquid.id, pour.liquid.name, pour.poured.value, written, halves(number), unit, word, moves, note
    )


def gone_row(identity: str, name: str, written: Amount, house: House) -> ShownPourChange:
    """What goes."""
    return ShownPourChange(
        identity, name, 0.0, amount_text(written, house), (NONE, ""), "", "goes out", moves=True, gone=True
    )


def _amount(amount: Amount, measured: Quantity | None, house: House) -> tuple[str, str]:
    if measured is None:
        return amount_number(amount, house), unit_text(amount.unit, house)
    number, _, unit = format_quantity(measured, glyphs=False).rpartition(" ")
    return number, unit


def _written(pour: SwappedPour, before: Amount | None, house: House) -> str:
    if pour.is_new:
        return amount_number(before, house) if before else NONE
    if pour.written is not None:
        return amount_text(pour.written, house)
    if pour.spec is None or not pour.was_there:
        return NONE
    if pour.spec_measured is not None:
        return format_quantity(pour.spec_measured, glyphs=False)
    if pour.measured is not None:
        return amount_text(pour.spec, house)
    return change_of(pour.spec, pour.poured, house).before


def shown_taste(tasting: Tasting) -> ShownTaste:
    """What to taste first."""
    published = "" if tasting.dilution_unknown else published_text(tasting)
    return ShownTaste(tuple(taste_items(tasting)), taste_rest(tasting), published)


def facts_of(result: Swap | AdjustedDrink, house: House) -> list[tuple[str, str, str]]:
    """What moved, and what no sum of it counts."""
    unknown = unknown_contents(result.new.unknown)
    return [*moved_facts(result, house), *([("not known", ", ".join(unknown), "")] if unknown else [])]
