"""Spec cards: what the template is given, what is remembered of a card, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final

from balancer.engine.drink.card import Card, CardCaution, CardPour
from balancer.engine.drink.withdraw import Withdrawal
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.printed import Printed
from balancer.output.paper.card_lines import CardWay, Units, amount, note
from balancer.output.paper.imposition import INCH_MM, Imposition, PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK, printable, printed_texts
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.edit import FileChange
from balancer.output.words.known import unknown_names
from balancer.output.words.numbers import trim
from balancer.output.words.page import house_volume

_NONE: Final = "0"
_MOST_NAMED: Final = 4


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
    sides   how many sides each card takes, in the order of the cards; empty for a template that does not tell
    ways    in which way each card is, by its drink
    asked   in which way cards were asked for; those in another are printed as the old card was
    shared  ids of the drinks of the base, whose version the house cannot raise
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
    sides: tuple[int, ...] = ()
    ways: Mapping[str, CardWay] = field(default_factory=dict)
    asked: CardWay = field(default_factory=CardWay)
    shared: Collection[str] = ()

    @property
    def pages(self) -> int:
        """How many pages the cards take."""
        return ceil(sum(self.sides_of_each) / self.layout.up)

    @property
    def sides_of_each(self) -> tuple[int, ...]:
        """How many sides each card takes."""
        return self.sides or (1,) * len(self.cards)

    @property
    def overleaf(self) -> list[str]:
        """The names of the drinks whose cards go on overleaf."""
        return [card.drink.name for card, sides in zip(self.cards, self.sides_of_each, strict=True) if sides > 1]

    def way(self, card: Card) -> CardWay:
        """In which way a card is printed."""
        return self.ways.get(card.drink.id, self.asked)

    @property
    def as_old(self) -> dict[CardWay, list[str]]:
        """The names of the drinks whose card is printed as the old one was, by that way."""
        found: dict[CardWay, list[str]] = {}
        for card in self.cards:
            if self.way(card) != self.asked:
                found.setdefault(self.way(card), []).append(card.drink.name)
        return found

    def new_mark(self, old: Printed) -> str | None:
        """The mark of the card printed in place of an old one; None where none is."""
        return next((self.marks[card.drink.id] for card in self.cards if card.drink.id == old.drink), None)

    def same_version(self, *, shared: bool) -> list[str]:
        """Names of the drinks printed whose card says something else than the old one under the same version.

        shared  of those of the base; else of the house's own
        """
        same = [card.drink for card in self.cards if card.drink.id in self.found.same_version]
        return [drink.name for drink in same if (drink.id in self.shared) is shared]


# The template's amounts are 24, 21 or 18 pt on A6, on the smallest card 20, 17.5 or 15.
SIZES: Final = {
    "a6": CardSize("A6", PaperSheet(105.0, 148.0), 8.0, 1.0),
    "4x6": CardSize("4 × 6 in", PaperSheet(4.0 * INCH_MM, 6.0 * INCH_MM), 8.0, 1.0),
    "3x5": CardSize("3 × 5 in", PaperSheet(3.0 * INCH_MM, 5.0 * INCH_MM), 6.0, 0.84),
}


def cards_page(  # noqa: PLR0913 - one for each thing that is asked for
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
    others: Iterable[Card] = (),
    ways: Mapping[str, CardWay] | None = None,
) -> dict[str, Any]:
    """What the template is given.

    day     when it is printed; None for a draft
    marks   the print marks by drink
    others  the rest of the menu, not printed: the letters have one size for all of it
    ways    of drinks whose cards are printed otherwise than in these units and with or without extras
    """
    made = words("card.draft") if day is None else words("paper.printed", day=words.full_date(day))
    title = words("card.title", house=house.name) if len(cards) != 1 else f"{house.name}: {cards[0].drink.name}"

    def items(some: Iterable[Card]) -> list[dict[str, Any]]:
        made_in = [(card, (ways or {}).get(card.drink.id, CardWay(units, extras))) for card in some]
        return [
            card_item(card, house, way.units or units, words, extras=way.extras)
            | {"made": printable(made), "mark": marks.get(card.drink.id, "")}
            for card, way in made_in
        ]

    return {
        "title": printable(title, words.quotes),
        "layout": layout_data(layout, size.margin_mm) | {"letters": size.letters},
        "words": words.section("paper") | words.section("card"),
        "items": items(cards),
        "others": items(others),
    }


def sides_of(told: Any) -> tuple[int, ...]:
    """How many sides each card takes, as the template tells it; nothing of one that does not."""
    return tuple(told["sides"]) if isinstance(told, dict) and "sides" in told else ()


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
        "method": words.method(drink.method) if drink.method else drink.method,
        "time": drink.time,
        "glass": drink.glass,
        "ice": words.word(drink.ice) if drink.ice else drink.ice,
        "both": units == "both",
        "pours": [_line(line, units, words) for line in card.pours],
        "details": [
            *({"word": str(number), "text": step, "step": True} for number, step in enumerate(drink.steps, 1)),
            *_details(drink, words),
        ],
        "listed": [words.allergen(name) for name in card.allergens],
        "unknown": list(card.unknown),
        "garnish": drink.garnish is not None,
        "cautions": caution_texts(card.cautions, words),
        "figures": _figures(card, house, words) if extras else None,
        "continues": False,
        "version": version,
        "date": day,
        "by": drink.by,
        "spec": words.row(part for part in (version, day, drink.by) if part),
        "made": "",
        "mark": "",
    }
    printed: dict[str, Any] = printed_texts(item, words.quotes)
    return printed


def _details(drink: Drink, words: Words) -> list[dict[str, Any]]:
    """What comes after the pours, word and value."""
    strain = words.word(drink.strain) if drink.strain else None
    found = {"strain": strain, "with": words.row(drink.extras), "garnish": drink.garnish}
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


def caution_texts(cautions: Iterable[CardCaution], words: Words) -> list[str]:
    """What is to be said, and of what, where the caution does not say that itself; each once."""
    return list(dict.fromkeys(words.caution(caution.text, caution.name) for caution in cautions))


def _day(written: str, words: Words) -> str:
    """A date of a file the one way dates are printed; what is none, as it is written."""
    try:
        return words.full_date(date.fromisoformat(written))
    except ValueError:
        return written


def _figures(card: Card, house: House, words: Words) -> str:
    """ABV, volume and alcohol in the glass, as far as they are known; what is not known is named."""
    result = card.totals
    least = result.is_least("abv")

    def known(number: str) -> str:
        return words("card.at-least", number=words.number(number)) if least else words.number(number)

    drinks = trim(result.standard_drinks, 1)
    alcohol = words.count(
        "card.standard-drinks", 1 if drinks == "1" else 2, amount=known(drinks), system=house.standard_drink
    )
    if least and drinks == _NONE:
        alcohol = words("card.alcohol-unknown")
    if result.served is None:
        said = [words("card.glass-unknown"), alcohol]
    else:
        percent = trim(result.served.abv_percent, 1)
        is_unknown = least and percent == _NONE
        abv = words("card.abv-unknown") if is_unknown else words("card.abv", number=known(percent))
        volume = words.number(house_volume(result.served.volume_ml, house))
        said = [abv, volume if result.is_volume_known else words("card.about", volume=volume), alcohol]
    names = unknown_names(result.unknown, "abv", small=False)
    figures = words.row(said)
    if not names:
        return figures
    return words("card.not-known-alcohol", figures=figures, names=words.some(names, _MOST_NAMED))
