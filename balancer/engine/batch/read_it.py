"""How somebody finds out what a batch holds: the one line that every answer, page and message gives for it."""

from __future__ import annotations

from balancer.engine.drink.liquid import MOST_ALCOHOL_READ
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup

Source = Syrup | Ingredient | None
"""What a batch is of; None when no file that loaded says so: then only a strength can be logged."""


def line_to_read(source: Source, batch_id: str) -> str:
    """What to type so that the log knows the strength of a batch, or the acid of a juice."""
    if isinstance(source, Ingredient):
        return acid_line(batch_id)
    if source is None or is_fooled(source):
        return f"balancer batch reading {batch_id} --brix …"
    return measure_line(f"--batch {batch_id} --log")


def read_it(source: Source, batch_id: str, lead: str = "read it") -> str:
    """What to do and to type. lead: how the doing is called where an instrument reads it."""
    line = line_to_read(source, batch_id)
    if isinstance(source, Ingredient):
        return f"titrate it: {line}"
    if source is not None and is_fooled(source):
        return (
            "its alcohol fools the refractometer: go by its recipe, or read it before the spirit goes in; "
            f"a strength known otherwise: {line}"
        )
    return f"{lead}: {line}"


def read_again(reason: str, source: Source, batch_id: str) -> str:
    """A reason that ends in "read again", with what to type."""
    if source is not None and not isinstance(source, Ingredient) and not is_fooled(source):
        return f"{reason}: {line_to_read(source, batch_id)}"
    return f"{reason}; {read_it(source, batch_id)}"


def acid_line(batch_id: str, acid: str = "…") -> str:
    """What to type to log the acid of a juice. acid: like "50g/l", where somebody is shown how it is written."""
    return f"balancer batch reading {batch_id} --acid {acid}"


def measure_line(options: str) -> str:
    """What to type to read something with the refractometer."""
    return f"balancer measure READING {options}"


def is_fooled(syrup: Syrup) -> bool:
    """Whether a syrup holds so much alcohol that no refractometer tells its strength."""
    return syrup.abv > MOST_ALCOHOL_READ
