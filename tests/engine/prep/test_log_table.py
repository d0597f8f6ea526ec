"""What the whole log makes of each of its lines, against a log small enough to fold by hand."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any

import pytest

from balancer.engine.batch.history import batches
from balancer.engine.prep.chart import chart
from balancer.engine.prep.log_table import LoggedLine, logged_lines
from balancer.models.batch import Event, LogEntry
from balancer.models.syrup import Syrup
from tests.engine.builders import bar, ingredient, syrup

BAR = bar(
    syrup("berry syrup", tolerance="0.6 °Bx"),
    Syrup.model_validate({"syrup": "wild syrup", "id": "wild-syrup"}),
    ingredient("lime juice", kind="juice"),
    day_ends="06:00",
)
NOON = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)


def entry(batch: str, event: Event, hours: float | None, **keys: Any) -> LogEntry:
    return LogEntry(batch, event, None if hours is None else NOON + timedelta(hours=hours), **keys)


def moment(hours: float) -> str:
    return (NOON + timedelta(hours=hours)).isoformat()


LOG = [
    entry("BER-1", "made", 0, liquid="berry-syrup", brix=52.0, made=date(2026, 3, 1), by="Ina"),  # line 1
    entry("BER-2", "made", 1, liquid="berry-syrup", made=date(2026, 3, 1), by="Odo"),
    entry("BER-2", "reading", 2, brix=49.0),
    entry("BER-2", "reading", 3, brix=49.5, cause="watered"),
    entry("BER-3", "made", 4, liquid="berry-syrup", refers=("BER-1", "BER-2"), brix=50.5),  # line 5: combined
    entry("BER-4", "made", 5, liquid="berry-syrup", brix=71.0),  # line 6: a slip, taken back by line 7
    entry("BER-4", "undo", 6, refers=(moment(5),)),
    entry("BER-4", "made", 7, liquid="berry-syrup", brix=51.0),
    entry("BER-5", "made", 8, liquid="berry-syrup", brix=99.0),  # line 9: its reading alone is taken back
    entry("BER-5", "undo", 9, refers=(moment(8),), only="reading"),
    entry("BER-5", "reading", 10, brix=49.9),
    entry("BER-9", "open", 11),  # line 12: never made
    entry("LIM-1", "made", 12, liquid="lime-juice"),
    entry("WIL-1", "made", 13, liquid="wild-syrup", brix=40.0),
    entry("BER-6", "made", None, liquid="berry-syrup", brix=50.0, made=date(2026, 2, 27)),  # line 15: by hand
    entry("BER-6", "open", None),
]


def told() -> dict[int, LoggedLine]:
    return {one.line: one for one in logged_lines(BAR, LOG, range(1, len(LOG) + 1))}


def test_every_line_is_there_once_and_says_what_it_says() -> None:
    found = told()
    assert list(found) == list(range(1, 17))
    assert [found[line].entry for line in found] == LOG


def test_a_batch_is_on_the_chart_in_the_line_that_made_it() -> None:
    points = {line: one.first_brix for line, one in told().items() if one.first_brix is not None}
    assert points == {1: 52.0, 2: 49.0, 8: 51.0, 9: 49.9, 14: 40.0, 15: 50.0}


def test_they_are_the_points_of_the_chart() -> None:
    drawn = chart(BAR.specs.syrups["berry-syrup"], batches(LOG, BAR.specs), 1.0)
    rows = [
        one for one in told().values() if one.first_brix is not None and one.batch and one.batch.liquid == "berry-syrup"
    ]
    assert sorted((point.batch, point.brix) for point in drawn.points) == sorted(
        (one.entry.batch, one.first_brix) for one in rows
    )


def test_what_a_line_below_takes_back_is_told_and_makes_nothing() -> None:
    found = told()
    assert [line for line, one in found.items() if one.undone] == [6]
    assert [line for line, one in found.items() if one.is_making] == [1, 2, 5, 8, 9, 13, 14, 15]


def test_every_line_of_a_batch_has_its_syrup_and_what_it_is_made_to() -> None:
    found = told()
    assert {found[line].standard_brix for line in (1, 2, 3, 4, 5, 6, 9, 16)} == {50.0}
    assert {found[line].tolerance_brix for line in (1, 3, 16)} == {0.6}
    assert (found[12].batch, found[12].standard_brix) == (None, None)
    assert (found[13].standard_brix, found[13].tolerance_brix) == (None, None)
    assert (found[14].standard_brix, found[14].tolerance_brix) == (None, 1.0)


@pytest.mark.parametrize(
    ("line", "day"), [(1, date(2026, 3, 1)), (13, date(2026, 3, 1)), (15, date(2026, 2, 27)), (16, None)]
)
def test_the_working_day(line: int, day: date | None) -> None:
    assert told()[line].day == day


def test_the_working_day_is_by_the_clock_of_the_line() -> None:
    """Half past one at night in a summer two hours ahead of UTC: yesterday's shift, and in UTC yesterday's date too."""
    night = datetime(2026, 7, 1, 1, 30, tzinfo=timezone(timedelta(hours=2)))
    (one,) = logged_lines(BAR, [LogEntry("BER-1", "made", night, liquid="berry-syrup")], [1])
    assert one.day == date(2026, 6, 30)
    morning = night.replace(hour=6)
    (one,) = logged_lines(BAR, [LogEntry("BER-1", "made", morning, liquid="berry-syrup")], [1])
    assert one.day == date(2026, 7, 1)


def test_lines_stand_in_their_order_whatever_counts_first() -> None:
    order = [0, 3, 2, 1]
    found = logged_lines(BAR, [LOG[place] for place in order], [place + 1 for place in order])
    assert [one.line for one in found] == [1, 2, 3, 4]
