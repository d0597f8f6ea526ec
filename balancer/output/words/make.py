"""Words that `make` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.engine.drink.cautions import ACID_POWDER, STRONG_ACID, strong_acid
from balancer.engine.prep.as_read import JuiceAsRead
from balancer.engine.prep.make import Making
from balancer.engine.prep.recipe import Item
from balancer.models.syrup import Syrup
from balancer.output.words.numbers import to_weigh, trim
from balancer.units import Quantity, find_unit, format_quantity

_SOLD = "label it; your local food rules decide what may be sold"

CAUTION = f"{ACID_POWDER}; pour it slowly; {_SOLD}"
LIQUID_CAUTION = f"{STRONG_ACID}; {_SOLD}"


def acid_notes(result: Making) -> list[str]:
    """What to say where strong acid goes in, powder or liquid; the names of the liquids with it."""
    liquids = [item.liquid.name for item in result.items if strong_acid(item.liquid) == "liquid"]
    found = [CAUTION] if result.powders else []
    return found + ([f"{', '.join(dict.fromkeys(liquids))}: {LIQUID_CAUTION}"] if liquids else [])


def care(result: Making) -> list[str]:
    """How it is cooled, kept and looked at."""
    return list(result.source.care) if isinstance(result.source, Syrup) else []


def as_read_text(juice: JuiceAsRead) -> str:
    """Which juice counts with the acid that was measured in its open batch."""
    file = f"its file says {format_quantity(juice.written)}" if juice.written else "its file does not say"
    return f"{juice.name} as {juice.batch.id} reads, {format_quantity(juice.acid)} acid; {file} (--alone)"


def is_mass(unit: str) -> bool:
    """Whether an amount is weighed."""
    known = find_unit(unit)
    return known is not None and known.kind == "mass"


def finely(mass_g: float) -> str:
    """A part of a recipe, whole grams from 100 g on: citric acid and salt need a tenth.

    >>> finely(115.6), finely(24.34)
    ('116 g', '24.3 g')
    """
    return to_weigh(mass_g, whole_from_g=100.0)


def part_amount(item: Item) -> str:
    """A part's amount in the unit of its recipe, as finely as a kitchen measures."""
    value, unit = item.amount.value, item.amount.unit
    if is_mass(unit):
        return finely(item.mass_g)
    if unit in ("ml", "cl", "l"):
        return f"{trim(value, {'ml': 0 if value >= 10 else 1, 'cl': 1, 'l': 2}[unit])} {unit}"
    shown = format_quantity(Quantity(round(value, 2), unit), glyphs=False)
    return f"{shown}s" if unit == "cup" and value > 1.0 else shown
