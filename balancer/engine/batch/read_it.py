"""How somebody finds out what a batch holds: the one line that every answer, page and message gives for it."""

from __future__ import annotations

from balancer.engine.drink.liquid import MOST_ALCOHOL_READ
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup


def read_it(source: Syrup | Ingredient | None, batch_id: str, lead: str = "read it") -> str:
    """What to do and to type so that the log knows the strength of a batch, or the acid of a juice.

    source  what the batch is of; None when no file that loaded says so: then only a strength can be logged
    lead    how the doing is called where an instrument reads it
    """
    if source is None:
        return f"{lead}: balancer batch reading {batch_id} --brix …"
    if isinstance(source, Ingredient):
        return f"titrate it: balancer batch reading {batch_id} --acid …"
    if (source.abv or 0.0) > MOST_ALCOHOL_READ:
        return (
            "its alcohol fools the refractometer: go by its recipe, or read it before the spirit goes in; "
            f"a strength known otherwise: balancer batch reading {batch_id} --brix …"
        )
    return f"{lead}: {measure_line(batch_id)}"


def measure_line(batch_id: str, more: str = "") -> str:
    """What to type to read a batch with the refractometer and log it. more: options besides."""
    return f"balancer measure READING{f' {more}' if more else ''} --batch {batch_id} --log"
