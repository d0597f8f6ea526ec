"""Juices in a recipe as their open batches read, in the place of what their files say."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from balancer.engine.batch.now import InUse
from balancer.engine.drink.bar import Bar
from balancer.models.batch import Batch
from balancer.units import Quantity


class JuiceAsRead(NamedTuple):
    """A juice that a recipe takes as its open batch reads. written: its acid in the file; None where that has none."""

    batch: Batch
    name: str
    acid: Quantity
    written: Quantity | None


def juices_in_use(now: InUse) -> dict[str, Batch]:
    """By id of ingredient, the open batch whose measured acid counts: never one past its last day of use."""
    return {
        liquid: batch for liquid, batch in now.counting.items() if liquid not in now.syrups and batch.acid is not None
    }


def bar_as_read(bar: Bar, juices: Mapping[str, Batch]) -> Bar:
    """The bar with the acid that was measured in those juices."""
    if not juices:
        return bar
    known = bar.specs.ingredients
    measured = {
        liquid: known[liquid].model_copy(update={"acid": batch.acid})
        for liquid, batch in juices.items()
        if liquid in known
    }
    return Bar(replace(bar.specs, ingredients={**known, **measured}))


def read_of(bar: Bar, liquids: Iterable[str], juices: Mapping[str, Batch]) -> tuple[JuiceAsRead, ...]:
    """Which of some liquids were taken as read, each once. bar is that of the files."""
    found = []
    for liquid in dict.fromkeys(liquids):
        batch = juices.get(liquid)
        if batch is not None and batch.acid is not None:
            ingredient = bar.specs.ingredients[liquid]
            found.append(JuiceAsRead(batch, ingredient.name, batch.acid, ingredient.acid))
    return tuple(found)
