"""What time it is, and which night: the only place that looks at the clock."""

from __future__ import annotations

import os
from datetime import date, datetime
from typing import Final

from balancer.engine.batch.history import night_of
from balancer.errors import QuantityError, UsageError
from balancer.models.days import parse_day, parse_time
from balancer.models.house import House

CLOCK: Final = "BALANCER_NOW"
"""The environment variable that stands in for the clock, like 2026-11-25T18:04+01:00."""


def now() -> datetime:
    """The moment, with this machine's offset from UTC."""
    text = os.environ.get(CLOCK)
    if not text:
        return datetime.now().astimezone()
    try:
        return parse_time(text)
    except QuantityError as error:
        raise UsageError("usage", f"{CLOCK}: {error.reason}", error.remedy) from None


def night(text: str | None, house: House) -> date:
    """The night that an option means, or the one it is: until the house's day ends it is still yesterday's."""
    tonight = night_of(now(), house.day_ends)
    return tonight if text is None else day(text, "--date", tonight)


def day(text: str, option: str, today: date) -> date:
    """The date that an option means; "today" and "yesterday" count from today."""
    try:
        return parse_day(text, today)
    except QuantityError as error:
        raise UsageError("usage", f"{option}: {error.reason}", error.remedy) from None
