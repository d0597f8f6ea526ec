"""Spec cards: what the template is given, what is remembered of a card, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final

from balancer.engine.drink.card import Card, CardCaution, CardPour
from balancer.engine.drink.withdraw import Withdrawal
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.printed import Printed
from balancer.output.paper.card_lines import Units, amount, note
from balancer.output.paper.imposition import INCH_MM, Imposition, PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK, printable, printed_texts
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.edit import FileChange
from balancer.output.words.known import known_sum, known_volume, unknown_contents
from balancer.output.words.numbers import trim


@dataclass(frozen=True, slots=True)
class CardSize:
    """A card to print on: its name, size and margin in mm, and the share of the letters of A6 that it has."""

    name: str
    sheet: PaperSheet
    margin_mm: float
    letters: float


@dataclass(frozen=True, slots=True)
class CardRun:
    """What was printed, and what to do with the old cards.

    cards   printed, in order; none when nothing had changed
    paper   name of the sheet that holds several; None when every card is a page
    left_out  how many drinks have no card although they were asked for: their problems are told beside this
    draft   to look at only: nothing is noted as printed
    marks   the print mark of every card by its drink
    today   when it was printed
    kept    the change of house.yaml that remembers the template
    """

    cards: list[Card]
    found: Withdrawal
    written: list[Path]
    size: CardSize
    layout: Imposition
    paper: str | None
    left_out: int
    draft: bool
    marks: Mapping[str, str]
    today: date
    kept: FileChange | None = None

    @property
    def pages(self) -> int:
        """How many pages the cards take."""
        return ceil(len(self.cards) / self.layout.up)

    def new_mark(self, old: Printed) -> str | None:
        """The mark of the card printed in place of an old one; None where none is."""
        return next((self.marks[card.drink.id] for card in self.cards if card.drink.id == old.drink), None)

    @property
    def same_version(self) -> list[str]:
        """Names of the drinks printed whose card says something else than the old one under the same version."""
        return [card.drink.name for card in self.cards if card.drink.id in self.found.same_version]


# The template's amounts are 24, 21 or 18 pt on A6, on the smallest card 20, 18 or 15.
SIZES: Final = {
    "a6": CardSize("A6", PaperSheet(105.0, 148.0), 8.0, 1.0),
    "4x6": CardSize("4 × 6 in", PaperSheet(4.0 * INCH_MM, 6.0 * INCH_MM), 8.0, 1.0),
    "3x5": CardSize("3 × 5 in", PaperSheet(3.0 * INCH_MM, 5.0 * INCH_MM), 6.0, 0.84),
}


def cards_page(
    cards: list[Card],
    house: House,
    size: CardSize,
    layout: Imposition,
    units: Units,
    words: Words,
    day: date | None,
    marks: Mapping[str, str],
    *,
    extras: bool,
) -> dict[str, Any]:
    """What the template is given. day is when it is printed; None for a draft. marks are the print marks by drink."""
    made = words("card.draft") if day is None else words("paper.printed", day=words.full_date(day))
    name = words("card.title", house=house.name)
    items = [
        card_item(card, house, units, words, extras=extras)
        | {"made": printable(made), "mark": marks.get(card.drink.id, "")}
        for card in cards
    ]
    return {
        "title": name if len(cards) != 1 else f"{house.name}: {cards[0].drink.name}",
        "layout": layout_data(layout, size.margin_mm) | {"letters": size.letters},
        "words": words.section("paper") | words.section("card"),
        "items": items,
    }


def card_item(card: Card, house: House, units: Units, words: Words, *, extras: bool) -> dict[str, Any]:
    """One card as its template reads it.

    version, date and by are the parts of spec, None where there is none; made and mark come with the page.
    """
    drink = card.drink
    version = words("card.spec", version=drink.version) if drink.version else None
    day = _day(drink.date, words) if drink.date else None
    item = {
        "name": drink.name,
        "overleaf": words("card.overleaf", name=drink.name),
        "house": house.name,
        "method": drink.method,
        "time": drink.time,
        "glass": drink.glass,
        "ice": drink.ice,
        "both": units == "both",
        "pours": [_line(line, units, words) for line in card.pours],
        "details": [
            *({"word": str(number), "text": step, "step": True} for number, step in enumerate(drink.steps, 1)),
            *_details(drink, words),
        ],
        "listed": [words.allergen(name) for name in card.allergens],
        "unknown": list(card.unknown),
        "garnish": drink.garnish is not None,
        "cautions": [caution_text(caution, words) for caution in card.cautions],
        "figures": _figures(card, house) if extras else None,
        "continues": False,
        "version": version,
        "date": day,
        "by": drink.by,
        "spec": words.row(part for part in (version, day, drink.by) if part),
        "made": "",
        "mark": "",
    }
    printed: dict[str, Any] = printed_texts(item)
    return printed


def _details(drink: Drink, words: Words) -> list[dict[str, Any]]:
    """What comes after the pours, word and value."""
    found = {"strain": drink.strain, "with": words.row(drink.extras), "garnish": drink.garnish}
    return [{"word": words(f"card.{key}"), "text": text, "step": False} for key, text in found.items() if text]


def _line(line: CardPour, units: Units, words: Words) -> dict[str, Any]:
    """A pour: its amount in the first unit, and in the other unit."""
    number, unit = amount(line, "ml" if units == "ml" else "oz", words)
    other = amount(line, "ml", words) if units == "both" and line.ml is not None else ("", "")
    return {
        "number": number,
        "unit": unit,
        "other": NO_BREAK.join(other).strip(),
        "name": line.liquid.name,
        "note": note(line, words),
    }


def caution_text(caution: CardCaution, words: Words) -> str:
    """What is to be said, and of what, where the caution does not say that itself."""
    said = words.caution(caution.text)
    return said if said != caution.text else f"{caution.name}: {said}"


def _day(written: str, words: Words) -> str:
    """A date of a file the one way dates are printed; what is none, as it is written."""
    try:
        return words.full_date(date.fromisoformat(written))
    except ValueError:
        return written


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
