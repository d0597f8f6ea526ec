"""A table as CSV (RFC 4180, UTF-8) that a spreadsheet opens as text and numbers and never as formulas."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Final

Cell = str | float
_FORMULA: Final = ("=", "+", "-", "@", "\t", "\r")


def csv_bytes(rows: Iterable[Sequence[Cell]]) -> bytes:
    """Rows as a CSV file. Text that a spreadsheet would take for a formula gets an apostrophe in front.

    >>> csv_bytes([["drink", "=1+1"], ["Sour", 22.5]])
    b"drink,'=1+1\\r\\nSour,22.5\\r\\n"
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    for row in rows:
        writer.writerow([cell if isinstance(cell, float) else _harmless(cell) for cell in row])
    return text.getvalue().encode("utf-8")


def _harmless(text: str) -> str:
    return f"'{text}" if text.lstrip(" ").startswith(_FORMULA) else text
