"""A pour of a drink and a part of a syrup's recipe."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator

from balancer.errors import QuantityError
from balancer.models.fields import FileModel, Flag, Name, amount_schema, fail, plain_text
from balancer.models.slips import choices
from balancer.units import Quantity, find_unit, known_units, parse_pour

RINSE = "rinse"
"""The unit of a rinse: the glass is wetted and emptied, so no amount is known to stay."""


def _amount(value: object) -> Quantity:
    """The amount of a pour. A unit outside the table may be the ingredient's own and is judged by the loader."""
    found = value if isinstance(value, Quantity) else _parsed(plain_text(value, "22.5 ml"))
    unit = find_unit(found.unit)
    if unit is not None and unit.kind not in ("volume", "mass"):
        raise fail("unit-kind", f'"{value}" is not something to pour', f"use one of {known_units()}")
    if found.value <= 0:
        raise fail("value", f'"{value}" cannot be poured', "write an amount above zero")
    if found.value > 1_000_000:
        raise fail("value", f'"{value}" is more than any bar pours', "write a smaller amount")
    return found


def _parsed(text: str) -> Quantity:
    try:
        found, rest = parse_pour(text)
    except QuantityError as error:
        from balancer.models.pour_slips import inexact_slip  # noqa: PLC0415 - its patterns cost time, and slips are rare

        raise fail(error.code, *(inexact_slip(text) or (error.reason, error.remedy))) from None
    if not found.unit:
        raise fail("unit-missing", f'"{text}" has no unit', f"write {' or '.join(choices(text, ['volume']))}")
    if rest:
        raise fail("unit", f'"{text}" is not an amount and a unit', "write it like 22.5 ml")
    return found


PourAmount = Annotated[Quantity, PlainValidator(_amount), amount_schema("22.5 ml")]


class Part(FileModel):
    """An amount of something, as in a syrup's recipe."""

    amount: PourAmount = Field(alias="pour")
    of: Name


class Pour(Part):
    """One line of a spec.

    amount  a volume, a mass, a count of the ingredient's own unit, or one `rinse`
    of      id of an ingredient or syrup
    fixed   never changed by a rescale or swap
    top     poured after the ice; None leaves it to the ingredient
    """

    fixed: Flag = False
    top: Flag | None = None
