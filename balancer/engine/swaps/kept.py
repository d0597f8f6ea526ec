"""An answer with other pours as what is to change in the drink's file, in amounts as the bar writes them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.slots import SwappedPour
from balancer.models.changes import PourChange
from balancer.models.drink import Drink
from balancer.units import Quantity, format_fraction

_SAME_ML: Final = 0.01
_TIDY_ML: Final = 0.05
"""What is no multiple of this, ml, somebody measured in other units."""
_DIGITS: Final = {"ml": 2, "cl": 3, "l": 4}
_PARTS: Final = {"oz": 48, "part": 12, "barspoon": 4, "teaspoon": 4, "tablespoon": 4, "dash": 1, "drop": 1}
"""How finely a bar writes its measures: of an ounce every third and every sixteenth, of dashes whole ones."""


def changes_of(bar: Bar, drink: Drink, pours: Sequence[SwappedPour], out: str | None = None) -> tuple[PourChange, ...]:
    """What is to change of a drink so that it is poured as an answer says; pours that stay are not touched.

    out  id of what goes, if anything does: what is new takes its place in the file
    """
    written = {pour.of: pour for pour in drink.pours}
    gone = written.get(out) if out is not None else None
    changes: list[PourChange] = []
    for row in pours:
        was = written.get(row.liquid.id)
        if was is not None and not row.is_free:  # a rinse too, which pours nothing that is counted
            continue
        if row.poured.value <= 0.0:
            if was is not None and was is not gone:
                changes.append(PourChange(was, was.of, None))
            continue
        place = was or gone
        amount = row.measured or bar_amount(bar, row.poured, place.amount.unit if place else "")
        if was is None:
            changes.append(PourChange(gone, row.liquid.id, amount))
            gone = None
        elif amount != was.amount and not (row.stays and not row.is_new):
            changes.append(PourChange(was, was.of, amount))
    if gone is not None and all(row.liquid.id != out for row in pours):
        changes.append(PourChange(gone, gone.of, None))
    return tuple(changes)


def bar_amount(bar: Bar, amount: Amount, like: str) -> Quantity:
    """An amount as the bar writes it: in the unit that the file uses, where it comes out as a person writes it.

    like  the unit of the pour it takes the place of; the unit that the house shows where there is none
    """
    if amount.unit != "ml":
        return Quantity(round(amount.value, 2), amount.unit)
    sizes = dict(bar.measures.sizes())
    house = bar.specs.house
    for unit in dict.fromkeys((like, house.show, house.step.unit)):
        if unit not in sizes:
            continue
        value = amount.value / sizes[unit]
        if unit in _DIGITS:
            tidy_ml = round(amount.value / _TIDY_ML) * _TIDY_ML
            if abs(tidy_ml - amount.value) < _SAME_ML / 2.0:  # 14.79 ml is half an ounce
                return Quantity(round(tidy_ml / sizes[unit], _DIGITS[unit]), unit)
            continue
        parts = _PARTS[unit]
        near = round(value * parts) / parts
        if near and abs(near - value) * sizes[unit] < _SAME_ML and format_fraction(near):
            return Quantity(near, unit)
    return Quantity(round(amount.value, 2), "ml")
