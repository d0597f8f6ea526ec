"""Dates and times as people and logs write them."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Final, TypeVar

from balancer.errors import QuantityError

D = TypeVar("D", bound=date)

FIRST_YEAR: Final = 1970
LAST_YEAR: Final = 2200
"""No bar's date is outside these years; nearer to the ends of the calendar, sums with time zones fail."""

_LONGEST: Final = 40
_ISO: Final = re.compile(r"(?P<year>[0-9]{4})[-/.](?P<month>[0-9]{1,2})[-/.](?P<day>[0-9]{1,2})")
_DOTTED: Final = re.compile(r"(?P<day>[0-9]{1,2})\.(?P<month>[0-9]{1,2})\.(?P<year>[0-9]{4})")
_SLASHED: Final = re.compile(r"(?P<first>[0-9]{1,2})[/-](?P<second>[0-9]{1,2})[/-](?P<year>[0-9]{4})")
_REMEDY: Final = "write it like 2026-11-25"


def parse_day(text: str, today: date | None = None) -> date:
    """A date: 2026-11-25, 25.11.2026, 25/11/2026; "today" and "yesterday" where today is given.

    With dots the day stands first. With slashes day and month go by what is possible.
    Raises QuantityError for anything else, for 04/05/2026 (April or May?), for 31 June, and as `within`.

    >>> parse_day("25.11.2026"), parse_day("11/25/2026")
    (datetime.date(2026, 11, 25), datetime.date(2026, 11, 25))
    """
    plain = text.strip().casefold()
    if today is not None and plain in ("today", "tonight"):
        return today
    if today is not None and plain == "yesterday":
        return today - timedelta(days=1)
    if match := _ISO.fullmatch(plain) or _DOTTED.fullmatch(plain):
        return _date(text, match["year"], match["month"], match["day"])
    if match := _SLASHED.fullmatch(plain):
        first, second, year = match.groups()
        if first != second and int(first) <= 12 and int(second) <= 12:
            one, other = (
                f"{year}-{int(month):02d}-{int(day):02d}" for month, day in ((first, second), (second, first))
            )
            raise QuantityError("date-ambiguous", text, f'"{text}" may be {one} or {other}', f"write {one} or {other}")
        day, month = (second, first) if int(second) > 12 else (first, second)
        return _date(text, year, month, day)
    raise QuantityError("date", text, f'"{text.strip()[:_LONGEST]}" is not a date', _REMEDY)


def parse_time(text: str) -> datetime:
    """A moment: 2026-11-25T18:04:05+01:00. Without an offset it is in this machine's own time.

    Raises QuantityError for anything else, and as `within`.
    """
    try:
        found = within(datetime.fromisoformat(text.strip()), text)
        return found if found.tzinfo is not None else found.astimezone()
    except QuantityError:
        raise
    except (ValueError, OverflowError, OSError):
        raise QuantityError(
            "time", text, f'"{text.strip()[:_LONGEST]}" is not a date with a time',
            "write it like 2026-11-25T18:04:05+01:00",
        ) from None  # fmt: skip


def within(day: D, text: str) -> D:
    """A date or moment, given as text, that a bar can mean. Raises QuantityError outside FIRST_YEAR to LAST_YEAR."""
    if FIRST_YEAR <= day.year <= LAST_YEAR:
        return day
    told = f'"{text.strip()[:_LONGEST]}" is not in the years {FIRST_YEAR} to {LAST_YEAR}'
    raise QuantityError("date", text, told, "check the year")


def _date(text: str, year: str, month: str, day: str) -> date:
    try:
        found = date(int(year), int(month), int(day))
    except ValueError:
        raise QuantityError("date", text, f'"{text.strip()}" is not in the calendar', _REMEDY) from None
    return within(found, text)
