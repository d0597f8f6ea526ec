"""Tables for spreadsheets: read back by the standard reader, and harmless to open."""

from __future__ import annotations

import csv
import io
import re
import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from balancer.files.sheets.table import csv_bytes, plain_cell, safe_cell

TRICKY = st.text(st.sampled_from("'=+-@＝－﹦\t\r\n;, \u00a0\u200b\ufeff\x0bx1\""), max_size=12)
ANY = st.text(st.characters(exclude_categories=["Cs"]))


def read(raw: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))


def starts_formula(text: str) -> bool:
    """Whether a forgiving spreadsheet would take a text for a formula, worked out apart from the code under test.

    Wide forms are folded, and everything that does not print is passed over.
    """
    seen = unicodedata.normalize("NFKC", text)
    first = next((char for char in seen if char.isprintable() and not char.isspace()), "")
    return first != "" and first in "=+-@"


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\t1", " =1", "\u00a0=1", "\u200b=1", "\ufeff=1", "＝1+1", "－1", "\r1"],
)
def test_text_that_would_be_a_formula_gets_an_apostrophe(text: str) -> None:
    assert read(csv_bytes([["a", text]])) == [["a", f"'{text}"]]


@pytest.mark.parametrize(
    ("text", "written"),
    [("shake; =1+1", "shake;' =1+1"), ("shake\n=1+1", "shake\n'=1+1"), ("a;b;@c", "a;b;'@c"), ("a\r\n-1", "a\r\n'-1")],
)
def test_text_that_would_be_one_behind_a_semicolon_or_line_end(text: str, written: str) -> None:
    """A spreadsheet that splits at semicolons takes `drink,"shake; =1+1"` for the cells `drink,"shake` and ` =1+1"`."""
    assert read(csv_bytes([["drink", text]])) == [["drink", written]]


@pytest.mark.parametrize("text", ["'tis", "half-and-half", "Slip & Co", "a=b", "", "''", "0.5"])
def test_other_text_stays(text: str) -> None:
    assert safe_cell(text) == text


def test_numbers_stay_numbers() -> None:
    assert read(csv_bytes([[22.5, -3.0, 7]])) == [["22.5", "-3.0", "7"]]


def test_a_spreadsheet_knows_the_encoding() -> None:
    """By the byte order mark (Unicode Standard, 23.8), which stands once and first."""
    raw = csv_bytes([["Crème", "50 °Bx"]])
    assert raw.startswith("\N{BYTE ORDER MARK}Crème,".encode())
    assert raw.count("\N{BYTE ORDER MARK}".encode()) == 1


@given(ANY | TRICKY)
@example("'=")
@example("''\t")
@example("'\r\n'=1")
def test_the_apostrophe_is_taken_back_exactly(text: str) -> None:
    assert plain_cell(safe_cell(text)) == text


@given(ANY | TRICKY)
def test_a_text_gains_nothing_but_apostrophes(text: str) -> None:
    assert safe_cell(text).replace("'", "") == text.replace("'", "")


@given(ANY | TRICKY)
def test_no_part_of_a_cell_starts_a_formula(text: str) -> None:
    assert not any(starts_formula(part) for part in re.split("[;\r\n]", safe_cell(text)))


@given(st.lists(st.lists(ANY | TRICKY, min_size=1), min_size=1))
def test_what_goes_in_comes_out(rows: list[list[str]]) -> None:
    assert [[plain_cell(cell) for cell in row] for row in read(csv_bytes(rows))] == rows
