"""A syrup to make as a row of the prep sheet: its recipe in grams, and what to heed while weighing."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil
from typing import Final

from balancer.engine.drink.cautions import POWDER_STINGS, strong_acid
from balancer.engine.prep.make import Making
from balancer.engine.prep.prep_list import ToMake
from balancer.engine.prep.recipe import Item
from balancer.models.pour import Part
from balancer.output.paper.language import Words
from balancer.output.paper.prep_row import (
    PrepCautions,
    PrepRow,
    at_standard,
    besides,
    grams,
    line,
    poured,
    prep_row,
)
from balancer.output.paper.print_text import fraction
from balancer.output.words.make import is_mass
from balancer.output.words.numbers import brix, to_weigh, trim
from balancer.units import Quantity, format_quantity

_FIELDS: Final = ["reading", "weight", "initials"]
_DRINKS: Final = 4
_SHORT: Final = 2
"""Letters of a unit that stands beside its number: g, kg, ml, cl, l, oz."""
_WHOLE_FROM_G: Final = 100.0
"""Citric acid and salt need a tenth of a gram."""


def making(item: ToMake, words: Words, said: PrepCautions) -> PrepRow:
    """The row of a syrup to make."""
    syrup, result = item.syrup, item.result
    pours = (
        [_part(part, words) for part in result.items] if result else [_written(part, words) for part in syrup.recipe]
    )
    left = len(item.drinks) - _DRINKS
    row = prep_row(
        "make",
        _FIELDS,
        words,
        tag="",
        what=syrup.name,
        facts=[_keeps(item, words)],
        drinks=list(item.drinks[:_DRINKS]),
        more_drinks=words("paper.and-more", number=left) if left > 0 else "",
        pours=pours,
        shows=at_standard(item.shows, words),
        lines=[*_to_heed(item, words), *_to_know(item, words)],
    )
    row |= said.allergens(syrup.name, item.contains, item.unknown)
    row["cautions"] = sorted({*row["cautions"], *said.of(syrup.name, _cautions(item, words))})
    row["instead"]["what"] = f"{words('paper.unshown')} {syrup.id}"
    return row


def _part(part: Item, words: Words) -> PrepRow:
    """What to weigh; beside it what the recipe measures otherwise."""
    written = None if is_mass(part.amount.unit) else " ".join(_as_written(part.amount, words))
    return poured(*grams(part.mass_g, words, _WHOLE_FROM_G), part.liquid.name, written)


def _written(part: Part, words: Words) -> PrepRow:
    """As the recipe has it; a unit that is a word stands before the name, where it has room."""
    number, unit = _as_written(part.amount, words)
    return poured(number, unit, part.of) if len(unit) <= _SHORT else poured(number, "", f"{unit} {part.of}")


def _as_written(amount: Quantity, words: Words) -> tuple[str, str]:
    number, _, unit = format_quantity(amount, glyphs=False).rpartition(" ")
    return words.number(fraction(number)), words.unit(unit)


def _cautions(item: ToMake, words: Words) -> Iterable[str]:
    """What nobody should miss while weighing, as the head says it."""
    if item.has_powder:
        yield words("prep.acid-powder")
    for part in item.result.items if item.result else ():
        if strong_acid(part.liquid) == "liquid":
            yield words("prep.about", name=part.liquid.name, text=words("prep.acid-liquid"))
    powders = {part.liquid.name for part in (item.result.powders if item.result else ())}
    for name, text in item.cautions:
        is_said = name in powders and text.casefold() == POWDER_STINGS
        if is_said or not besides([text], item.contains):
            continue
        known = words.caution(text)
        yield known if name == item.syrup.name else words("prep.about", name=name, text=known)


def _to_heed(item: ToMake, words: Words) -> Iterable[PrepRow]:
    if item.runs_out is not None:
        yield line(words("prep.make-more", day=words.day(item.runs_out)), "bold")
    if item.trouble:
        text = words("prep.why-trouble", message=item.trouble) if item.syrup.recipe else words("prep.no-recipe")
        yield line(text, "bold")
    if item.result and item.result.doubt:
        yield line(words("prep.doubt"), "bold")
    if item.result and item.result.saturation.is_over:
        warm = item.result.saturation.clear_from_c
        text = words("prep.crystals-weaker") if warm is None else words("prep.crystals-warm", celsius=ceil(warm))
        yield line(text, "bold")
    if item.syrup.care:
        yield line(", ".join(item.syrup.care), "bold")


def _to_know(item: ToMake, words: Words) -> Iterable[PrepRow]:
    if item.syrup.note:
        yield line(item.syrup.note)
    if item.result:
        yield line(_gives(item.result, words))


def _keeps(item: ToMake, words: Words) -> str:
    return words("prep.use-by", day=words.day(item.use_by)) if item.use_by else words("prep.keeps-unknown")


def _gives(result: Making, words: Words) -> str:
    """How much at what strength; at least, where the sugar of a part is not known."""
    strength = words.number(brix(result.brix))
    if result.is_lower_bound:
        strength = words("prep.at-least", brix=strength)
    elif result.upper_brix is not None:
        low, high = words.number(trim(result.brix, 1)), words.number(brix(result.upper_brix))
        strength = words("prep.range", low=low, high=high)
    mass = words.number(to_weigh(result.mass_g))
    return words("prep.gives", mass=mass, volume=f"{trim(result.volume_ml, 0)} ml", brix=strength)
