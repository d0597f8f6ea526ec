"""Amounts and dates typed as several words, numbers without a unit, and dates in words, as a person types them."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from balancer.cli.typed import joined
from tests.cli.runner import copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}


@pytest.mark.parametrize(
    ("apart", "together"),
    [
        ("correct --mass 1.4 kg --brix 54", ["correct", "--mass", "1.4 kg", "--brix", "54"]),
        ("correct --mass=1.4 kg", ["correct", "--mass=1.4 kg"]),
        ("correct -m 1 1/2 kg -b 54", ["correct", "-m", "1 1/2 kg", "-b", "54"]),
        ("make x --volume 2 l --json", ["make", "x", "--volume", "2 l", "--json"]),
        ("measure 50 --temperature 28 C", ["measure", "50", "--temperature", "28 C"]),
        ("measure 54 x --log -t 28 C", ["measure", "54", "x", "--log", "-t", "28 C"]),
        ("tonight -d 21 Nov", ["tonight", "-d", "21 Nov"]),
        ("measure 30 --dilute 100 g + 100 g", ["measure", "30", "--dilute", "100 g + 100 g"]),
        ("measure 50 °Bx 51 brix", ["measure", "50 °Bx", "51 brix"]),
        ("measure 1.4201 nD", ["measure", "1.4201 nD"]),
        ("rescale --brix 54 °Bx", ["rescale", "--brix", "54 °Bx"]),
        ("batch add x --made 21 Nov 2026 54", ["batch", "add", "x", "--made", "21 Nov 2026", "54"]),
        ("batch add x --made 21 Nov 54", ["batch", "add", "x", "--made", "21 Nov", "54"]),
        ("tonight --date last night", ["tonight", "--date", "last night"]),
        ("make x --have 500 g white sugar --json", ["make", "x", "--have", "500 g white sugar", "--json"]),
        # What may be something else is left alone.
        ("rescale --brix 54 c", ["rescale", "--brix", "54", "c"]),
        ("set anchor gin 20 ml", ["set", "anchor", "gin", "20", "ml"]),
        ("make --have 500 g white", ["make", "--have", "500", "g", "white"]),
        ("tonight --date monday 54", ["tonight", "--date", "monday", "54"]),
        ("measure 54 n", ["measure", "54", "n"]),
        ("correct --mass 2kg drop", ["correct", "--mass", "2kg", "drop"]),
        ("aim x -- --mass 2 kg", ["aim", "x", "--", "--mass", "2", "kg"]),
        ("swap --out a --hold sugar may 3", ["swap", "--out", "a", "--hold", "sugar", "may", "3"]),
    ],
)
def test_what_belongs_together(apart: str, together: list[str]) -> None:
    assert joined(apart.split()) == together


@pytest.mark.parametrize(
    ("apart", "together"),
    [
        (["pour", "22.5", "ml", "--standard", "50", "--brix", "54", "°Bx"],
         ["pour", "22.5ml", "--standard=50", "--brix=54"]),
        (["measure", "30", "--dilute", "100", "g", "+", "100", "g"], ["measure", "30", "--dilute", "100g+100g"]),
        (["measure", "50", "--no-atc", "--temperature", "82.4", "F"],
         ["measure", "50", "--no-atc", "--temperature", "28C"]),
        (["correct", "--syrup", "berry", "--brix", "54", "--mass", "1.4", "kg"],
         ["correct", "--syrup", "berry", "--brix", "54", "--mass", "1400g"]),
    ],
)  # fmt: skip
def test_two_words_answer_as_one(apart: list[str], together: list[str]) -> None:
    done = run(*apart)
    assert (done.code, done.err) == (0, "")
    assert done.out == run(*together).out


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("correct --syrup berry --brix 54 --mass 2", "2 kg or 2 g?"),
        ("correct --syrup berry --brix 54 --volume 2", "2 l or 2 ml?"),
        ("correct --syrup berry --brix 54 --mass 2kg --container 4", "4 l or 4 ml?"),
        ("make plain --mass 2", "2 kg or 2 g?"),
        ("make plain --acid 9", "9 g/kg or 9 g/l?"),
        ("measure 50 --temperature 75", "75 °C or 75 °F?"),
        ("measure 50 --acid 9", "9 g/kg or 9 g/l?"),
        ("measure 50 --dilute 100+100", "100 g or 100 ml?"),
        ("batch add plain --brix 50 --mass 2", "2 kg or 2 g?"),
        ("bottle anchor --volume 1", "1 l or 1 ml?"),
        ("pour 22.5 --standard 50 --brix 54", "22.5 ml or 22.5 oz?"),
    ],
)
def test_a_bare_number_is_asked_about(tmp_path: Path, words: str, asked: str) -> None:
    """Before, make took 2 for 2 g and measure 75 for °C."""
    specs = copy_of_house(tmp_path)
    done = run(*words.split(), specs=specs, env=NOW)
    assert (done.code, done.out) == (2, "")
    assert asked in done.err
    assert not (specs / "batches.yaml").exists()


def test_numbers_that_have_one_unit_stay_bare() -> None:
    words = "measure 30 30.5 --scale 0-55 --division 0.5 --accuracy 0.5 --zero 0.4 --abv 0"
    assert run(*words.split()).code == 0
    assert run("correct", "--brix", "54", "--target", "50", "--with", "12.8").code == 0


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("monday", date(2026, 11, 23)),
        ("yesterday", date(2026, 11, 24)),
        ("21 Nov", date(2026, 11, 21)),
        ("nov 21", date(2026, 11, 21)),
    ],
)
def test_a_day_in_words_is_understood_and_told(tmp_path: Path, said: str, day: date) -> None:
    """The days by a calendar of November 2026, seen from Wednesday the 25th."""
    specs = copy_of_house(tmp_path)
    done = run("batch", "add", "plain", "--brix", "50", "--made", *said.split(), specs=specs, env=NOW)
    assert (done.code, done.err) == (0, "")
    assert f"--made {said}: {day:%a} {day.day} Nov 2026" in done.out
    assert f'"made": "{day}"' in (specs / "batches.yaml").read_text(encoding="utf-8")


def test_the_night_and_the_last_day_lie_ahead(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("batch", "add", "plain", "--brix", "50", "--discard", "monday", specs=specs, env=NOW)
    assert "--discard monday: Mon 30 Nov 2026" in done.out
    tonight = run("tonight", "--date", "tomorrow", "--json", specs=specs, env=NOW)
    assert tonight.data["date"] == str(date(2026, 11, 25) + timedelta(days=1))
    written_out = run("tonight", "--date", "2026-11-26", specs=specs, env=NOW)
    assert written_out.out == run("tonight", "--date", "26 Nov 2026", specs=specs, env=NOW).out
    assert "--date" not in written_out.out


@pytest.mark.parametrize("text", ["21/11", "11/21", "21.11", "5/11", "next friday"])
def test_two_days_are_asked_about(text: str) -> None:
    done = run("tonight", "--date", text, env=NOW)
    assert (done.code, done.out) == (2, "")
    assert f'--date: "{text}" ' in done.err
