"""Dates and times as people and logs write them."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta
from typing import Final, Literal, TypeVar

from balancer.errors import QuantityError

D = TypeVar("D", bound=date)

FIRST_YEAR: Final = 1970
LAST_YEAR: Final = 2200
"""No bar's date is outside these years; nearer to the ends of the calendar, sums with time zones fail."""

Toward = Literal["past", "near", "ahead"]
"""Where a date without its year, or a weekday, lies: when something was made, which night is meant, a last day."""

_LONGEST: Final = 40
_MONTHS: Final = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
_WEEKDAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SHORTEST: Final = 3
_FIRST_DAY: Final[dict[Toward, int]] = {"past": -304, "near": -182, "ahead": -61}
"""The year in which a day and month without their year are looked for begins so many days from today."""

# Patterns are kept as text, and compiled when first needed: most starts read no date.
_MONTH: Final = r"(?P<month>[a-z]{3,9})\.?"
_NAMED: Final = (
    r"(?:(?P<weekday>[a-z]{3,9})\.?,?\s+)?"
    rf"(?:(?P<day>[0-9]{{1,2}})(?:st|nd|rd|th|\.)?\s*(?:of\s+)?{_MONTH}"
    r"|(?P<month2>[a-z]{3,9})\.?\s*(?P<day2>[0-9]{1,2})(?:st|nd|rd|th)?)"
    r"(?:,?\s+(?P<year>[0-9]{4}))?"
)
_ISO: Final = r"(?P<year>[0-9]{4})[-/.](?P<month>[0-9]{1,2})[-/.](?P<day>[0-9]{1,2})"
_DOTTED: Final = r"(?P<day>[0-9]{1,2})\.(?P<month>[0-9]{1,2})\.(?P<year>[0-9]{4})"
_SLASHED: Final = r"(?P<first>[0-9]{1,2})[/-](?P<second>[0-9]{1,2})[/-](?P<year>[0-9]{4})"
_YEARLESS: Final = r"(?P<first>[0-9]{1,2})\s*[-/.]\s*(?P<second>[0-9]{1,2})\.?"
_SHORT_YEAR: Final = r"[0-9]{1,2}([-/.])[0-9]{1,2}\1[0-9]{2}"
_REMEDY: Final = "write it like 2026-11-25"
_WORDS: Final = 'write it like 2026-11-25 or "21 Nov", or say today, yesterday, tomorrow or a weekday'


def day_text(day: date, today: date | None = None) -> str:
    """A day as on tape; with its year when that is not today's.

    >>> day_text(date(2026, 11, 5)), day_text(date(2025, 12, 6), date(2026, 11, 5))
    ('5 Nov', '6 Dec 2025')
    """
    return f"{day.day} {day:%b}" + (f" {day.year}" if today is not None and day.year != today.year else "")


def parse_day(text: str, today: date | None = None, toward: Toward = "near") -> date:
    """A date: 2026-11-25, 25.11.2026, 25/11/2026, 25 Nov 2026; with today also tomorrow, monday, "21 Nov".

    With dots the day stands first. With slashes day and month go by what is possible.
    today   what "today", a weekday or a date without its year counts from; None where nobody knows it, as in a file
    toward  past: a weekday is the last one, today included, and "21 Nov" is of the ten months before or the two
            ahead; ahead: the other way round; near: the weekday that comes, the nearest 21 Nov
    Raises QuantityError for anything else, for 04/05/2026 (April or May?), 21/11, 31 June, "next monday", a weekday
    that the date is not, and as `within`.

    >>> parse_day("25.11.2026"), parse_day("Wed 25 Nov 2026")
    (datetime.date(2026, 11, 25), datetime.date(2026, 11, 25))
    >>> parse_day("21 Nov", date(2026, 11, 25)), parse_day("monday", date(2026, 11, 25))
    (datetime.date(2026, 11, 21), datetime.date(2026, 11, 30))
    """
    plain = " ".join(text.casefold().split())
    if match := re.fullmatch(_ISO, plain) or re.fullmatch(_DOTTED, plain):
        return _date(text, int(match["year"]), int(match["month"]), int(match["day"]))
    if match := re.fullmatch(_SLASHED, plain):
        return _slashed(text, *match.groups())
    if match := re.fullmatch(_YEARLESS, plain):
        raise _unordered(text, int(match["first"]), int(match["second"]), today, toward)
    if match := re.fullmatch(_NAMED, plain):
        found = _named(text, match, today, toward)
        if found is not None:
            return found
    if today is not None and (found := _spoken(text, plain, today, toward)):
        return found
    told = f'"{text.strip()[:_LONGEST]}" is not a date'
    if re.fullmatch(_SHORT_YEAR, plain):
        raise QuantityError("date", text, told, f"{_REMEDY}, with all four digits of the year")
    raise QuantityError("date", text, told, _REMEDY if today is None else _WORDS)


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


def day_and_month(text: str) -> str | None:
    """A day and a month without a year, as they are to be written before it; None for anything else.

    >>> day_and_month("Nov 21st"), day_and_month("21 Nov 2026")
    ('21 Nov', None)
    """
    match = re.fullmatch(_NAMED, " ".join(text.casefold().split()))
    month = match and _which(match["month"] or match["month2"], _MONTHS)
    if match is None or month is None or match["year"]:
        return None
    return _said(int(match["day"] or match["day2"]), month)


def _named(text: str, match: re.Match[str], today: date | None, toward: Toward) -> date | None:
    """A date whose month is written as a word; None where the word is no month."""
    month = _which(match["month"] or match["month2"], _MONTHS)
    weekday = _which(match["weekday"], _WEEKDAYS) if match["weekday"] else None
    if month is None or (match["weekday"] and weekday is None):
        return None
    day = int(match["day"] or match["day2"])
    if match["year"]:
        found = _date(text, int(match["year"]), month, day)
    elif today is None:
        said = _said(day, month)
        told = f'"{text.strip()[:_LONGEST]}" does not say of which year'
        raise QuantityError("date", text, told, f'write the year too, like "{said} 2026"')
    else:
        found = _of_the_year(text, month, day, today, toward)
    if weekday is not None and found.weekday() != weekday:
        said = f"{_said(day, month)} {found.year}"
        told = f"{said} is a {_WEEKDAYS[found.weekday()].capitalize()}, not a {_WEEKDAYS[weekday].capitalize()}"
        raise QuantityError("date", text, told, f'write "{said}", or the other day')
    return found


def _spoken(text: str, plain: str, today: date, toward: Toward) -> date | None:
    """A day named from today; None when the words name none."""
    steps = {"today": 0, "tonight": 0, "now": 0, "tomorrow": 1, "tomorrow night": 1, "yesterday": -1, "last night": -1}
    if plain in steps:
        return within(today + timedelta(days=steps[plain]), text)
    which, _, word = plain.rpartition(" ")
    weekday = _which(word, _WEEKDAYS)
    if weekday is None or which not in ("", "on", "this", "last", "next", "coming"):
        return None
    ahead = (weekday - today.weekday()) % 7
    behind = (today.weekday() - weekday) % 7
    if which == "next":
        first = today + timedelta(days=ahead or 7)
        told = f'"{text.strip()}" may be {_dated(first)} or {_dated(first + timedelta(days=7))}'
        raise QuantityError("date-ambiguous", text, told, f"write {first} or {first + timedelta(days=7)}")
    if which == "last":
        return within(today - timedelta(days=behind or 7), text)
    days = -behind if toward == "past" and which != "coming" else ahead
    return within(today + timedelta(days=days), text)


def _of_the_year(text: str, month: int, day: int, today: date, toward: Toward) -> date:
    """A day and month in the one year that begins where `toward` says."""
    first = today + timedelta(days=_FIRST_DAY[toward])
    is_later = (month, day) >= (first.month, first.day)
    return _date(text, first.year if is_later else first.year + 1, month, day)


def _slashed(text: str, first: str, second: str, year: str) -> date:
    if first != second and int(first) <= 12 and int(second) <= 12:
        one, other = (f"{year}-{int(month):02d}-{int(day):02d}" for month, day in ((first, second), (second, first)))
        raise QuantityError("date-ambiguous", text, f'"{text}" may be {one} or {other}', f"write {one} or {other}")
    day, month = (second, first) if int(second) > 12 else (first, second)
    return _date(text, int(year), int(month), int(day))


def _unordered(text: str, first: int, second: int, today: date | None, toward: Toward) -> QuantityError:
    """The refusal of a day and a month in figures: here the day stands first, elsewhere the month."""
    ways = dict.fromkeys((day, month) for day, month in ((first, second), (second, first)) if _is_day(day, month))
    said, given = [_said(*way) for way in ways], text.strip()[:_LONGEST]
    if not said:
        return QuantityError("date", text, f'"{given}" is not a date', _REMEDY)
    if len(said) == 2:
        told, remedy = f'"{given}" may be {said[0]} or {said[1]}', f'write "{said[0]}" or "{said[1]}"'
    else:
        ((day, month),) = ways
        told, remedy = f'"{given}" does not say which is the month', f'write "{said[0]}"'
        remedy += "" if today is None else f" or {_of_the_year(text, month, day, today, toward)}"
    if today is None:
        remedy = _REMEDY
    return QuantityError("date-ambiguous", text, told, remedy)


def _is_day(day: int, month: int) -> bool:
    return 1 <= month <= 12 and 1 <= day <= 31


def _which(word: str, names: tuple[str, ...]) -> int | None:
    """Which of some names a word is or begins: its number, a month's from 1, a weekday's from 0."""
    first = 1 if names is _MONTHS else 0
    if len(word) < _SHORTEST:
        return None
    return next((place for place, name in enumerate(names, first) if name.startswith(word)), None)


def _said(day: int, month: int) -> str:
    return f"{day} {_MONTHS[month - 1][:3].capitalize()}"


def _dated(day: date) -> str:
    return _said(day.day, day.month)


def _date(text: str, year: int, month: int, day: int) -> date:
    try:
        found = date(year, month, day)
    except ValueError:
        raise QuantityError("date", text, f'"{text.strip()}" is not in the calendar', _REMEDY) from None
    return within(found, text)
