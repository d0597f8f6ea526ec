"""Spec cards: what the template is given, what is remembered of a card, and the answer on the screen."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Any, Final

from balancer.engine.drink.card import Card, CardCaution, CardPour
from balancer.engine.drink.cautions import RAW_EGG
from balancer.engine.drink.withdraw import Withdrawal
from balancer.models.house import House
from balancer.output.paper.card_lines import Units, amount, note
from balancer.output.paper.imposition import INCH_MM, Imposition, PaperSheet
from balancer.output.paper.print_text import NO_BREAK, printable, printed_texts
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.known import known_sum, known_volume, unknown_contents
from balancer.output.words.numbers import trim


@dataclass(frozen=True, slots=True)
class CardSize:
    """A card to print on: its name, size and margin in mm, and the largest and smallest scale of its letters."""

    name: str
    sheet: PaperSheet
    margin_mm: float
    full: float
    least: float


@dataclass(frozen=True, slots=True)
class CardRun:
    """What was printed, and what to do with the old cards.

    cards   printed, in order; none when nothing had changed
    paper   name of the sheet that holds several; None when every card is a page
    left_out  how many drinks have no card although they were asked for: their problems are told beside this
    draft   to look at only: nothing is noted as printed
    """

    cards: list[Card]
    found: Withdrawal
    written: list[Path]
    size: CardSize
    layout: Imposition
    paper: str | None
    left_out: int
    draft: bool

    @property
    def pages(self) -> int:
        """How many pages the cards take."""
        return ceil(len(self.cards) / self.layout.up)


# The template's amounts are 21 pt at scale 1: at least 14 pt, on the smallest card 12.
SIZES: Final = {
    "a6": CardSize("A6", PaperSheet(105.0, 148.0), 7.0, 1.15, 0.67),
    "4x6": CardSize("4 × 6 in", PaperSheet(4.0 * INCH_MM, 6.0 * INCH_MM), 7.0, 1.15, 0.67),
    "3x5": CardSize("3 × 5 in", PaperSheet(3.0 * INCH_MM, 5.0 * INCH_MM), 6.0, 0.95, 0.572),
}


_SAID: Final = {RAW_EGG: "raw egg – tell the guest; not for anyone told to avoid it"}


def cards_page(
    cards: list[Card], house: House, size: CardSize, layout: Imposition, units: Units, made: str, *, extras: bool
) -> dict[str, Any]:
    """What the template is given. made says when it is printed, or that it is a draft."""
    return {
        "title": f"{house.name}: spec cards" if len(cards) != 1 else f"{house.name}: {cards[0].drink.name}",
        "layout": layout_data(layout, size.margin_mm, size.full, size.least),
        "items": [card_item(card, house, units, extras=extras) | {"made": printable(made)} for card in cards],
    }


def card_item(card: Card, house: House, units: Units, *, extras: bool) -> dict[str, Any]:
    """One card as its template reads it."""
    drink = card.drink
    item = {
        "name": drink.name,
        "method": ", ".join(part for part in (drink.method, drink.time) if part),
        "glass": drink.glass,
        "ice": drink.ice,
        "strain": drink.strain,
        "both": units == "both",
        "pours": [_line(line, units) for line in card.pours],
        "steps": list(drink.steps),
        "extras": ", ".join(drink.extras) or None,
        "garnish": drink.garnish,
        "figures": _figures(card, house) if extras else None,
        "contains": contains_text(card),
        "cautions": [_caution(caution) for caution in card.cautions],
        "house": house.name,
        "version": " · ".join(
            part for part in (f"version {drink.version}" if drink.version else None, drink.date, drink.by) if part
        ),
    }
    printed: dict[str, Any] = printed_texts(item)
    return printed


def _line(line: CardPour, units: Units) -> dict[str, Any]:
    """A pour: its amount in the first unit, split where the amounts are aligned, and in the other unit."""
    number, unit = amount(line, "ml" if units == "ml" else "oz")
    other = amount(line, "ml") if units == "both" and line.ml is not None else ("", "")
    return {
        "number": number,
        "whole": len(number.encode()) - len(number.lstrip("0123456789").encode()),
        "unit": unit,
        "other": NO_BREAK.join(other).strip(),
        "name": line.liquid.name,
        "note": note(line),
    }


def contains_text(card: Card) -> str:
    """The card's sentence on allergens. What nobody listed is named, and never counts as none."""
    known, unknown = ", ".join(card.allergens), ", ".join(card.unknown)
    if known:
        said = f"Contains {known}." + (f" Not known: {unknown}." if unknown else "")
    elif unknown:
        said = f"Allergens not known: {unknown}. None listed for the rest."
    else:
        said = "Allergens: none listed by the house."
    return said + (" Garnish not counted." if card.drink.garnish else "")


def _caution(caution: CardCaution) -> str:
    return f"{caution.name}: {_SAID.get(caution.text, caution.text)}"


def _figures(card: Card, house: House) -> str:
    """ABV, volume and alcohol in the glass, as far as they are known; what is not known is named."""
    result = card.totals
    least = result.is_least("abv")
    drinks = trim(result.standard_drinks, 1)
    unit = f"standard drink{'' if drinks == '1' else 's'} ({house.standard_drink})"
    alcohol = known_sum(drinks, unit, "alcohol", least=least)
    if result.served is None:
        said = ["ABV and volume in the glass unknown", alcohol]
    else:
        abv = known_sum(trim(result.served.abv_percent, 1), "% ABV", "ABV", least=least)
        said = [abv, known_volume(result.served.volume_ml, house, exact=result.is_volume_known), alcohol]
    return " · ".join([*said, *(f"not known: {text}" for text in unknown_contents(result.unknown, ("abv",)))])
