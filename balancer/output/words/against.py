"""What the other one of two drinks is called, on the screen and in the working alike."""

from __future__ import annotations

from datetime import date

from balancer.engine.swaps.against import Against
from balancer.models.days import day_text


def other_called(result: Against) -> str:
    """The other drink by where it is from: its name, its file, or the day its card was printed."""
    origin = result.origin
    if origin.kind == "printed":
        version = f", version {origin.version}" if origin.version else ""
        return f"its card of {day_text(date.fromisoformat(origin.date or ''))}{version}"
    name = result.theirs.drink.name
    return f"{name} in {origin.path}" if origin.kind == "file" else name


def other_head(result: Against) -> str:
    """The same, short enough for the head of a column."""
    origin = result.origin
    if origin.kind == "printed":
        return f"card, {day_text(date.fromisoformat(origin.date or ''))}"
    name = result.theirs.drink.name
    return f"{name} (file)" if origin.kind == "file" and result.is_same_drink else name
