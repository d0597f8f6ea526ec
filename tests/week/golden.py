"""Writes the record of the week anew: our own output, to be read by a person.

python -m tests.week.golden && git diff tests/week
"""

from __future__ import annotations

from tests.week.days import WEEK
from tests.week.script import DAYS, live, record


def write() -> None:
    """Write every day's page."""
    DAYS.mkdir(exist_ok=True)
    for path in DAYS.glob("*.txt"):
        path.unlink()
    for day, done in live(WEEK):
        day.page.write_text(record(day, done), encoding="utf-8")


if __name__ == "__main__":
    write()
