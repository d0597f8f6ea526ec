"""`allergens` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.drink.allergens import AllergenTable
from balancer.output.paper.sheet import PrintedSheet, listed, missing_row, sheet_text
from balancer.output.words.numbers import count, cut

_SHOWN: Final = 6


def allergens_text(table: AllergenTable, printed: PrintedSheet, missing: Sequence[str]) -> str:
    """The answer of `sheet allergens`."""
    unsure = table.with_unknown
    first = f"allergens: {count(len(table.drinks), 'drinks')} on {printed.text}"
    first += f"; {count(len(unsure), 'drinks')} with unknowns" if unsure else "; the house lists them for every pour"
    rows = missing_row(missing)
    shown = unsure[: _SHOWN - len(rows)]
    rows += [f"{cut(row.drink.name, 24)}: unknown {listed((item.name for item in row.unknown), 3)}" for row in shown]
    rows += [f"and {len(unsure) - len(shown)} more with unknowns"] if len(unsure) > len(shown) else []
    return sheet_text(first, rows, "garnishes are not checked; --json has all of it; print it at 100 %")
