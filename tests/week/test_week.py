"""The invented week reads as it was read last, and says what can be worked by hand."""

from __future__ import annotations

import pytest

from tests.cli.runner import Run
from tests.week.days import WEEK
from tests.week.script import DAYS, Day, Line, live, record

Lived = list[tuple[Day, list[tuple[Line, Run]]]]


@pytest.fixture(scope="module")
def lived() -> Lived:
    return list(live(WEEK))


@pytest.mark.xdist_group("week")
def test_each_day_reads_as_recorded(lived: Lived) -> None:
    for day, done in lived:
        assert record(day, done) == day.page.read_text(encoding="utf-8"), "if wanted: python -m tests.week.golden"
    assert {path.name for path in DAYS.iterdir()} == {day.page.name for day in WEEK}


@pytest.mark.xdist_group("week")
def test_what_can_be_worked_by_hand_is_said(lived: Lived) -> None:
    for day, done in lived:
        for line, seen in done:
            said = " ".join((seen.out + seen.err).split())
            assert seen.code == line.code, (day.name, line.typed, said)
            assert all(part in said for part in line.expect), (day.name, line.typed, said)


@pytest.mark.xdist_group("week")
def test_no_line_of_an_answer_is_wider_than_the_page(lived: Lived) -> None:
    for day, done in lived:
        for line, seen in done:
            told = [] if "--json" in line.typed or line.typed == "check" else seen.out.splitlines()  # check shows files
            wide = [text for text in told if len(text) > 80]
            assert not wide, (day.name, line.typed, wide)
