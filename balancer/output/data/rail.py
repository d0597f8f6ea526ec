"""`rail` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from balancer.engine.drink.card import Card
from balancer.models.house import House
from balancer.output.paper.card_lines import Units
from balancer.output.paper.sheet import PrintedSheet


def rail_data(
    cards: Sequence[Card], house: House, day: date, units: Units, printed: PrintedSheet, missing: Sequence[str]
) -> dict[str, Any]:
    """The JSON object of `sheet rail`."""
    return {
        "sheet": "rail",
        "date": day.isoformat(),
        "house": house.name,
        "units": units,
        **printed.data,
        "drinks": [_data(card) for card in cards],
        "missing": list(missing),
    }


def _data(card: Card) -> dict[str, Any]:
    drink = card.drink
    return {
        "drink": drink.id,
        "name": drink.name,
        "family": drink.family,
        "method": drink.method,
        "time": drink.time,
        "glass": drink.glass,
        "ice": drink.ice,
        "strain": drink.strain,
        "garnish": drink.garnish,
        "extras": list(drink.extras),
        "pours": [
            {
                "ingredient": line.liquid.id,
                "name": line.liquid.name,
                "amount": {"value": line.pour.amount.value, "unit": line.pour.amount.unit},
                "volume_ml": line.ml,
                "standard_brix": line.standard_brix,
                "written_for_brix": line.written_brix,
                "top": line.is_top,
            }
            for line in card.pours
        ],
        "allergens": list(card.allergens),
        "unknown": list(card.unknown),
    }
