"""Labels as they lie on the paper: what stands where, read back from the printed file."""

from __future__ import annotations

import itertools
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any, Final

import pytest

from balancer.output.paper.fitting import Fitted, typeset_fitting
from balancer.output.paper.label_print import LOST, LabelFact, LabelPrint, LabelText, PrintedPour, labels_page
from balancer.output.paper.label_sizes import SIZES, size_of
from balancer.output.paper.language import words_of
from balancer.output.paper.typeset import TEMPLATES
from tests import pdf
from tests.engine.builders import bar

pytestmark = pytest.mark.slow

AT: Final = datetime(2026, 11, 25, tzinfo=UTC)
DAY: Final = date(2026, 11, 25)
LONG_ID: Final = "Raspberry-2026-11-23-Runa"
LONG_NAME: Final = "himbeerjohannisbeersirup"
BASELINE, DESCENDER, CAPITAL = 0.24, 0.2, 0.73
"""Of the size of its letters: how far above the foot of the box of a line of Inter its baseline is, how far below that
descenders reach, and how high capitals are (Inter 4, hhea and OS/2 tables, rounded)."""


def label(code: str = "RAS-12", title: str = "raspberry syrup", **keys: Any) -> LabelText:
    return LabelText(
        key=f"{code} {title}", code=code, title=title, big=LabelFact("reads", "54 °Bx"), use_by="Sun 29 Nov",
        **{
            "facts": [LabelFact("spec", "50 °Bx"), LabelFact("made", "Mon 23 Nov")], "storage": "at 4 °C",
            "care": "hold cold, discard at the first mould or fizz", "by": "Runa", **keys,
        },
    )  # fmt: skip


def pours(count: int) -> list[PrintedPour]:
    return [PrintedPour(f"{at}.25", f"{at}.5", "ml") for at in range(12, 12 + count)]


def fitted(size: str, *labels: LabelText) -> Fitted:
    run = LabelPrint(size_of(size), 1, 0, tuple(one.key for one in labels))
    page = labels_page(run, labels, "Labels", bar().specs.house, words_of("en"))
    return typeset_fitting(TEMPLATES / "label.typ", page, "pdf", AT, LOST)


def printed(folder: Path, size: str, *labels: LabelText) -> Path:
    done = fitted(size, *labels)
    assert done.unfit == {}
    path = folder / "labels.pdf"
    path.write_bytes(done.pages[0])
    return path


def word(path: Path, text: str) -> pdf.Word:
    return next(one for one in pdf.words(path) if one.text == text)


def rows(path: Path) -> list[list[pdf.Word]]:
    """Words by the line they stand on, from top to bottom."""
    found: list[list[pdf.Word]] = []
    for one in sorted(pdf.words(path), key=lambda one: (one.page, one.bottom)):
        if found and abs(found[-1][-1].bottom - one.bottom) < 0.6 and found[-1][-1].page == one.page:
            found[-1].append(one)
        else:
            found.append([one])
    return [sorted(row, key=lambda one: one.left) for row in found]


@pytest.mark.parametrize("size", SIZES)
def test_a_long_id_and_a_long_name_stop_no_other_label(size: str) -> None:
    """A division by zero threw all of them away."""
    long = label(LONG_ID, LONG_NAME)
    done = fitted(size, long, label())
    assert done.pages
    assert set(done.unfit) <= {long.key}


def test_a_name_that_no_label_holds_is_told_and_the_others_are_printed(tmp_path: Path) -> None:
    long = label("W" * 60, "M" * 200)
    done = fitted("2x1", long, label())
    assert set(done.unfit) == {long.key}
    path = tmp_path / "labels.pdf"
    path.write_bytes(done.pages[0])
    assert "raspberry syrup" in pdf.text(path)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("title", [LONG_NAME, "rote johannisbeere"])
def test_a_long_word_of_a_name_is_not_chopped(tmp_path: Path, size: str, title: str) -> None:
    """It was set in lines of five letters: himbe erjoha nnisbe."""
    path = printed(tmp_path, size, label("RAS-12", title))
    assert title in pdf.text(path)


def test_a_word_longer_than_any_line_breaks_where_the_line_ends(tmp_path: Path) -> None:
    """A line of 62 mm has 54 mm of room; all lines but the last are nearly as wide."""
    title = "himbeerjohannisbeer" * 4
    path = printed(tmp_path, "62", label("RAS-12", title))
    lines = [row[0] for row in rows(path) if row[0].text in title]
    assert "".join(one.text for one in lines) == title
    assert all(one.right - one.left > 48.0 for one in lines[:-1])


@pytest.mark.parametrize("size", ["58", "62", "80", "102"])
@pytest.mark.parametrize("code", ["RAS-12", "Rasp-2026-11-23", LONG_ID, "Raspberry-2026-11-23-Runa-der-zweite"])
def test_on_a_roll_the_house_has_one_line_and_the_id_is_off_it(tmp_path: Path, size: str, code: str) -> None:
    path = printed(tmp_path, size, label(code))
    house = [one for one in pdf.words(path) if one.text in bar().specs.house.name.upper().split()]
    assert len({round(one.bottom, 1) for one in house}) == 1
    assert pdf.overlaps(pdf.words(path)) == []
    assert code in pdf.text(path).replace(" ", "")


def test_an_id_breaks_after_its_hyphens(tmp_path: Path) -> None:
    code = "Raspberry-2026-11-23-Runa-der-zweite-von-dreien"
    path = printed(tmp_path, "58", label(code))
    parts = [one.text for row in rows(path) for one in row if one.text in code and len(one.text) > 4]
    assert len(parts) > 1
    assert "".join(parts) == code
    assert all(part.endswith("-") for part in parts[:-1])


@pytest.mark.parametrize("size", ["2x1", "letter-30", "70x37", "a4-14", "letter-6"])
@pytest.mark.parametrize("count", [1, 3, 5, 9])
def test_no_line_begins_or_ends_with_a_dot(tmp_path: Path, size: str, count: int) -> None:
    for care in ("", "hold cold", "hold cold, discard at the first mould or fizz"):
        path = printed(tmp_path, size, label(pours=pours(count), caption="pour", care=care))
        assert [row for row in rows(path) if "·" in (row[0].text, row[-1].text)] == []


def test_a_roll_keeps_the_graduated_line_for_every_pour(tmp_path: Path) -> None:
    path = printed(tmp_path, "62", label(pours=pours(25), caption="pour, this bottle only"))
    assert "→" not in pdf.text(path)
    assert len({round(word(path, pour.poured).right, 1) for pour in pours(25)}) == 1


@pytest.mark.parametrize("size", ["2x1", "letter-30"])
def test_no_descender_touches_the_line_below(tmp_path: Path, size: str) -> None:
    """Lines of an inch: from the lowest descender to the capitals of the next line there is a fifth of a mm."""
    honey = label("HON-1", "honey syrup", care="", cautions=["not for infants under 12 months"])
    lines = rows(printed(tmp_path, size, honey))
    em = {one: one.size_pt / pdf.POINTS_PER_MM for row in lines for one in row}
    for above, below in itertools.pairwise(lines):
        foot = max(one.bottom - (BASELINE - DESCENDER) * em[one] for one in above)
        head = min(one.bottom - (BASELINE + CAPITAL) * em[one] for one in below)
        assert head - foot > 0.2, (above, below)
