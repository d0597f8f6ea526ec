"""What is said of a syrup that is weaker than its standard: on screen, on paper and in JSON alike."""

from __future__ import annotations

from balancer.engine.drink.keeping import Keeping
from balancer.output.words.numbers import brix, count, trim

BLANK = "____"
"""Where a person writes the day that nothing tells."""

BY_RULE = f"use by {BLANK}, by house rule"


def weaker_text(kept: Keeping) -> list[str]:
    """Why its days may be no longer its own, and what it has instead; nothing while it is as strong as its standard."""
    if not kept.weaker or kept.standard_brix is None:
        return []
    lead = f"weaker than its standard {brix(kept.standard_brix)}"
    own = f"its {days_text(kept.own_days)}" if kept.own_days else "its storage"
    if not kept.lost:
        return [f"{lead}, which {own} were set for"] if kept.own_days else []
    are = "are" if kept.own_days and round(kept.own_days) != 1 else "is"
    new = f"{days_text(kept.days)}, as {kept.like}" if kept.days else BY_RULE
    return [f"{lead}: keep cold; {own} {are} no longer its own: {new}"]


def lost_text(kept: Keeping | None) -> list[str]:
    """The same, only where it is too weak to keep as its file says."""
    return weaker_text(kept) if kept is not None and kept.lost else []


def days_text(days: float) -> str:
    """A number of days.

    >>> days_text(28.0), days_text(1.0), days_text(1.5)
    ('28 days', '1 day', '1.5 days')
    """
    return count(round(days), "days") if days == round(days) else f"{trim(days, 1)} days"
