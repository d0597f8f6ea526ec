"""The sheet above the rail: every drink in short form."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final, Literal, get_args

from balancer.engine.drink.card import Card, CardPour
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.paper.card_lines import Units, amount, note
from balancer.output.paper.cards import caution_texts
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK
from balancer.output.paper.sheet import sheet_page
from balancer.output.paper.typeset import texts

RailOrder = Literal["name", "family"]


ORDERS: Final[tuple[RailOrder, ...]] = get_args(RailOrder)


_NO_ICE: Final = ("none", "no")


_LONG_WORD: Final = 24
"""Letters. A longer word may break anywhere, as in the template."""


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
        family = card.drink.family or words("rail.without-family")
        starts = family.casefold() != group
        group = family.casefold()
        told = {
            "family": family if starts else None,
            "group": None if starts else words("rail.continued", family=family),
            "runs-on": words("rail.continued", family=family),
        }
        rows.append(_item(card, house, units, words) | (told if order == "family" else dict.fromkeys(told)))
    head = {
        "notes": [words(f"rail.{key}") for key in ("as-written", "strength", "steps")],
        "marks": [words("rail.no-mark"), words("paper.garnish-not-counted")],
        "missing": list(missing),
        "footer": words("rail.foot"),
    }
    return sheet_page(words("rail.title"), house, day, words, head, rows, paper, "rail")


def _item(card: Card, house: House, units: Units, words: Words) -> dict[str, Any]:
    drink = card.drink
    item = {
        "name": drink.name,
        "again": words("rail.continued", family=drink.name),
        "method": words.row(part for part in (words.method(drink.method or ""), drink.time) if part),
        "both": units == "both",
        "pours": [_pour(line, house, units, words) for line in card.pours],
        "facts": _facts(drink, words),
        "listed": [words.allergen(name) for name in card.allergens],
        "unknown": list(card.unknown),
        "cautions": caution_texts(card.cautions, words),
    }
    # Only what has a word that a line may not hold is looked through for it: that takes time.
    longest = max((word for text in texts(item) for word in text.split()), key=len, default="")
    return item | {"long": len(longest) > _LONG_WORD}


def _facts(drink: Drink, words: Words) -> list[list[str]]:
    """Word and value. The glass and the ice say themselves what they are; that there is none does not."""
    ice_word = words("card.ice") if drink.ice and drink.ice.casefold() in _NO_ICE else ""
    found = [
        ("", drink.glass),
        (ice_word, words.word(drink.ice or "")),
        (words("card.strain"), words.word(drink.strain or "")),
        (words("card.with"), words.row(drink.extras)),
        (words("card.garnish"), drink.garnish),
    ]
    return [[word, text] for word, text in found if text]


def _pour(line: CardPour, house: House, units: Units, words: Words) -> dict[str, Any]:
    """A pour: its amount in the first unit, and in the other unit."""
    first: Literal["ml", "oz"] = house.show if units == "both" else units
    second: Literal["ml", "oz"] = "oz" if first == "ml" else "ml"
    number, unit = amount(line, first, words)
    other = amount(line, second, words) if units == "both" and line.ml is not None else ("", "")
    return {
        "number": number,
        "unit": unit,
        "other": NO_BREAK.join(other).strip(),
        "name": line.liquid.name,
        "note": note(line, words),
    }
