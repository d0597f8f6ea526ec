"""What time it is, and which day is meant: the only place that looks at the clock."""

from __future__ import annotations

import os
import re
import time
from datetime import date, datetime
from pathlib import Path
from typing import Final

from balancer.errors import QuantityError, UsageError
from balancer.models.days import Toward, parse_day, parse_time

CLOCK: Final = "BALANCER_NOW"
"""The environment variable that stands in for the clock, like 2026-11-25T18:04+01:00."""

ZONE: Final = "TZ"
"""The environment variable that names the time zone, like Europe/Oslo; the machine's own where it is not set."""

_NAME: Final = r"(?:[A-Za-z]{3,}|<[A-Za-z0-9+-]{3,}>)"
_OFFSET: Final = r"[+-]?(?:[01]?[0-9]|2[0-3])(?::[0-5][0-9]){0,2}"
_DAY: Final = r"(?:M[0-9]{1,2}\.[1-5]\.[0-6]|J?[0-9]{1,3})(?:/[+-]?[0-9]{1,3}(?::[0-5][0-9]){0,2})?"
_RULE: Final = rf"UTC|GMT|{_NAME}{_OFFSET}(?:{_NAME}(?:{_OFFSET})?(?:,{_DAY},{_DAY})?)?"
"""A time zone spelt out, like CET-1CEST,M3.5.0,M10.5.0/3 (POSIX.1-2017, 8.3)."""


def now(otherwise: datetime | None = None) -> datetime:
    """The moment, with this machine's offset from UTC; another one where the bar lives in its own time.

    Raises UsageError where the environment says what is no moment, or no time zone.
    """
    text = os.environ.get(CLOCK)
    if not text and otherwise is not None:
        return otherwise
    _refuse_unknown_zone()
    if not text:
        return datetime.now().astimezone()
    try:
        return parse_time(text)
    except QuantityError as error:
        raise UsageError("usage", f"{CLOCK}: {error.reason}", error.remedy) from None


def _refuse_unknown_zone() -> None:
    """Raises UsageError for a time zone that the machine does not know: it would take UTC for it in silence."""
    text = os.environ.get(ZONE, "")
    if not text or not hasattr(time, "tzset"):  # Windows has its own
        return
    if re.fullmatch(_RULE, text) is None and not _is_known(text.removeprefix(":")):
        told = f'{ZONE}: "{text}" is no time zone that this machine knows, and it would count in UTC'
        raise UsageError("usage", told, "set it like Europe/Oslo, or do not set it")


def _is_known(zone: str) -> bool:
    """Whether a zone has a file: its own, or one among those of the machine."""
    from zoneinfo import ZoneInfo  # noqa: PLC0415 - most machines do not set it

    try:
        if os.path.isabs(zone):
            if not Path(zone).is_file():
                return False
            with Path(zone).open("rb") as file:
                return file.read(4) == b"TZif"  # RFC 8536, 3.1
        ZoneInfo(zone)
    except (OSError, ValueError, KeyError):
        return False
    return True


def day(text: str, option: str, today: date, toward: Toward = "near") -> date:
    """The date that an option means, counted from today; see `parse_day`. Raises UsageError for what is none."""
    try:
        return parse_day(text, today, toward)
    except QuantityError as error:
        raise UsageError("usage", f"{option}: {error.reason}", error.remedy) from None
