"""A table as CSV (RFC 4180, UTF-8) that a spreadsheet opens as text and numbers and never as formulas."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from typing import Final

CsvCell = str | float

# Some spreadsheets pass over blanks and invisible characters in front of a sign, and read wide and small signs as the
# plain ones. Where the decimal sign is a comma they split a file at semicolons, and heed no quotes that then stand
# inside a cell: there a formula may start behind any semicolon or line end of a text as well.
_START: Final = r"(?:^|(?<=[;\r\n]))"
_BLANKS: Final = r"'*(?:(?![\r\n])[\s\x00-\x1f\u200b-\u200f\u2060\ufeff])*"
_RISKY: Final = rf"(?={_BLANKS}[=+\-@＝＋－＠﹦﹢﹣﹫])"
_RISKY_FIRST: Final = rf"(?={_BLANKS}[\t\r\n])"
_UNSAFE: Final = re.compile(rf"{_START}{_RISKY}|^{_RISKY_FIRST}")
_MADE_SAFE: Final = re.compile(rf"{_START}'{_RISKY}|^'{_RISKY_FIRST}")


def csv_bytes(rows: Iterable[Sequence[CsvCell]]) -> bytes:
    r"""Rows as a CSV file; every text goes through `safe_cell`.

    It starts with a byte order mark: without one, a spreadsheet on Windows takes UTF-8 for the machine's old code page
    and shows é and ° as two characters each. Read it with the encoding utf-8-sig.

    >>> csv_bytes([["drink", "=1+1"], ["Sour", 22.5]])
    b"\xef\xbb\xbfdrink,'=1+1\r\nSour,22.5\r\n"
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in rows:
        writer.writerow([safe_cell(cell) if isinstance(cell, str) else cell for cell in row])
    return text.getvalue().encode("utf-8-sig")


def safe_cell(text: str) -> str:
    """A text with an apostrophe wherever a spreadsheet might start a formula; `plain_cell` takes it away again.

    A text that has such an apostrophe already gets one more, so that nothing is lost.

    >>> safe_cell("=1+1"), safe_cell("'=1+1"), safe_cell("shaken")
    ("'=1+1", "''=1+1", 'shaken')
    """
    return _UNSAFE.sub("'", text)


def plain_cell(text: str) -> str:
    """The text that `safe_cell` was given; any other text as it is.

    >>> plain_cell("'=1+1"), plain_cell("=1+1"), plain_cell("'tis")
    ('=1+1', '=1+1', "'tis")
    """
    return _MADE_SAFE.sub("", text)
