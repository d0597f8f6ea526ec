"""What a spec card tells of a drink: the spec, the strengths it is written for, and what a guest must be told."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Totals, totals
from balancer.engine.drink.written import Written, written
from balancer.models.drink import Drink
from balancer.models.pour import Pour


@dataclass(frozen=True, slots=True)
class CardPour:
    """One line of a card.

    written         its amount as the card writes it
    standard_brix   of a syrup: its standard
    written_brix    of a syrup: the strength its pour is written for
    is_top          poured after the ice
    """

    pour: Pour
    liquid: Liquid
    written: Written
    standard_brix: float | None
    written_brix: float | None
    is_top: bool

    @property
    def ml(self) -> float | None:
        """The written amount in ml, where it is in a unit that may be exchanged."""
        return self.written.ml

    @property
    def oz(self) -> float | None:
        """The same in ounces of the house, as a kitchen fraction where one is near."""
        return self.written.oz


class CardCaution(NamedTuple):
    """Something to say with a pour; its text as in its file, or one of those that hold for any bar."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Card:
    """A drink as its card tells it.

    allergens  named by the house for any pour; unknown: names of pours and extras whose allergens nobody listed
    totals     the drink worked out, for cards that show its strength
    """

    drink: Drink
    pours: tuple[CardPour, ...]
    allergens: tuple[str, ...]
    unknown: tuple[str, ...]
    cautions: tuple[CardCaution, ...]
    totals: Totals


def card(bar: Bar, drink: Drink) -> Card:
    """The card of a drink."""
    worked = totals(bar, drink)
    return Card(
        drink=drink,
        pours=tuple(_pour(bar, drink, part) for part in worked.contributions),
        allergens=worked.allergens,
        unknown=tuple(dict.fromkeys(item.name for item in worked.unknown if item.what == "allergens")),
        cautions=tuple(dict.fromkeys(CardCaution(said.name, said.text) for said in worked.cautions)),
        totals=worked,
    )


def _pour(bar: Bar, drink: Drink, part: Contribution) -> CardPour:
    standard, strength = None, None
    if part.liquid.id in bar.specs.syrups:
        standard, strength = bar.standard(part.liquid.id), bar.written_for(drink, part.liquid.id)
    return CardPour(part.pour, part.liquid, written(bar, part.pour, part.liquid), standard, strength, part.is_top)
