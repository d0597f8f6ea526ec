"""Bytes to rows: encodings, what parts cells, and the numbers a spreadsheet gives its rows."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.errors import CannotError
from balancer.files.sheets.headings import recognised, score
from balancer.files.sheets.spreadsheet import Sheet, letter, read_sheet
from balancer.files.sizes import SHEET

TEXT = "Drink;Ingredient;Amount\r\nCafé;Poire rosé;22,5 ml\r\n"


def read(folder: Path, raw: bytes, encoding: str | None = None, delimiter: str | None = None) -> Sheet:
    path = folder / "s.csv"
    path.write_bytes(raw)
    return read_sheet(path, encoding=encoding, delimiter=delimiter, score=score)


@pytest.mark.parametrize(
    ("raw", "encoding", "sure"),
    [
        (TEXT.encode(), "utf-8", True),
        (TEXT.encode("utf-8-sig"), "utf-8", True),
        (TEXT.encode("utf-16"), "utf-16", True),
        (TEXT.encode("utf-16-le"), "utf-16", True),
        (TEXT.encode("utf-16-be"), "utf-16", True),
        (TEXT.encode("cp1252"), "windows-1252", False),
    ],
)
def test_encodings(tmp_path: Path, raw: bytes, encoding: str, sure: bool) -> None:
    sheet = read(tmp_path, raw)
    assert (sheet.encoding, sheet.sure, sheet.delimiter) == (encoding, sure, ";")
    assert [row.cells for row in sheet.rows] == [("Drink", "Ingredient", "Amount"), ("Café", "Poire rosé", "22,5 ml")]


@pytest.mark.parametrize(
    ("text", "page"),
    [
        ("Żubr, wiśnia, Łódź", "windows-1250"),
        ("źródło 1/2 oz", "windows-1250"),
        ("Crème de mûre, 1½oz, 1¼oz", "windows-1252"),
        ("jalapeño, Nº 7, 50 °Bx", "windows-1252"),
        ("Æble, smørrebrød, piña", "windows-1252"),
    ],
)
def test_western_or_central_european(tmp_path: Path, text: str, page: str) -> None:
    sheet = read(tmp_path, f"Drink;Note\n{text};x\n".encode(page))
    assert (sheet.encoding, sheet.rows[1].cells[0]) == (page, text)


def test_a_stated_encoding_that_is_wrong_is_told(tmp_path: Path) -> None:
    with pytest.raises(CannotError, match="line 2 holds bytes") as caught:
        read(tmp_path, TEXT.encode("cp1252"), encoding="utf-8")
    assert caught.value.code == "encoding"


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_what_parts_the_cells(tmp_path: Path, delimiter: str) -> None:
    lines = [("Drink", "Item", "Qty"), ("Sour", "gin", '"22,5 ml"'), ("", "lime; juice", '"1,5 oz"')]
    text = "\n".join(
        delimiter.join(cell if delimiter != ";" else cell.replace(";", "") for cell in row) for row in lines
    )
    sheet = read(tmp_path, text.encode())
    assert sheet.delimiter == delimiter
    assert [len(row.cells) for row in sheet.rows] == [3, 3, 3]


def test_the_line_for_the_spreadsheet_is_no_row(tmp_path: Path) -> None:
    sheet = read(tmp_path, b"sep=|\nDrink|Item\nSour|gin\n")
    assert [(row.number, row.cells) for row in sheet.rows] == [(1, ("Drink", "Item")), (2, ("Sour", "gin"))]


def test_rows_are_counted_as_the_spreadsheet_does(tmp_path: Path) -> None:
    sheet = read(tmp_path, b'Drink,Steps\nA,"one\ntwo\r\nthree"\n\nB,x\n')
    assert [row.number for row in sheet.rows if not row.is_empty] == [1, 2, 4]
    assert sheet.rows[1].cells == ("A", "one\ntwo\r\nthree")


def test_a_loose_quote_harms_its_own_line_only(tmp_path: Path) -> None:
    sheet = read(tmp_path, b'Drink,Item,Qty\n"Sour,gin,60 ml\nFizz,"lime, fresh",20 ml\nTide,6" stick,1 oz\n')
    assert [row.flaw[0] if row.flaw else None for row in sheet.rows] == [None, "quotes", None, None]
    assert [row.cells[0] for row in sheet.rows] == ["Drink", "Sour", "Fizz", "Tide"]


def test_rows_swallowed_by_a_cell_are_noticed(tmp_path: Path) -> None:
    raw = b'Drink,Item,Qty,Note\nA,gin,60 ml,"good\nB,gin,60 ml,x\nC,gin,60 ml,"\nD,gin,60 ml,\n'
    sheet = read(tmp_path, raw)
    assert [(row.number, bool(row.flaw)) for row in sheet.rows] == [(1, False), (2, True), (3, False)]


def test_too_many_loose_quotes_end_the_reading_and_say_so(tmp_path: Path) -> None:
    sheet = read(tmp_path, b"Drink,Item\n" + b'"a,b\n' * 300)
    assert len(sheet.rows) == 101
    assert sheet.rows[-1].flaw is not None
    assert "no row below is read" in sheet.rows[-1].flaw[1]


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b"a,b\n" * (SHEET.most // 4 + 1), "too-large"),
        (b"\n" * 60_000 + b"a,b", "too-large"),
        (b"PK\x03\x04...", "not-csv"),
    ],
)
def test_what_is_not_read(tmp_path: Path, raw: bytes, code: str) -> None:
    with pytest.raises(CannotError) as caught:
        read(tmp_path, raw)
    assert caught.value.code == code


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(CannotError, match="cannot be read"):
        read_sheet(tmp_path / "no.csv", encoding=None, delimiter=None, score=score)


def test_apostrophes_of_an_export_are_taken_away(tmp_path: Path) -> None:
    sheet = read(tmp_path, b"Drink,Item,Qty\n'=1+1,'- x,-\n'-,''=1,'tis\n")
    assert [row.cells for row in sheet.rows[1:]] == [("=1+1", "- x", ""), ("-", "'=1", "'tis")]


@given(st.binary(max_size=300))
def test_any_bytes(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    assume(not raw.startswith((b"PK", b"\xd0\xcf")))  # a workbook
    # What says that it is UTF-8 or UTF-16 and is not, is refused.
    assume(not raw.startswith((b"\xff\xfe", b"\xfe\xff", b"\xef\xbb\xbf")) and 0 not in raw)
    sheet = read(tmp_path_factory.getbasetemp(), raw)
    assert [row.number for row in sheet.rows] == list(range(1, len(sheet.rows) + 1))


@pytest.mark.parametrize(("column", "letters"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA"), (701, "ZZ")])
def test_letters(column: int, letters: str) -> None:
    assert letter(column) == letters


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("COCKTAIL", "drink"), ("Qty.", "amount"), ("UoM", "unit"), ("Glassware", "glass"),
        ("Ingredient 1", "ingredient 1"), ("ingredient_02", "ingredient 2"), ("Amt #3", "amount 3"),
        ("Ingredient 2 Amount", "amount 2"), ("Amount (oz)", "amount"), ("Zero-proof", "zero proof"), ("Cost", None),
        ("Glass 2", None), ("", None), (500 * "x", None),
    ],
)  # fmt: skip
def test_words_of_the_trade(heading: str, field: str | None) -> None:
    assert recognised(heading) == field
