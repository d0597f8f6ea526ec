"""Dates as people write them; what could be two days is refused."""

from __future__ import annotations

import time
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from balancer.errors import QuantityError
from balancer.models.days import Toward, day_and_month, parse_day, parse_time

DAY = date(2026, 11, 25)
"""A Wednesday."""
SPOKEN = {"today", "tonight", "now", "yesterday", "tomorrow", "mon", "tue", "wed", "thu", "fri", "sat", "sun"}


@pytest.mark.parametrize(
    "text", ["2026-11-25", " 2026-11-25 ", "2026/11/25", "2026.11.25", "25.11.2026", "25/11/2026", "11/25/2026"]
)
def test_one_day_in_many_spellings(text: str) -> None:
    assert parse_day(text) == DAY


def test_with_dots_the_day_stands_first() -> None:
    assert parse_day("04.05.2026") == date(2026, 5, 4)


def test_slashes_that_mean_one_day_either_way() -> None:
    assert parse_day("05/05/2026") == date(2026, 5, 5)


@pytest.mark.parametrize("text", ["04/05/2026", "4/5/2026", "04-05-2026"])
def test_what_may_be_two_days_is_refused_with_both(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_day(text)
    assert caught.value.code == "date-ambiguous"
    assert caught.value.remedy == "write 2026-04-05 or 2026-05-04"


@pytest.mark.parametrize(("text", "day"), [("today", DAY), ("Yesterday", DAY - timedelta(days=1)), ("TONIGHT", DAY)])
def test_words_count_from_today(text: str, day: date) -> None:
    assert parse_day(text, DAY) == day


@pytest.mark.parametrize(
    "text",
    ["", "today", "tomorrow", "25.11.26", "2026-11", "2026-02-30", "31.06.2026", "13/13/2026", "0000-01-01",
     "2026-11-25T18:00", "٢٠٢٦-١١-٢٥", "x" * 10_000],
)  # fmt: skip
def test_what_is_no_date_is_refused_shortly(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_day(text)
    assert caught.value.code == "date"
    assert len(caught.value.reason) < 100


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("tomorrow", date(2026, 11, 26)),
        ("last night", date(2026, 11, 24)),
        ("21 Nov", date(2026, 11, 21)),
        ("Nov 21", date(2026, 11, 21)),
        ("21st of november", date(2026, 11, 21)),
        ("Sat 21 Nov", date(2026, 11, 21)),
        ("21 november 2025", date(2025, 11, 21)),
        ("Sept. 3, 2026", date(2026, 9, 3)),
        ("2 Jan", date(2027, 1, 2)),
        ("monday", date(2026, 11, 30)),
        ("Wed", date(2026, 11, 25)),
        ("last wednesday", date(2026, 11, 18)),
    ],
)
def test_dates_as_people_say_them(text: str, day: date) -> None:
    """Days and weekdays by a calendar of 2026, on a Wednesday."""
    assert parse_day(text, DAY) == day
    assert parse_day(text.upper(), DAY) == day


@pytest.mark.parametrize(
    ("text", "toward", "day"),
    [
        ("monday", "past", date(2026, 11, 23)),
        ("wednesday", "past", DAY),
        ("monday", "ahead", date(2026, 11, 30)),
        ("wednesday", "ahead", DAY),
        ("30 Dec", "past", date(2026, 12, 30)),  # refused by whoever asked when something was made
        ("1 Feb", "past", date(2026, 2, 1)),
        ("1 Feb", "ahead", date(2027, 2, 1)),
        ("1 Aug", "ahead", date(2027, 8, 1)),
        ("20 Nov", "ahead", date(2026, 11, 20)),
    ],
)
def test_which_of_the_years_or_weeks(text: str, toward: Toward, day: date) -> None:
    assert parse_day(text, DAY, toward) == day


@given(st.dates(date(1990, 1, 1), date(2100, 12, 31)), st.sampled_from(["past", "near", "ahead"]))
def test_a_day_without_its_year_is_in_the_year_around_today(today: date, toward: Toward) -> None:
    for back in (0, 30, 59):
        day = today - timedelta(days=back)
        if (day.month, day.day) != (2, 29):
            assert parse_day(f"{day.day} {day:%b}", today, toward) == day


@pytest.mark.parametrize(
    ("text", "reason", "remedy"),
    [
        ("21/11", '"21/11" does not say which is the month', 'write "21 Nov" or 2026-11-21'),
        ("11/21", '"11/21" does not say which is the month', 'write "21 Nov" or 2026-11-21'),
        ("21.11", '"21.11" does not say which is the month', 'write "21 Nov" or 2026-11-21'),
        ("5/11", '"5/11" may be 5 Nov or 11 May', 'write "5 Nov" or "11 May"'),
        ("next monday", '"next monday" may be 30 Nov or 7 Dec', "write 2026-11-30 or 2026-12-07"),
    ],
)
def test_what_may_be_two_days_is_asked(text: str, reason: str, remedy: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_day(text, DAY)
    assert (caught.value.code, caught.value.reason, caught.value.remedy) == ("date-ambiguous", reason, remedy)
    for written in remedy.removeprefix("write ").split(" or "):
        parse_day(written.strip('"'), DAY)


def test_a_weekday_that_the_date_is_not() -> None:
    with pytest.raises(QuantityError, match="21 Nov 2026 is a Saturday, not a Friday"):
        parse_day("Fri 21 Nov", DAY)


def test_a_date_without_its_year_where_nobody_knows_today() -> None:
    with pytest.raises(QuantityError) as caught:
        parse_day("21 Nov")
    assert (caught.value.code, caught.value.remedy) == ("date", 'write the year too, like "21 Nov 2026"')
    assert parse_day("21 Nov 2026") == date(2026, 11, 21)


@pytest.mark.parametrize(
    ("text", "said"), [("21 Nov", "21 Nov"), ("nov 3rd", "3 Nov"), ("21 Nov 2026", None), ("v2", None), ("may", None)]
)
def test_a_day_and_month_alone(text: str, said: str | None) -> None:
    assert day_and_month(text) == said


@given(st.dates(date(1970, 1, 1), date(2200, 12, 31)))
def test_iso_dates_read_back(day: date) -> None:
    assert parse_day(day.isoformat()) == day


@example("LAST NIGHT")
@example("last friday")
@given(st.text(max_size=20))
def test_any_text_is_a_date_or_refused(text: str) -> None:
    """Nothing but its own error comes out, and only what holds digits or is said in known words is a date."""
    found = None
    with suppress(QuantityError):
        found = parse_day(text, DAY)
    plain = text.casefold()
    known = {*SPOKEN, "on", "this", "last", "next", "coming", "night"}
    is_known = all(word in known or word[:3] in SPOKEN for word in plain.split())
    assert found is None or is_known or any(char.isdigit() for char in plain)


def test_a_moment_keeps_its_offset() -> None:
    moment = parse_time("2026-11-25T18:04:05.000001+01:00")
    assert moment == datetime(2026, 11, 25, 17, 4, 5, 1, tzinfo=UTC)
    assert moment.utcoffset() == timedelta(hours=1)


def test_a_moment_without_offset_is_this_machines() -> None:
    assert parse_time("2026-11-25T18:04") == datetime(2026, 11, 25, 18, 4).astimezone()


@pytest.mark.parametrize("text", ["", "yesterday", "2026-13-01T00:00", "18:04", "9" * 30])
def test_what_is_no_moment_is_refused(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_time(text)
    assert caught.value.code == "time"


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago"])
@pytest.mark.parametrize(
    "text",
    ["0001-01-01T00:00", "9999-12-31T23:59", "0001-01-01T00:00+14:00", "9999-12-31T23:59-14:00", "1969-12-31T23:59Z",
     "2201-01-01T00:00Z"],
)  # fmt: skip
def test_no_bar_means_the_ends_of_the_calendar(monkeypatch: pytest.MonkeyPatch, zone: str, text: str) -> None:
    """Moments at either end may lie outside of it in UTC, where every sum with them fails."""
    monkeypatch.setenv("TZ", zone)
    time.tzset()
    try:
        with pytest.raises(QuantityError, match="1970 to 2200"):
            parse_time(text)
    finally:
        monkeypatch.undo()
        time.tzset()


@pytest.mark.parametrize("text", ["0001-01-01", "1969-12-31", "2201-01-01", "31.12.9999", "12/31/1969"])
def test_no_bar_means_such_a_day(text: str) -> None:
    with pytest.raises(QuantityError, match="1970 to 2200"):
        parse_day(text)
