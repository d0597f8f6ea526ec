"""The page of the pantry is the one that its files make."""

from __future__ import annotations

from tests.docs import pantry_page


def test_the_page_is_as_generated() -> None:
    assert pantry_page.PAGE.read_text(encoding="utf-8") == pantry_page.page()


def test_what_is_unknown_is_said_and_never_zero() -> None:
    rows = [line for line in pantry_page.page().splitlines() if line.startswith("| aged rum")]
    assert rows == ["| aged rum (gold rum) | spirit | unknown | none | none inherent |"]
    assert "| sweet vermouth (red vermouth) | wine | ≥ 130 g/l | 5 g/l | sulphites |" in pantry_page.page()
