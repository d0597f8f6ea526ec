"""Where cards stand on a sheet. Sizes of sheets: ISO 216 (A4 210 × 297 mm, A6 105 × 148 mm), Letter 8.5 × 11 in."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.output.paper.imposition import INCH_MM, PAPERS, Imposition, PaperSheet, Size, alone, impose

A6 = PaperSheet(105.0, 148.0)
INDEX_4X6 = PaperSheet(4 * INCH_MM, 6 * INCH_MM)
INDEX_3X5 = PaperSheet(3 * INCH_MM, 5 * INCH_MM)


def test_the_papers_have_their_standard_sizes() -> None:
    assert {"a4": PaperSheet(210.0, 297.0), "letter": PaperSheet(215.9, 279.4)} == PAPERS


@pytest.mark.parametrize(
    ("card", "paper", "up"),
    [
        (A6, "a4", 4),  # common practice: A6 is a quarter of A4
        (INDEX_4X6, "letter", 2),  # common practice
        (INDEX_3X5, "letter", 4),  # common practice
        (A6, "letter", 2),  # by hand: 2 × 105 = 210 of 215.9; 2 × 148 = 296 of 279.4
        (INDEX_4X6, "a4", 2),  # by hand: 2 × 101.6 = 203.2 of 210; 2 × 152.4 = 304.8 of 297
        (INDEX_3X5, "a4", 4),  # by hand: 2 × 76.2 of 210, 2 × 127 of 297; on its side 3 × 1
        (PaperSheet(70.0, 37.0), "a4", 24),  # common practice: labels of 70 × 37 mm
    ],
)
def test_as_many_as_the_trade_cuts_from_a_sheet(card: PaperSheet, paper: str, up: int) -> None:
    found = impose(card, PAPERS[paper])
    assert found is not None
    assert found.up == up


def test_what_is_larger_than_the_sheet_does_not_fit() -> None:
    assert impose(PaperSheet(220.0, 300.0), PAPERS["a4"]) is None


def test_the_sheet_is_turned_where_that_holds_more() -> None:
    found = impose(PaperSheet(140.0, 200.0), PAPERS["a4"])
    assert found is not None
    assert (found.page, found.up) == (Size(297.0, 210.0), 2)


def test_a_card_alone_is_a_page_without_marks() -> None:
    assert alone(Size(*A6)) == Imposition(Size(105.0, 148.0), Size(105.0, 148.0), ((0.0, 0.0),))


def test_a6_fills_a4_so_the_ticks_stand_between_the_cards() -> None:
    found = impose(A6, PAPERS["a4"])
    assert found is not None
    assert found.inside
    for x1, y1, x2, y2 in found.marks:
        on_a_cut = x1 == x2 == 105.0 or y1 == y2 == 148.5
        assert on_a_cut, "a tick anywhere else would stay on a card"
    assert any(y1 < 148.5 < y2 for x1, y1, x2, y2 in found.marks if x1 == x2), "a tick in the centre"


@given(
    st.floats(20.0, 220.0),
    st.floats(20.0, 300.0),
    st.sampled_from(list(PAPERS.values())),
)
def test_cards_lie_side_by_side_on_the_sheet_and_marks_touch_none(
    width: float, height: float, paper: PaperSheet
) -> None:
    card = PaperSheet(width, height)
    found = impose(card, paper)
    if found is None:
        assert width > paper.width or height > paper.height
        return
    assert found.page.height is not None
    for x, y in found.places:
        assert -1e-6 <= x <= found.page.width - width + 1e-6
        assert -1e-6 <= y <= found.page.height - height + 1e-6
    assert len(set(found.places)) == found.up
    for x1, y1, x2, y2 in found.marks:
        assert 0.0 <= min(x1, x2) <= max(x1, x2) <= found.page.width
        assert 0.0 <= min(y1, y2) <= max(y1, y2) <= found.page.height
        for x, y in found.places:  # a mark may run along a card's edge, never through it
            through_x = max(x1, x2) > x + 1e-6 and min(x1, x2) < x + width - 1e-6
            through_y = max(y1, y2) > y + 1e-6 and min(y1, y2) < y + height - 1e-6
            assert not (through_x and through_y)


@given(st.floats(20.0, 200.0), st.floats(20.0, 280.0), st.sampled_from(list(PAPERS.values())))
def test_no_more_would_have_fitted(width: float, height: float, paper: PaperSheet) -> None:
    found = impose(PaperSheet(width, height), paper)
    upright = int(paper.width / width) * int(paper.height / height)
    turned = int(paper.height / width) * int(paper.width / height)
    assert (found.up if found else 0) >= max(upright, turned)
