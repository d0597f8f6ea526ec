"""`rail` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.card import Card
from balancer.output.paper.rail import RailOrder
from balancer.output.paper.sheet import PrintedSheet, listed, missing_row, sheet_text
from balancer.output.words.numbers import count


def in_order(cards: Sequence[Card], order: RailOrder) -> list[Card]:
    """Cards by name, or by family and then name; those without a family last."""
    by_name = sorted(cards, key=lambda card: (card.drink.name.casefold(), card.drink.id))
    if order == "name":
        return by_name
    return sorted(by_name, key=lambda card: (card.drink.family is None, (card.drink.family or "").casefold()))


def rail_text(cards: Sequence[Card], printed: PrintedSheet, missing: Sequence[str]) -> str:
    """The answer of `sheet rail`."""
    unknown = [card.drink.name for card in cards if card.unknown]
    rows = [f"allergens not known of {count(len(unknown), 'drinks')}: {listed(unknown)}"] if unknown else []
    rows += missing_row(missing)
    rows += ["specs as written: tonight's pours are in balancer tonight"]
    return sheet_text(f"rail: {count(len(cards), 'drinks')} on {printed.text}", rows)
