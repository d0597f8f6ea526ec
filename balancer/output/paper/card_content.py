"""What makes a card the same card as before: all it says, whatever it looks like and whenever it was printed."""

from __future__ import annotations

from typing import Any, Final

from balancer.engine.drink.card import Card, CardPour
from balancer.engine.drink.written import Shown
from balancer.models.house import House
from balancer.output.paper.card_lines import Units
from balancer.output.words.amounts import written_number
from balancer.output.words.known import known_volume, unknown_contents
from balancer.output.words.numbers import trim

_SHOWN: Final[dict[Units, tuple[Shown, ...]]] = {"ml": ("ml",), "oz": ("oz",), "both": ("oz", "ml")}


def card_content(card: Card, house: House, units: Units, *, extras: bool) -> dict[str, Any]:
    """All that a card says, in the units it shows, as bare facts: no wording, no signs and no layout.

    A new look, another language or paper gives the same; so no key and no value may change with the wording.
    """
    drink = card.drink
    return {
        "name": drink.name,
        "method": [drink.method, drink.time],
        "glass": drink.glass,
        "ice": drink.ice,
        "strain": drink.strain,
        "steps": list(drink.steps),
        "extras": list(drink.extras),
        "garnish": drink.garnish,
        "pours": [_pour(line, _SHOWN[units]) for line in card.pours],
        "allergens": list(card.allergens),
        "allergens unknown": list(card.unknown),
        "cautions": [list(caution) for caution in card.cautions],
        "figures": _figures(card, house) if extras else None,
        "house": house.name,
        "version": [drink.version, drink.date, drink.by],
    }


def _pour(line: CardPour, shown: tuple[Shown, ...]) -> list[Any]:
    """Its amounts, its name, the strength that it is written for and whether that is apart, and when it goes in."""
    strength = None if line.written_brix is None else trim(line.written_brix, 1)
    is_apart = line.written_brix != line.standard_brix
    return [[written_number(line.written, unit) for unit in shown], line.liquid.name, strength, is_apart, line.is_top]


def _figures(card: Card, house: House) -> list[Any]:
    """ABV, volume and alcohol in the glass, as finely as they are shown."""
    result, served = card.totals, card.totals.served
    return [
        None if served is None else trim(served.abv_percent, 1),
        None if served is None else known_volume(served.volume_ml, house, exact=result.is_volume_known),
        trim(result.standard_drinks, 1),
        house.standard_drink,
        result.is_least("abv"),
        unknown_contents(result.unknown, ("abv",)),
    ]
