"""Slips of a busy evening: each is asked about, or put right by the line that the answer prints."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import Run, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}


class Evening:
    """A copy of the small house, and lines typed into it one after the other."""

    def __init__(self, folder: Path) -> None:
        self.specs = copy_of_house(folder)

    def __call__(self, *words: str) -> Run:
        return run(*words, specs=self.specs, env=NOW)

    def ok(self, *words: str) -> Run:
        done = self(*words)
        assert (done.code, done.err) == (0, ""), done
        return done

    @property
    def logged(self) -> int:
        path = self.specs / "batches.yaml"
        return len(path.read_text(encoding="utf-8").splitlines()) if path.exists() else 0


@pytest.fixture
def evening(tmp_path: Path) -> Evening:
    return Evening(tmp_path)


@pytest.mark.parametrize(
    "words",
    [("measure", "45", "plain", "--log"), ("batch", "reading", "PLA-1", "45"), ("measure", "45", "PLA-1", "-l")],
)
def test_a_reading_far_from_the_last_one_is_asked_about(evening: Evening, words: tuple[str, ...]) -> None:
    """54 with its digits swapped: before, it went straight into the log."""
    evening.ok("batch", "add", "plain", "53.6", "--open")
    before = evening.logged
    done = evening(*words)
    assert (done.code, done.out, evening.logged) == (1, "", before)
    assert done.err.startswith("PLA-1 read 53.6 °Bx before: is a digit of 45 wrong (54)?\n")
    evening.ok(*words, "--yes")
    assert evening.logged == before + 1
    evening.ok("measure", "45.5", "plain", "--log")


def test_a_reading_near_the_last_one_or_after_a_correction_is_not_asked_about(evening: Evening) -> None:
    evening.ok("batch", "add", "plain", "58", "--open")
    evening.ok("measure", "54.5", "plain", "--log")  # 8 % less sugar in a ml
    evening.ok("batch", "correct", "PLA-1", "--brix", "46")
    evening.ok("measure", "54", "plain", "--log")


def test_a_logged_reading_says_how_to_take_it_back(evening: Evening) -> None:
    done = evening.ok("measure", "50", "plain", "--log")
    assert "new batch: write PLA-1 on its tape" in done.out.splitlines()[1]
    assert "a slip? balancer batch undo PLA-1" in done.out
    assert "a slip?" not in evening.ok("measure", "50", "plain").out
    evening.ok("batch", "undo", "PLA-1")


@pytest.mark.parametrize("name", [("berry",), ()])
def test_too_warm_a_sample_says_so_first(evening: Evening, name: tuple[str, ...]) -> None:
    """Before, the first line said what to pour."""
    warm = evening("measure", "54", *name, "-t", "40C")
    assert warm.first.endswith(": let it cool, covered, below 30 °C and read again")
    assert warm.first.startswith("5")
    assert "pour" not in warm.out
    within = evening("measure", "54", *name, "-t", "30C")
    assert within.first == evening("measure", "54", *name).first


@pytest.mark.parametrize("words", [("measure", "54", "plain"), ("rescale", "--syrup", "plain", "--brix", "54")])
def test_an_open_batch_past_its_day_is_told_where_its_syrup_is_judged(evening: Evening, words: tuple[str, ...]) -> None:
    evening.ok("batch", "add", "plain", "50", "--open", "--discard", "2026-11-25")
    late = {"BALANCER_NOW": "2026-11-26T18:00+01:00"}
    told = "  the open batch PLA-1 is past its last day (25 Nov): discard it"
    assert told in run(*words, specs=evening.specs, env=late).out.splitlines()[1:3]
    assert "PLA-1" not in evening(*words).out
    assert "PLA-1" not in run(*words, "--alone", specs=evening.specs, env=late).out
    named = run("measure", "54", "PLA-1", specs=evening.specs, env=late).out
    assert named.count("PLA-1 is past its last day") == 1


def test_a_batch_that_goes_into_use_says_that_every_drink_stays(evening: Evening) -> None:
    evening.ok("batch", "add", "berry", "50")
    assert "every drink as written" in evening.ok("batch", "open", "BER-1").out
    evening.ok("batch", "add", "berry", "54.5")
    opened = evening.ok("batch", "open", "BER-2", "--replaces", "BER-1").out
    assert "every drink" not in opened
    assert "balancer tonight has the pours" in opened


CORDIAL = "syrup: lime cordial\nstandard: 50 °Bx\nallergens: []\n"


@pytest.mark.parametrize(
    "words", [("measure", "52", "lime"), ("measure", "52", "lime", "--log"), ("batch", "add", "lime", "50")]
)
def test_a_beginning_of_a_syrup_and_of_a_juice_in_the_log_is_asked_about(
    tmp_path: Path, words: tuple[str, ...]
) -> None:
    """Before, these took the cordial, while `batch discard lime` took the juice."""
    specs = copy_of_house(tmp_path, syrups__cordial=CORDIAL)
    assert run("measure", "52", "lime", specs=specs, env=NOW).code == 0, "the log holds no lime juice yet"
    assert run("batch", "add", "lime", "--acid", "46g/l", "--open", specs=specs, env=NOW).code == 0
    done = run(*words, specs=specs, env=NOW)
    assert (done.code, done.out) == (2, "")
    assert '"lime" may be the syrup "lime cordial" or the ingredient "lime juice"' in done.err
    assert run(*[word.replace("lime", "lime cordial") for word in words], specs=specs, env=NOW).code == 0
    assert run("batch", "add", "lime", "--acid", "47g/l", specs=specs, env=NOW).code == 0, "no syrup has --acid"


def test_a_juice_is_not_read_in_brix(evening: Evening) -> None:
    evening.ok("batch", "add", "lime juice", "--acid", "46g/l", "--open")
    done = evening("measure", "52", "LIM-1")
    assert (done.code, done.err) == (
        2,
        "LIM-1 is lime juice: it goes by acid\n  balancer batch reading LIM-1 --acid 50g/l\n",
    )
    evening.ok("batch", "reading", "LIM-1", "--acid", "50g/l")


def test_a_mass_that_no_bar_makes_is_doubted(evening: Evening) -> None:
    for words in (("add", "plain", "50"), ("reading", "PLA-1", "50"), ("correct", "PLA-1")):
        done = evening("batch", *words, "--mass", "200kg")
        assert done.code == 1
        assert done.err.startswith("200 kg is more than a bar makes at once")
        evening.ok("batch", *words, "--mass", "100kg")
    too_much = evening("batch", "add", "plain", "50", "--mass", "2000kg")
    assert "up to 1000 kg" in too_much.err


def test_errors_write_days_as_everything_else(evening: Evening) -> None:
    evening.ok("batch", "add", "plain", "50", "--discard", "2026-11-25")
    late = {"BALANCER_NOW": "2026-11-26T18:00+01:00"}
    for words in (("open", "PLA-1"), ("correct", "PLA-1")):
        assert "(25 Nov)" in run("batch", *words, specs=evening.specs, env=late).err
    assert (
        "(20 Nov) is over" in evening("batch", "add", "plain", "--made", "19 Nov", "--discard", "20 Nov", "--open").err
    )


def test_the_strength_of_a_reading_may_stand_behind_its_batch(evening: Evening) -> None:
    evening.ok("batch", "add", "plain", "50")
    assert evening.ok("batch", "reading", "PLA-1", "50.2").first.endswith("reads 50.2 °Bx")
    assert evening("batch", "reading", "PLA-1", "50.2", "--brix", "50").code == 2


def test_the_drinks_of_a_juice_line_up_with_the_others(evening: Evening) -> None:
    evening.ok("batch", "add", "berry", "54.5", "--open")
    evening.ok("batch", "add", "lime juice", "--acid", "62g/l", "--open")
    rows = evening.ok("tonight", "--all").out.splitlines()[1:]
    names = {name: row for row in rows for name in DRINKS if row.startswith(("  BER-1  ", "  LIM-1  ")) and name in row}
    starts = {row.index(name) for name, row in names.items()}
    assert {row[2:5] for row in names.values()} == {"BER", "LIM"}
    assert len(starts) == 1
    assert len({row.index("→") - len(row[: row.index("→")].split()[-1]) for row in names.values() if "→" in row}) == 1


DRINKS = ("Anchor Sour", "Breakwater Fizz", "Bollard", "Foam Line")


@pytest.mark.parametrize(
    ("wrong", "asked", "right"),
    [
        ("correct --syrup berry --brix 54 --mass 2kg --target 5", "no syrup", "--target 51"),
        ("correct --syrup berry --brix 54 --mass 2g", "2 kg", "--mass 2kg"),
        ("batch add berry 54 --mass 2g", "2 kg", "--mass 2kg"),
        ("measure 54 plain --zero 14", "1.4", "--zero 1.4"),
        ("batch add lime-juice --acid 5.2g/l", "decimal point", "--acid 52g/l"),
    ],
)
def test_a_lost_decimal_point_or_unit_is_asked_about_in_every_option(
    evening: Evening, wrong: str, asked: str, right: str
) -> None:
    """Nothing is answered or logged until it is meant; the right value is taken unasked."""
    done = evening(*wrong.split())
    assert (done.code, done.out, evening.logged) == (1, "", 0)
    assert asked in done.err
    evening.ok(*wrong.split(), *right.split())  # the last of an option counts
    evening.ok(*wrong.split(), "--yes")
