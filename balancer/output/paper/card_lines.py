"""One line of a card or of the rail sheet: its amount in the units asked for, and what to know of it."""

from __future__ import annotations

from typing import Final, Literal, NamedTuple, get_args

from balancer.engine.drink.card import CardPour
from balancer.engine.drink.written import Shown
from balancer.models.pour import RINSE
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK, fraction
from balancer.output.words.amounts import written_number
from balancer.output.words.numbers import brix

Units = Literal["ml", "oz", "both"]
UNITS: Final[tuple[Units, ...]] = get_args(Units)


class CardWay(NamedTuple):
    """In which way a card is printed.

    units   None for those that the house shows
    extras  with strength and volume
    """

    units: Units | None = None
    extras: bool = False


def amount(line: CardPour, unit: Shown, words: Words) -> tuple[str, str]:
    """Number and unit: in the unit asked for where the amount may be exchanged, else as written."""
    if line.pour.amount.unit == RINSE:
        return "", words.unit(RINSE)
    number, written = written_number(line.written, unit)
    return words.number(fraction(number)), words.unit(written)


def note(line: CardPour, words: Words) -> str | None:
    """The strength a syrup's pour is written for, and what goes in after the ice."""
    parts = []
    if line.written_brix is not None:
        strength = words.number(brix(line.written_brix))
        is_apart = line.written_brix != line.standard_brix
        parts.append(words("card.written-for", brix=strength) if is_apart else strength)
    parts += [words("card.on-top")] * line.is_top
    return ", ".join(part.replace(" ", NO_BREAK) for part in parts) or None
