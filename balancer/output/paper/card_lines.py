"""One line of a card or of the rail sheet: its amount in the units asked for, and what to know of it."""

from __future__ import annotations

from typing import Final, Literal, get_args

from balancer.engine.drink.card import CardPour
from balancer.models.pour import RINSE
from balancer.output.paper.print_text import NO_BREAK, fraction
from balancer.output.words.advice import written_for_text
from balancer.output.words.numbers import brix, pour, trim
from balancer.units import format_fraction, format_quantity, parse_number

Units = Literal["ml", "oz", "both"]
_OFF: Final = 0.02
"""An amount is never shown further off than this."""
UNITS: Final[tuple[Units, ...]] = get_args(Units)


def amount(line: CardPour, unit: Literal["ml", "oz"]) -> tuple[str, str]:
    """Number and unit: in the unit asked for where the amount may be exchanged, else as written."""
    if line.pour.amount.unit == RINSE:
        return "", RINSE
    if line.ml is not None and line.oz is not None:
        value = line.ml if unit == "ml" else line.oz
        number = pour(value) if unit == "ml" else format_fraction(value, glyphs=False) or trim(value, 2)
        if abs(parse_number(number) - value) <= _OFF * value:  # else it is too small for these figures
            return fraction(number), unit
    number, _, written = format_quantity(line.pour.amount, glyphs=False).rpartition(" ")
    return fraction(number), written


def note(line: CardPour) -> str | None:
    """The strength a syrup's pour is written for, and what goes in after the ice."""
    parts = []
    if line.written_brix is not None:
        is_apart = line.written_brix != line.standard_brix
        said = written_for_text(line.written_brix) if is_apart else brix(line.written_brix)
        parts = [said.replace(" ", NO_BREAK)]
    parts += ["on top"] if line.is_top else []
    return ", ".join(parts).replace("on top", f"on{NO_BREAK}top") or None
