"""The sheet of allergens: drinks down, allergens across, and what nobody listed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any, Final

from balancer.engine.drink.allergens import AllergenTable, DrinkAllergens
from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.sheet import sheet_page

NOTHING_UNKNOWN: Final = "–"


_UPRIGHT: Final = 7
"""With more columns than this the paper is turned, so that names keep their room."""


_LONG: Final = 150
"""Letters of a row that may be so high that it has to be measured."""


def allergens_page(
    table: AllergenTable, house: House, day: date, words: Words, paper: PaperSheet, missing: Sequence[str]
) -> dict[str, Any]:
    """What the template is given."""
    named = sorted(table.allergens, key=lambda name: words.allergen(name).casefold())
    head = {
        "footer": words("allergens.foot", yes=words("allergens.yes")) if named else None,
        "notes": _notes(house, words, named),
        "because": words("allergens.because" if named else "allergens.files-say"),
        "allergens": [words.allergen(name) for name in named],
        "missing": list(missing),
    }
    rows = [_row(row, named, words) for row in table.drinks]
    turned = paper.turned if len(named) > _UPRIGHT else paper
    return sheet_page(words("allergens.title"), house, day, words, head, rows, turned, "allergens")


def _row(row: DrinkAllergens, named: Sequence[str], words: Words) -> dict[str, Any]:
    unknown = [item.name for item in row.unknown]
    return {
        "name": row.drink.name,
        "marks": [row.mark(allergen) for allergen in named],
        "unknown": unknown,
        "known": NOTHING_UNKNOWN if named else words("allergens.lists-empty"),
        "long": max(len(row.drink.name), len(words.row(unknown))) > _LONG,
    }


def _notes(house: House, words: Words, named: Sequence[str]) -> list[str]:
    marks = ("all-listed", "no-column") if named else ()
    return [
        *(words(f"allergens.{key}") for key in ("not-counted", *marks)),
        words("allergens.source", house=house.name),
        *(words(f"allergens.{key}") for key in ("ask", "rules")),
    ]
