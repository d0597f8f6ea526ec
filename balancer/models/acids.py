"""`acids` in grams of each acid itself, turned into `acid` as citric and shares of it.

A bottle of pure malic acid says 1000 g/kg, and means malic acid; `acid` counts as citric, of which that is 955.
"""

from __future__ import annotations

from typing import Any, Final

from balancer.components import ACIDS, titratable
from balancer.errors import QuantityError
from balancer.units import Quantity, parse_quantity

_PURE: Final = Quantity(1000.0, "g/kg")


def own_grams(data: Any) -> Any:
    """The data of an ingredient or a syrup, `acids: {malic: 1000 g/kg}` as `acid` and shares.

    So is `acid: 1000 g/kg` with one kind: of nothing but acid there are 1000 g in a kilogram of that acid itself.
    What is no such thing stays as it is, and its fields tell what is wrong with it.
    """
    if not isinstance(data, dict) or not isinstance(data.get("acids"), dict):
        return data
    amounts = {name: _amount(text) for name, text in data["acids"].items()}
    if len(amounts) == 1 and data.get("acid") is not None and _amount(data["acid"]) == _PURE:
        amounts = dict.fromkeys(amounts, _PURE)
    elif data.get("acid") is not None:
        return data
    grams = {name: amount.value for name, amount in amounts.items() if amount is not None and name in ACIDS}
    units = {amount.unit for amount in amounts.values() if amount is not None}
    if len(grams) != len(amounts) or len(units) != 1 or sum(grams.values()) <= 0.0:
        return data
    as_citric, shares = titratable(grams)
    acid = Quantity(as_citric, units.pop())
    return data | {"acid": acid, "acids": {name: f"{100.0 * share:.12f} %" for name, share in shares.items()}}


def _amount(value: object) -> Quantity | None:
    """A concentration; None for anything else."""
    if isinstance(value, Quantity):
        return value if value.kind == "concentration" else None
    try:
        found = parse_quantity(value) if isinstance(value, str) else None
    except QuantityError:
        return None
    return found if found is not None and found.kind == "concentration" else None
