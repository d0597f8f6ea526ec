"""What a spec card tells of a drink: the spec, the strengths it is written for, and what a guest must be told."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final, NamedTuple

from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import RAW_EGG, names_egg
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Totals, totals
from balancer.models.drink import Drink
from balancer.models.ingredient import own_unit
from balancer.models.pour import Pour

_EXCHANGED: Final = ("ml", "cl", "l", "oz")
"""Units between which a card may choose; a dash stays a dash."""
_FRACTIONS: Final = (2, 3, 4, 8)
_FRACTION_WITHIN: Final = 0.02
"""A bar that pours 30 ml as an ounce of 29.57 reads 22.5 ml as ¾ oz: 1.4 % off (judged)."""


@dataclass(frozen=True, slots=True)
class CardPour:
    """One line of a card.

    ml              the written amount in ml, where it is in a unit that may be exchanged; else None
    oz              the same in ounces of the house, as a kitchen fraction where one is near
    standard_brix   of a syrup: its standard
    written_brix    of a syrup: the strength its pour is written for
    is_top          poured after the ice
    """

    pour: Pour
    liquid: Liquid
    ml: float | None
    oz: float | None
    standard_brix: float | None
    written_brix: float | None
    is_top: bool


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
        cautions=_cautions(worked),
        totals=worked,
    )


def kitchen_ounces(ml: float, ounce_ml: float) -> float:
    """A volume in ounces: the halves, thirds, quarters or eighths that are within 2 %, else as it is.

    >>> kitchen_ounces(22.5, 29.5735295625), round(kitchen_ounces(12.5, 30.0), 4)
    (0.75, 0.4167)
    """
    exact = ml / ounce_ml
    near = [Fraction(round(exact * part), part) for part in _FRACTIONS]
    best = min(near, key=lambda fraction: (abs(float(fraction) - exact), fraction.denominator))
    return float(best) if abs(float(best) - exact) <= _FRACTION_WITHIN * exact else exact


def _pour(bar: Bar, drink: Drink, part: Contribution) -> CardPour:
    amount = part.pour.amount
    exchanged = amount.unit in _EXCHANGED and own_unit(part.liquid.each, amount.unit) is None
    ml = bar.measures.ml(amount) if exchanged else None
    oz = None
    if ml is not None:
        oz = amount.value if amount.unit == "oz" else kitchen_ounces(ml, bar.measures.ounce)
    standard, written = None, None
    if part.liquid.id in bar.specs.syrups:
        standard, written = bar.standard(part.liquid.id), bar.written_for(drink, part.liquid.id)
    return CardPour(part.pour, part.liquid, ml, oz, standard, written, part.is_top)


def _cautions(worked: Totals) -> tuple[CardCaution, ...]:
    """What is to be said with each pour, and of egg among the extras."""
    found = [CardCaution(liquid.name, text) for liquid, text in worked.cautions]
    found += [CardCaution(text, RAW_EGG) for text in worked.drink.extras if names_egg([text])]
    return tuple(dict.fromkeys(found))
