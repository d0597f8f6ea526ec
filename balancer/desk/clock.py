"""What time it is, and which day is meant: the only place that looks at the clock."""

from __future__ import annotations

import os
from datetime import date, datetime
from typing import Final

from balancer.errors import QuantityError, UsageError
from balancer.models.days import Toward, parse_day, parse_time

CLOCK: Final = "BALANCER_NOW"
"""The environment variable that stands in for the clock, like 2026-11-25T18:04+01:00."""


def now(otherwise: datetime | None = None) -> datetime:
    """The moment, with this machine's offset from UTC; another one where the bar lives in its own time."""
    text = os.environ.get(CLOCK)
    if not text:
        return otherwise or datetime.now().astimezone()
    try:
        return parse_time(text)
    except QuantityError as error:
        raise UsageError("usage", f"{CLOCK}: {error.reason}", error.remedy) from None


def day(text: str, option: str, today: date, toward: Toward = "near") -> date:
    """The date that an option means, counted from today; see `parse_day`. Raises UsageError for what is none."""
    try:
        return parse_day(text, today, toward)
    except QuantityError as error:
        raise UsageError("usage", f"{option}: {error.reason}", error.remedy) from None
