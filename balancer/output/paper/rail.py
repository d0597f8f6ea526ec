"""The sheet above the rail: every drink in short form."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final, Literal, get_args

from balancer.engine.drink.card import Card, CardPour
from balancer.models.house import House
from balancer.output.paper.card_lines import Units, amount, note
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK
from balancer.output.paper.sheet import sheet_page

RailOrder = Literal["name", "family"]


ORDERS: Final[tuple[RailOrder, ...]] = get_args(RailOrder)


_NO_FAMILY = "other drinks"


def rail_page(
    cards: Sequence[Card],
    house: House,
    day: date,
    units: Units,
    words: Words,
    order: RailOrder,
    paper: PaperSheet,
    missing: Sequence[str],
) -> dict[str, Any]:
    """What the template is given. cards are in the order they are printed in."""
    rows, group = [], None
    for card in cards:
        family = card.drink.family or _NO_FAMILY
        starts = order == "family" and family.casefold() != group
        group = family.casefold()
        rows.append(_item(card, house, units, words) | {"family": family if starts else None})
    return sheet_page("Rail", house, day, words, {"notes": _notes(house, units), "missing": list(missing)}, rows, paper)


def allergens_short(contains: Sequence[str], unknown: Sequence[str]) -> str:
    """What the house lists, and what nobody listed; the second never hides behind the first.

    >>> allergens_short(["eggs"], ["bitters"]), allergens_short([], [])
    ('contains eggs; unknown: bitters', 'none listed by the house')
    """
    parts = [f"contains {', '.join(contains)}"] if contains else []
    parts += [f"unknown: {', '.join(unknown)}"] if unknown else []
    return "; ".join(parts or ["none listed by the house"])


def _notes(house: House, units: Units) -> list[str]:
    unit = house.show if units == "both" else units
    other = {"ml": "oz", "oz": "ml"}[unit]
    said = f"Amounts without a unit are {unit}"
    said += f", {other} in brackets." if units == "both" else "."
    listed_by = "Allergens as the house lists them, garnish not counted; unknown: it has no list."
    return [
        f"{said} °Bx: the strength a pour is written for. Specs as written, not tonight's pours.",
        f"{listed_by} None listed is not the same as free from: ask.",
        "Steps and their order are on the card.",
    ]


def _item(card: Card, house: House, units: Units, words: Words) -> dict[str, Any]:
    drink = card.drink
    details = {
        "glass": drink.glass,
        "ice": drink.ice,
        "strain": drink.strain,
        "garnish": drink.garnish,
        "with": ", ".join(drink.extras) or None,
        "caution": "; ".join(f"{caution.name}: {caution.text}" for caution in card.cautions) or None,
    }
    return {
        "name": drink.name,
        "method": ", ".join(part for part in (drink.method, drink.time) if part),
        "pours": [_pour(line, house, units, words) for line in card.pours],
        "details": [{"label": label, "text": text} for label, text in details.items() if text],
        "allergens": allergens_short(card.allergens, card.unknown),
    }


def _pour(line: CardPour, house: House, units: Units, words: Words) -> dict[str, Any]:
    unit: Literal["ml", "oz"] = house.show if units == "both" else units
    number, written = amount(line, unit, words)
    other = ""
    if units == "both" and line.ml is not None:
        other = NO_BREAK.join(amount(line, "oz" if unit == "ml" else "ml", words))
    return {
        "number": number,
        "unit": "" if written == unit else written,
        "other": other,
        "name": line.liquid.name,
        "note": note(line, words) or "",
    }
