"""What stands on a bottle that the bar bought or squeezed, once it is open: no batch of the log, but a last day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from balancer.engine.batch.history import discard_date
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import cautions
from balancer.engine.service.bottle_serve import may_spoil
from balancer.errors import CannotError
from balancer.models.days import day_text
from balancer.models.ingredient import Ingredient


@dataclass(frozen=True, slots=True)
class OpenedBottle:
    """One opened bottle.

    opened     the day it was opened, which is day 1
    use_by     the last day of use; None where its file does not say how long it keeps
    storage_c  °C; None where its file says no days and nothing in it can spoil, as of a spirit
    allergens  as the house lists them; None when it does not say
    cautions   of its file, and those that hold in any bar
    """

    source: Ingredient
    opened: date
    use_by: date | None
    storage_c: float | None
    allergens: tuple[str, ...] | None
    cautions: tuple[str, ...]


def opened_bottle(bar: Bar, ingredient: Ingredient, opened: date, today: date) -> OpenedBottle:
    """A bottle of an ingredient, opened on a day.

    Raises CannotError when its last day is over, and for a day that is yet to come.
    """
    if opened > today:
        raise CannotError("opened", f"{day_text(opened, today)} is yet to come", "give the day it was opened")
    use_by = None if ingredient.keeps is None else discard_date(opened, ingredient.keeps)
    if use_by is not None and use_by < today:
        raise CannotError(
            "past",
            f"{ingredient.name} opened on {day_text(opened, today)}: no label, past its last day"
            f" ({day_text(use_by, today)})",
            "discard it",
        )
    is_cold = ingredient.keeps is not None or may_spoil(ingredient)
    return OpenedBottle(
        source=ingredient,
        opened=opened,
        use_by=use_by,
        storage_c=bar.specs.house.storage if is_cold else None,
        allergens=None if ingredient.allergens is None else tuple(sorted(ingredient.allergens)),
        cautions=cautions(bar.liquid(ingredient.id)),
    )
