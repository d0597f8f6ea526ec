"""Where labels stand on sheets that are cut already. Sizes of the papers: ISO 216 A4, Letter 8.5 × 11 in."""

from __future__ import annotations

from itertools import combinations

import pytest

from balancer.output.paper.imposition import INCH_MM, PAPERS, LabelGrid, PaperSheet, Size, lay
from balancer.output.paper.label_sizes import SAME, SIZES, larger, size_of

pytestmark = pytest.mark.slow

SHEETS = [word for word in SIZES if size_of(word).is_sheet]

# What the trade calls a sheet by: labels on it, across, down, size of a label in mm (common practice; from memory).
TRADE = {
    "70x37": ("a4", 24, 3, 8, 70.0, 37.0),
    "a4-21": ("a4", 21, 3, 7, 63.5, 38.1),
    "a4-14": ("a4", 14, 2, 7, 99.1, 38.1),
    "a4-8": ("a4", 8, 2, 4, 99.1, 67.7),
    "letter-30": ("letter", 30, 3, 10, 2.625 * INCH_MM, INCH_MM),
    "letter-10": ("letter", 10, 2, 5, 4 * INCH_MM, 2 * INCH_MM),
    "letter-6": ("letter", 6, 2, 3, 4 * INCH_MM, 10 / 3 * INCH_MM),
}


def test_the_sheets_are_those_of_the_trade() -> None:
    assert set(SHEETS) == set(TRADE)
    for word, (paper, up, across, down, width, height) in TRADE.items():
        size = size_of(word)
        assert size.paper == paper
        assert size.layout.up == up == across * down
        assert size.layout.item == pytest.approx((width, height))
        assert size.layout.page == Size(*PAPERS[paper])
        assert len({x for x, _ in size.layout.places}) == across
        assert len({y for _, y in size.layout.places}) == down


@pytest.mark.parametrize("word", SHEETS)
def test_labels_do_not_overlap_and_lie_inside_the_paper(word: str) -> None:
    layout = size_of(word).layout
    width, height = layout.item
    page_width, page_height = layout.page
    assert height is not None
    assert page_height is not None
    for x, y in layout.places:
        assert -1e-6 <= x <= page_width - width + 1e-6
        assert -1e-6 <= y <= page_height - height + 1e-6
    for (x1, y1), (x2, y2) in combinations(layout.places, 2):
        assert abs(x1 - x2) >= width - 1e-6 or abs(y1 - y2) >= height - 1e-6


@pytest.mark.parametrize("word", SHEETS)
def test_margins_are_the_same_on_both_sides(word: str) -> None:
    """To a hundredth of a millimetre: figures of packets are rounded."""
    layout = size_of(word).layout
    width, height = layout.item
    xs, ys = [x for x, _ in layout.places], [y for _, y in layout.places]
    assert min(xs) == pytest.approx(layout.page.width - max(xs) - width, abs=0.011)
    assert min(ys) == pytest.approx((layout.page.height or 0) - max(ys) - (height or 0), abs=0.011)


@pytest.mark.parametrize("word", SHEETS)
def test_labels_are_counted_in_rows_from_the_top_left(word: str) -> None:
    places = size_of(word).layout.places
    assert list(places) == sorted(places, key=lambda place: (place[1], place[0]))


@pytest.mark.parametrize("width", [58.0, 62.0, 80.0, 102.0])
def test_a_roll_is_as_wide_as_it_is_called_and_as_long_as_its_text(width: float) -> None:
    size = size_of(f"{width:g}")
    assert size.layout.item == Size(width, None)
    assert not size.is_sheet


def test_narrow_rolls_keep_to_what_their_printers_reach() -> None:
    """48 of 58 mm, 72 of 80 mm (common practice)."""
    assert 58 - 2 * size_of("58").margin_mm == 48
    assert 80 - 2 * size_of("80").margin_mm == 72


def test_other_names_mean_a_size_there_is() -> None:
    assert set(SAME.values()) <= set(SIZES)
    assert not set(SAME) & set(SIZES)


@pytest.mark.parametrize(
    "grid",
    [
        LabelGrid(PaperSheet(70.0, 37.0), 3, 8, 0.0, 0.5, 69.0, 37.0),  # they overlap across
        LabelGrid(PaperSheet(70.0, 37.0), 3, 8, 0.0, 0.5, 70.0, 36.0),  # they overlap down
        LabelGrid(PaperSheet(70.0, 37.0), 3, 8, 1.0, 0.5, 70.0, 37.0),  # beyond the right edge
        LabelGrid(PaperSheet(70.0, 37.0), 3, 8, 0.0, 2.0, 70.0, 37.0),  # beyond the lower edge
        LabelGrid(PaperSheet(70.0, 37.0), 2, 7, -1.0, 1.0, 70.0, 37.0),
    ],
)
def test_what_is_no_grid_is_refused(grid: LabelGrid) -> None:
    with pytest.raises(ValueError, match="is no grid"):
        lay(grid, PAPERS["a4"])


@pytest.mark.parametrize(
    ("word", "others"),
    [
        ("2x1", ["letter-30", "a4-21", "70x37", "a4-14", "letter-10", "a4-8", "letter-6"]),
        ("a4-21", ["70x37", "a4-14", "a4-8"]),
        ("letter-30", ["letter-10", "letter-6"]),
        ("letter-6", []),
        ("62", []),
    ],
)
def test_larger_labels_come_smallest_first_and_on_the_same_paper(word: str, others: list[str]) -> None:
    assert [size.word for size in larger(size_of(word))] == others
