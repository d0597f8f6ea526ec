"""What would be written is read back first: a file that says something else than its row is never written."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from balancer.files.sheets import drinks as import_drinks
from balancer.files.sheets import plan as import_plan
from balancer.files.sheets.text import Lines, drink_file, drink_lines, rows_text
from tests.cli.runner import copy_of_house, run
from tests.cli.test_import import LONG, imported, told
from tests.files.sheets.test_planted import tree


def test_a_text_that_says_something_else_is_a_fault_of_its_row(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(*args: Any) -> Lines:
        lines = drink_lines(*args)
        lines.texts = [text.replace("60 ml", "61 ml") for text in lines.texts]
        return lines

    specs = copy_of_house(tmp_path)
    monkeypatch.setattr(import_drinks, "drink_lines", wrong)
    done = imported(specs, f"{LONG}Ebb,gold rum,50 ml,shaken,\n", "--write", "--json")
    assert told(done) == [(2, 1, "import-unsafe")]
    assert [drink["state"] for drink in done.data["drinks"]] == ["faulty", "written"]
    assert not (specs / "drinks" / "slack-water.yaml").exists()


def test_files_that_say_something_else_are_not_written_at_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same once more for the whole of what is written."""
    seen = []

    def wrong(lines: Lines, source: str, rows: Any, *more: Any) -> bytes:
        seen.append(1)
        raw = drink_file(lines, source, rows, *more)
        return raw if len(seen) == 1 else raw.replace(b"60 ml", b"61 ml")

    specs = copy_of_house(tmp_path)
    before = tree(specs)
    monkeypatch.setattr(import_plan, "drink_file", wrong)
    done = imported(specs, LONG, "--write", "--json")
    assert (done.code, told(done), done.data["files"]) == (1, [(None, None, "import-unsafe")], [])
    assert done.data["drinks"][0]["state"] == "faulty"
    assert tree(specs) == before


@pytest.mark.parametrize(
    ("rows", "words"),
    [([12], "row 12"), ([12, 13, 14], "rows 12-14"), ([9, 3, 3], "rows 3, 9"), (range(1, 99, 2), "and more")],
)
def test_rows_in_words(rows: Any, words: str) -> None:
    assert words in rows_text(rows)


@pytest.mark.parametrize(
    ("text", "options", "codes"),
    [
        # a column of pours under a heading that nobody knows
        (
            "Cocktail,Spec,Alpha,Beta,Method\nOne,60 ml gold rum,20 ml lime juice,20 ml lemon juice,shaken\n",
            (), {"import-column"},
        ),
        # 4,5 and 2,5, taken for two cells each
        (
            "Drink,Method,Ingredient,Amount,Notes\nOne,shaken,gold rum,4,5\n,,lime juice,2,5\n",
            ("--unit", "cl"), {"import-ragged"},
        ),
        # an invisible character harms its own drink only
        (
            "Drink,Ingredient,Amount,Method\nnu\x00l,gold rum,60 ml,shaken\nTwo,gold rum,zz,shaken\n",
            (), {"invisible", "number"},
        ),
    ],
)  # fmt: skip
def test_what_would_make_another_drink_is_told(
    tmp_path: Path, text: str, options: tuple[str, ...], codes: set[str]
) -> None:
    specs = copy_of_house(tmp_path)
    before = tree(specs)
    done = imported(specs, text, *options, "--write", "--json")
    assert done.code == 1
    assert {problem["code"] for problem in done.data["problems"]} >= codes
    assert tree(specs) == before


def test_a_dry_run_shows_what_would_be_poured(tmp_path: Path) -> None:
    done = imported(copy_of_house(tmp_path), 'Drink,Spec,Method\nOne,"60 ml gold rum, 22,5 ml lime juice",shake\n')
    assert "row 2  One, shake: 60 ml gold rum · 22,5 ml lime juice" in done.out


def test_fractions_before_letters_do_not_change_the_code_page(tmp_path: Path) -> None:
    text = 'Drink,Spec,Method\nPi,"2 oz gold rum; 1 ¾oz lime juice",shaken\n'.encode("cp1252")
    path = tmp_path / "menu.csv"
    path.write_bytes(text)
    done = run("import", str(path), "--json", specs=copy_of_house(tmp_path))
    assert done.data["encoding"] == "windows-1252"
    assert done.data["drinks"][0]["pours"] == ["2 oz gold rum", "1 ¾ oz lime juice"]
