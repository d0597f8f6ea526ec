"""`allergens` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.allergens import AllergenTable
from balancer.output.paper.sheet import PrintedSheet, listed, missing_row, sheet_text
from balancer.output.words.numbers import count


def allergens_text(table: AllergenTable, printed: PrintedSheet, missing: Sequence[str]) -> str:
    """The answer of `sheet allergens`."""
    unsure = table.with_unknown
    first = f"allergens: {count(len(table.drinks), 'drinks')} on {printed.text}"
    first += f"; {_known(table)}"
    rows = missing_row(missing)
    rows += [f"{row.drink.name}: unknown {listed((item.name for item in row.unknown), 3)}" for row in unsure]
    return sheet_text(first, rows, "garnishes are not checked; print it at 100 %")


def _known(table: AllergenTable) -> str:
    unsure = table.with_unknown
    if not table.allergens:
        return "no file of the house names an allergen, which does not say that a drink is free from any"
    return f"{count(len(unsure), 'drinks')} with unknowns" if unsure else "the house lists them for every pour"
