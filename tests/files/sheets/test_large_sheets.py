"""Sheets that are no sheets of specs: how much is looked at is counted, since time and memory follow from it."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from balancer.errors import CannotError
from balancer.files.sheets import rows as sheet_rows
from balancer.files.sheets import spreadsheet
from balancer.files.sheets.spreadsheet import MAX_LETTERS, read_sheet
from balancer.models import names
from tests.cli.runner import run

HEAD = "Drink,Ingredient,Amount,Method\n"


def written(folder: Path, text: str | bytes) -> Path:
    path = folder / "menu.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


@pytest.mark.parametrize("line", ["x", "x,", '"a,', "; 5 ml gin", "é "])
def test_an_endless_line_is_told_before_it_is_taken_apart(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, line: str
) -> None:
    """Its cells took 250 MB; here no reader of cells is even begun."""
    monkeypatch.setattr(spreadsheet, "_rows", lambda *_: pytest.fail("it was taken apart"))
    path = written(tmp_path, HEAD + line * (MAX_LETTERS // len(line) + 1))
    with pytest.raises(CannotError, match=r"has more than 1,000,000 letters in line 2") as caught:
        read_sheet(path, encoding=None, delimiter=None, score=lambda _: 0)
    assert caught.value.code == "too-large"


def test_nothing_is_read_below_what_no_bar_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """All 49,000 drinks were read before it was said that they are more than 3,000."""
    for name, most, sheet, told in (
        ("MOST_DRINKS", 30, HEAD + "".join(f"D {n},gin,50 ml,stir\n" for n in range(90)), "more than 30 drinks"),
        ("MOST_POURS", 300, 'Drink,Pours\n"D","' + "; ".join(["5 ml gin"] * 310) + '"\n' * 40, "more than 300 pours"),
        ("MOST_FAULTS", 40, HEAD + "".join(f"D {n},\x01,50 ml,stir\n" for n in range(90)), "more than 40 cells"),
    ):
        read: list[int] = []

        class Counting(sheet_rows.Rows):
            def _read(self, row: spreadsheet.Row) -> None:
                read.append(row.number)  # noqa: B023
                super()._read(row)

        with monkeypatch.context() as patch:
            from balancer.files.sheets import plan  # noqa: PLC0415

            for module in (sheet_rows, plan):
                patch.setattr(module, name, most)
            patch.setattr(plan, "Rows", Counting)
            done = run("import", str(written(tmp_path, sheet)), "--json")
        assert done.code == 1
        assert told in done.data["problems"][0]["message"]
        assert len(read) <= most + 2


def test_an_endless_name_is_known_by_its_beginning(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each of 26 names of 300,000 letters was spelt out as an id four times, for 15 seconds."""
    slugged: list[int] = []

    def counting(name: str) -> str:
        slugged.append(len(name))
        return names.slug(name)

    monkeypatch.setattr(sheet_rows, "slug", counting)
    done = run("import", str(written(tmp_path, HEAD + ("é a" * 30_000 + ",gin,50 ml,stir\n") * 3)), "--json")
    assert done.code == 1
    assert max(slugged) <= 301
    assert {problem["code"] for problem in done.data["problems"]} >= {"import-too-long"}


OLD = re.compile(rb"(?<![0-9])[\x80-\xbb\xbf-\xff]*[A-Za-z][A-Za-z\x80-\xff]*")
"""What a word of an old code page is, in one pattern: each byte may be tried as its start, so that 8 MB take hours."""


def test_words_of_a_code_page_are_those_of_the_pattern() -> None:
    generator = random.Random(20261126)  # noqa: S311 - a seeded one is wanted
    for _ in range(5_000):
        raw = bytes(generator.choices(b"ab\xe9\xbd\x9c5, ", k=generator.randint(0, 14)))
        found, wanted = (
            [word for word in each if not word.isascii()] for each in (spreadsheet._words(raw), OLD.findall(raw))
        )
        assert found == wanted, raw


def test_only_the_first_words_tell_a_code_page() -> None:
    """8 MB of é never came to an end."""
    assert list(spreadsheet._words(b"\xe9" * 8_000_000)) == []
    tried = list(spreadsheet._words(b"caf\xe9 " * 1_000_000))
    assert 10_000 < len(tried) < 30_000
