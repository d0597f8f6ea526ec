"""`balancer set` as a person types it: what it shows, asks and writes."""

from __future__ import annotations

import os
import re
import unicodedata
from pathlib import Path

import pytest

from tests.cli.runner import Run, answered, copy_of_house, edited_house, run

pty = pytest.importorskip("pty", reason="no such terminal on this system")

SOURS = "drinks/sours.yaml"
SYRUPS = "syrups/all.yaml"
DATED = "  version: 2\n  date: 2026-11-25\n"
"""What a drink without version and date gets."""


@pytest.fixture(autouse=True)
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:00:00+01:00")


def width(line: str) -> int:
    return sum(2 if unicodedata.east_asian_width(char) in "WF" else 1 for char in line)


def read(specs: Path, file: str = SOURS) -> str:
    return (specs / file).read_text(encoding="utf-8")


def typed(specs: Path, answer: str, *words: str) -> tuple[int, str]:
    """Run it at a terminal and answer its question: exit code, and all that stands on the screen."""
    return answered("[y/N]", answer, "set", *words, "--specs", str(specs))


@pytest.mark.parametrize("answer", ["y\n", pytest.param("Yes\n", marks=pytest.mark.slow)])
def test_it_asks_and_writes(tmp_path: Path, answer: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    code, screen = typed(specs, answer, "anchor", "berry", "20ml")
    assert code == 0
    assert screen.startswith(f"Anchor Sour: 20 ml berry syrup, not 22.5 ml\n{specs / SOURS}, line 6\n-    - ")
    assert "write it? [y/N]" in screen
    assert screen.rstrip().endswith(f"written: {specs / SOURS}")
    now = before.replace("22.5 ml berry syrup\n", f"20 ml berry syrup\n{DATED}")
    assert re.sub(r"2\d{3}-\d\d-\d\d", "2026-11-25", read(specs)) == now


@pytest.mark.parametrize(
    "answer", ["n\n", *(pytest.param(said, marks=pytest.mark.slow) for said in ("\n", "\x04", "yesterday\n"))]
)
def test_anything_but_yes_writes_nothing(tmp_path: Path, answer: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    code, screen = typed(specs, answer, "anchor", "berry", "20ml")
    assert code == 1
    assert screen.rstrip().endswith("nothing was written")
    assert read(specs) == before


def test_the_answer_and_the_change_come_first(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor sour", "berry", "20ml", "--yes", specs=specs)
    path = specs / SOURS
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines()[:4] == [
        "written: Anchor Sour: 20 ml berry syrup, not 22.5 ml",
        f"{path}, line 6",
        "-    - 22.5 ml berry syrup",
        "+    - 20 ml berry syrup",
    ]
    assert done.out.splitlines()[4:6] == ["+  version: 2", "+  date: 2026-11-25"]
    assert done.out.splitlines()[6].startswith("sugar of the drink −11 %, acid −")  # lime has little sugar: 20/22.5
    assert "balancer cards --changed" in " ".join(done.out.split())
    assert max(map(width, done.out.replace(str(path), "").splitlines())) <= 80


def test_no_terminal_and_no_yes_writes_nothing(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", "berry", "20ml", specs=specs)
    assert done.code == 1
    assert done.first == "not written: Anchor Sour: 20 ml berry syrup, not 22.5 ml"
    assert "--yes writes it" in done.out
    assert read(specs) == before


@pytest.mark.parametrize("yes", [True, False])
def test_json(tmp_path: Path, yes: bool) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("set", "anchor", "berry", "20ml", "--json", *(["--yes"] if yes else []), specs=specs)
    assert done.code == (0 if yes else 1)
    assert done.data["written"] is yes
    assert done.data["diff"].endswith(
        "\n-    - 22.5 ml berry syrup\n+    - 20 ml berry syrup\n+  version: 2\n+  date: 2026-11-25"
    )
    assert (done.data["line"], done.data["path"]) == (6, str(specs / SOURS))
    assert (done.data["from"], done.data["to"]) == ({"amount": 22.5, "unit": "ml"}, {"amount": 20.0, "unit": "ml"})
    assert (read(specs) != before) is yes


@pytest.mark.parametrize("amount", ["22.5ml", "22,5 ml", "22½ ml"])
def test_nothing_to_change(tmp_path: Path, amount: str) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor", "berry", amount, "--yes", specs=specs)
    assert (done.code, done.first) == (0, "nothing to change: Anchor Sour pours 22.5 ml berry syrup already")
    assert run("set", "anchor", "berry", amount, "--json", specs=specs).data["written"] is False
    assert not (specs / ".batches.lock").exists()


def test_several_words_of_an_amount_need_no_quotes(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    assert run("set", "anchor", "berry", "1", "1/2", "oz", "--yes", specs=specs).code == 0
    assert "- 1 1/2 oz berry syrup\n" in read(specs)


def test_a_fixed_pour_is_changed_with_a_warning(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "foam", "plain", "17,5ml", "--yes", specs=specs)
    assert done.code == 0
    assert "this pour is fixed" in done.out
    assert "weigh one again" in done.out
    assert "{pour: 17.5 ml, of: plain syrup, fixed: true}" in read(specs)


def test_a_standard(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before, drinks = read(specs, SYRUPS), read(specs)
    done = run("set", "berry", "standard", "52", "--yes", specs=specs)
    assert (done.code, done.first) == (0, "written: berry syrup: standard 52 °Bx, not 50")
    said = " ".join(done.out.split())
    assert "3 drinks are written for it, and their pours are NOT changed: Anchor Sour, Breakwater Fizz, Bollard" in said
    changed = [
        (old, new) for old, new in zip(before.splitlines(), read(specs, SYRUPS).splitlines(), strict=True) if old != new
    ]
    assert changed == [("  standard: 50 °Bx", "  standard: 52 °Bx")]
    assert read(specs) == drinks
    assert run("set", "berry", "standard", "52°Bx", specs=specs).first.startswith("nothing to change: ")


def test_a_standard_reading_is_left_alone(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, SYRUPS, "standard: 66.7 °Bx", "standard reading: 66.7 °Bx")
    before = read(specs, SYRUPS)
    done = run("set", "rich", "standard", "65", "--yes", specs=specs)
    assert done.code == 1
    assert 'no standard but what a refractometer reads: "standard reading: 66.7 °Bx"' in done.err
    assert "standard: 65 °Bx" in done.err
    assert read(specs, SYRUPS) == before


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (
            ("anchor", "dry gin", "20ml"),
            1,
            "Anchor Sour does not pour dry gin\n  it pours 60 ml gold rum, 22.5 ml lime",
        ),
        (("anchor", "nonsuch", "20ml"), 2, 'Anchor Sour pours nothing called "nonsuch"'),
        (("anchor", "sour", "berry", "20ml"), 2, "in quotes"),
        (("anchor", "berry", "syrup", "20ml"), 2, "in quotes"),
        (("nonsuch", "berry", "20ml"), 2, 'no drink is called "nonsuch"'),
        (("nonsuch", "standard", "52"), 2, 'no syrup is called "nonsuch"'),
        (("anchor", "standard", "20ml"), 2, 'Anchor Sour pours nothing called "standard"'),
        (("anchor", "berry", "20"), 2, "AMOUNT"),
        (("anchor", "berry", "0ml"), 2, "above zero"),
        (("anchor", "berry", "1,000 ml"), 2, "may be 1000 or 1.000"),
        (("anchor", "berry", "20 °Bx"), 2, "not something to pour"),
        (("anchor", "berry", "2 cubes"), 1, 'unknown unit "cubes" for berry syrup'),
        (("berry", "standard", "520"), 2, "STRENGTH"),
        (("berry", "standard", "52 ml"), 2, "STRENGTH"),
        (("anchor", "berry"), 2, "AMOUNT"),
    ],
)
def test_what_is_not_understood(tmp_path: Path, words: tuple[str, ...], code: int, said: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs), read(specs, SYRUPS)
    done = run("set", *words, "--yes", specs=specs)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert (read(specs), read(specs, SYRUPS)) == before


def test_a_drink_that_does_not_load(tmp_path: Path) -> None:
    specs = edited_house(
        tmp_path,
        SOURS,
        "    - 60 ml gold rum\n    - 22.5 ml lime juice\n    - 22.5 ml berry",
        "    - 60 ml nonsuch\n    - 22.5 ml berry",
    )
    assert "nonsuch" in run("set", "anchor", "berry", "20ml", "--yes", specs=specs).err
    done = run("set", "breakwater", "berry", "22.5ml", "--yes", specs=specs)
    assert done.code == 0, "what is wrong elsewhere stops nobody"
    assert "nonsuch" in done.err
    assert "- 22.5 ml berry syrup\n    - 60 ml soda water" in read(specs)


def test_a_folder_nobody_may_write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    monkeypatch.setattr(os, "access", lambda _path, mode, **_: mode != os.W_OK)
    done: Run = run("set", "anchor", "berry", "20ml", "--yes", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "cannot be written: Permission denied" in done.err
    assert read(specs) == before
