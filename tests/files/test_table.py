"""Tables for spreadsheets: read back by the standard reader, and harmless to open."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.files.table import csv_bytes


def read(raw: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(raw.decode("utf-8"), newline="")))


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1"])
def test_text_that_would_be_a_formula_gets_an_apostrophe(text: str) -> None:
    assert read(csv_bytes([["a", text]])) == [["a", f"'{text}"]]


def test_numbers_stay_numbers() -> None:
    assert csv_bytes([[22.5, -3.0]]) == b"22.5,-3.0\r\n"


@given(
    st.lists(
        st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1), min_size=1)
    )
)
def test_what_goes_in_comes_out(rows: list[list[str]]) -> None:
    """But for the apostrophes."""
    back = read(csv_bytes(rows))

    assert [[cell.removeprefix("'") for cell in row] for row in back] == [
        [cell.removeprefix("'") for cell in row] for row in rows
    ]
    assert not any(cell.lstrip(" ")[:1] in tuple("=+-@\t\r") for row in back for cell in row if cell.strip(" "))
