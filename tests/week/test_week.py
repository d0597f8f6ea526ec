"""The invented week reads as it was read last, and says what can be worked by hand."""

from __future__ import annotations

import pytest

from tests.week.days import WEEK
from tests.week.script import DAYS, live, record

pytestmark = pytest.mark.slow


def test_the_week_is_lived_as_recorded() -> None:
    """Once: each line's exit code, what can be worked by hand, the width of what is printed, and the whole record."""
    for day, done in live(WEEK):
        for line, seen in done:
            said = " ".join((seen.out + seen.err).split())
            assert seen.code == line.code, (day.name, line.typed, said)
            assert all(part in said for part in line.expect), (day.name, line.typed, said)
            told = [] if "--json" in line.typed or line.typed == "check" else seen.out.splitlines()  # check shows files
            assert not [text for text in told if len(text) > 80], (day.name, line.typed)
        assert record(day, done) == day.page.read_text(encoding="utf-8"), "if wanted: python -m tests.week.golden"
    assert {path.name for path in DAYS.iterdir()} == {day.page.name for day in WEEK}
