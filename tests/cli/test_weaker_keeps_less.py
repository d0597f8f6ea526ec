"""A syrup kept because it is rich loses its days and its shelf when it is made, read or corrected weaker."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import Run, copy_of_house, run

SYRUPS = """\
- syrup: shelf syrup
  standard: 66.7 °Bx
  keeps: 28 days
  storage: 20 °C
  recipe: [2000 g sugar, 1000 g water]
- syrup: cold syrup
  standard: 50 °Bx
  keeps: 14 days
"""
SUGAR = "ingredient: sugar\nsugar: 1000 g/kg\n"
EVENING = "2026-11-25T18:00:00+01:00"
WEAKER = "weaker than its standard 66.7 °Bx: keep cold; its 28 days are no longer its own: use by ____, by house rule"


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return copy_of_house(tmp_path, syrups__kept=SYRUPS, ingredients__sugar=SUGAR)


def said(specs: Path, *words: str, now: str = EVENING) -> Run:
    done = run(*words, specs=specs, env={"BALANCER_NOW": now})
    assert done.code == 0, done
    return Run(done.code, " ".join(done.out.split()), done.err)


def last_day(specs: Path, now: str = EVENING) -> str | None:
    done = run("batch", "list", "--json", specs=specs, env={"BALANCER_NOW": now})
    day: str | None = done.data["batches"][0]["discard"]
    return day


def test_at_standard_it_keeps_its_28_days_on_the_shelf(specs: Path) -> None:
    assert "weaker" not in said(specs, "batch", "add", "shelf", "--brix", "66").out
    assert last_day(specs) == "2026-12-22"
    assert "weaker" not in said(specs, "make", "shelf").out


def test_made_weaker(specs: Path) -> None:
    added = said(specs, "batch", "add", "shelf", "--brix", "60")
    assert WEAKER in added.out
    assert "last day of use unknown: weaker than its standard" in added.out
    assert last_day(specs) is None


@pytest.mark.parametrize(
    "words",
    [("reading", "SHE-1", "--brix", "62"), ("correct", "SHE-1", "--brix", "62"), ("add", "shelf", "--brix", "62")],
)
def test_read_or_corrected_weaker_and_back(specs: Path, words: tuple[str, ...]) -> None:
    """Brought back to strength, its days are its own again, from the day it was made."""
    if words[0] != "add":
        said(specs, "batch", "add", "shelf", "--brix", "66.7")
    assert WEAKER in said(specs, "batch", *words).out
    assert last_day(specs) is None
    said(specs, "batch", "correct", "SHE-1", "--brix", "66.7")
    assert last_day(specs) == "2026-12-22"


def test_measured_weaker(specs: Path) -> None:
    said(specs, "batch", "add", "shelf", "--brix", "66.7", "--open")
    assert WEAKER in said(specs, "measure", "62", "--syrup", "shelf", "--scale", "0-90", "--log").out
    assert last_day(specs) is None


def test_a_day_that_the_house_gives_stays(specs: Path) -> None:
    said(specs, "batch", "add", "shelf", "--brix", "60", "--discard", "2026-12-01")
    assert last_day(specs) == "2026-12-01"


def test_it_never_outlives_what_it_would_have_had(specs: Path) -> None:
    """Unknown is not for ever: after 28 days it is past whatever its strength."""
    said(specs, "batch", "add", "shelf", "--brix", "60", "--open")
    before = said(specs, "tonight", "--all", now="2026-12-22T18:00:00+01:00").out
    after = said(specs, "tonight", now="2026-12-23T18:00:00+01:00").out
    assert "discard" not in before
    assert "discard SHE-1, past its last day" in after


def test_the_label_says_cold_and_leaves_the_day_to_be_written(specs: Path, tmp_path: Path) -> None:
    said(specs, "batch", "add", "shelf", "--brix", "60")
    done = run("labels", "--out", str(tmp_path / "l.pdf"), "--json", specs=specs, env={"BALANCER_NOW": EVENING})
    (label,) = done.data["labels"]
    assert (label["storage_c"], label["discard"]) == (4.0, None)
    assert "weaker than standard: keep cold" in label["cautions"]


def test_make_of_a_weaker_one(specs: Path) -> None:
    made = said(specs, "make", "shelf", "--strength", "60")
    assert WEAKER in made.out
    assert "keeps 28 days" not in made.out
    data = run("make", "shelf", "--strength", "60", "--json", specs=specs).data
    assert (data["keeps_days"], data["own_keeps_days"], data["storage_c"], data["weaker"]) == (None, 28.0, 4.0, True)


def test_correct_to_a_weaker_target(specs: Path) -> None:
    done = said(specs, "correct", "--syrup", "shelf", "--brix", "66.7", "--mass", "1kg", "--target", "60")
    assert WEAKER in done.out


def test_what_the_cold_keeps_has_its_days_and_is_told(specs: Path) -> None:
    assert "weaker" not in said(specs, "batch", "add", "cold syrup", "--brix", "47").out
    assert last_day(specs) == "2026-12-08"
    target = said(specs, "correct", "--syrup", "cold", "--brix", "50", "--mass", "1kg", "--target", "47")
    assert "weaker than its standard 50 °Bx, which its 14 days were set for" in target.out
