"""A spreadsheet saved as text: its encoding, what parts its cells, and its rows with the numbers a person sees.

Rows are counted as a spreadsheet counts them: a cell with several lines is one row, an empty row is a row.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.reading import read_bytes, unreadable
from balancer.files.sheets.table import plain_cell
from balancer.files.sizes import SHEET

MAX_ROWS: Final = 50_000
MAX_LINES: Final = 400_000
"""Cells may have several lines each; more than this is no sheet of specs."""

MAX_CELLS: Final = 500
MAX_LETTERS: Final = 1_000_000
"""Of one line: 500 cells of 2,000 letters. A longer one takes much memory to take apart, and is no row of specs."""

MOST_LOOSE_QUOTES: Final = 100
DELIMITERS: Final = (",", ";", "\t", "|")

NOTHING: Final = "-"
"""What people write into a cell that says nothing. One that says a hyphen has an apostrophe before it."""

_LINE: Final = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_LINE_END: Final = re.compile(r"\r\n|\r|\n")
_MARKS: Final = {b"\xef\xbb\xbf": "utf-8", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}
_RUN: Final = re.compile(rb"[A-Za-z\x80-\xff]+")
_PLAIN: Final = re.compile(rb"[A-Za-z]")
_FRACTION: Final = re.compile(rb".*[\xbc-\xbe]", re.DOTALL)
_LETTERS_TRIED: Final = 100_000
"""So many letters of words with accents tell a code page."""
_TRIED_ROWS: Final = 60


class Row(NamedTuple):
    """One row. flaw says what is wrong with the row as a whole, as code, message and remedy; then no cell counts."""

    number: int
    cells: tuple[str, ...]
    flaw: tuple[str, str, str] | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands in it."""
        return not any(cell.strip() for cell in self.cells)


@dataclass(frozen=True)
class Sheet:
    """A spreadsheet as read; sure is False where its encoding was guessed."""

    path: str
    encoding: str
    delimiter: str
    rows: tuple[Row, ...] = field(repr=False)
    sure: bool = True


def letter(column: int) -> str:
    """The letters of a column, counted from 0.

    >>> letter(0), letter(25), letter(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def read_sheet(
    path: Path, *, encoding: str | None, delimiter: str | None, score: Callable[[tuple[Row, ...]], int]
) -> Sheet:
    """The rows of a file. Of the delimiters that may be meant, the one whose rows score most is taken.

    Raises CannotError when the file cannot be read, is too large, or is not text.
    """
    try:
        raw = read_bytes(path, SHEET)
    except FileNotFoundError as error:
        raise CannotError("unreadable", f'"{path}" cannot be read: {error.strerror}', "check its name") from None
    except OSError as error:
        fault = unreadable(path, error, f'"{path}"')
        raise CannotError(fault.code, fault.message, fault.remedy) from None
    if raw.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise CannotError(
            "not-csv", f'"{path}" is a workbook, not a CSV file', "in the spreadsheet: Save as, CSV (UTF-8)"
        )
    text, used, sure = _decoded(path, raw, encoding)
    del raw
    text = _without_empty_end(text)
    if text.count("\n") + text.count("\r") > MAX_LINES:
        raise CannotError("too-large", f'"{path}" has more than {MAX_LINES} lines', SHEET.remedy)
    lines = _LINE.findall(text)
    del text
    endless = next((number for number, line in enumerate(lines, start=1) if len(line) > MAX_LETTERS), None)
    if endless is not None:
        told_of = f'"{path}" has more than {MAX_LETTERS:,} letters in line {endless}'
        raise CannotError("too-large", told_of, "are line ends missing? save it again as CSV, or delete that line")
    told = re.fullmatch(r"sep=(.)[\r\n]*", lines[0]) if lines else None
    if told:  # a line for the spreadsheet program, which does not show it as a row
        del lines[0]
        delimiter = delimiter or told[1]
    chosen = delimiter or max(DELIMITERS, key=lambda one: _promise(lines, one, score))
    rows = tuple(islice(_rows(lines, chosen), MAX_ROWS + 1))
    if len(rows) > MAX_ROWS:
        raise CannotError("too-large", f'"{path}" has more than {MAX_ROWS} rows', SHEET.remedy)
    return Sheet(str(path), used, chosen, rows, sure)


def _decoded(path: Path, raw: bytes, encoding: str | None) -> tuple[str, str, bool]:
    """The text, its encoding, and whether that is sure."""
    marked = next((name for mark, name in _MARKS.items() if raw.startswith(mark)), None)
    halves = raw[:2000]
    used = marked or encoding
    if used is None and len(halves) > 3 and 3 * halves.count(0) > len(halves):
        used = "utf-16"
    if used == "utf-16" and raw[:2] not in (b"\xff\xfe", b"\xfe\xff"):
        codec = "utf-16-be" if halves[::2].count(0) > halves[1::2].count(0) else "utf-16-le"
    else:
        codec = {"utf-8": "utf-8-sig"}.get(used or "utf-8-sig", used or "utf-8-sig")
    try:
        return raw.decode(codec), used or "utf-8", True
    except UnicodeDecodeError as error:
        if used is not None:
            row = raw.count(b"\n", 0, error.start) + 1
            raise CannotError(
                "encoding", f'"{path}" is not {used} text: line {row} holds bytes that mean nothing there',
                "delete the encoding in the map, or save the file again as CSV (UTF-8)",
            ) from None  # fmt: skip
    used = _code_page(raw)
    return raw.decode(used, errors="replace"), used, False


def _without_empty_end(text: str) -> str:
    """A text without the empty rows at its end, which a spreadsheet may save by the thousand."""
    end = len(text.rstrip(" \t\r\n,;|"))
    line_end = _LINE_END.search(text, end)
    return text[: line_end.end()] if line_end else text


def _code_page(raw: bytes) -> str:
    """Western or Central European: whichever makes letters of more bytes that stand inside words.

    A byte right behind a digit does not count: there stand ½ and °, which the other page takes for letters.
    """
    words = list(_words(raw))
    return max(("windows-1252", "windows-1250"), key=lambda page: sum(_fits(word, page) for word in words))


def _words(raw: bytes) -> Iterator[bytes]:
    """The first words with accents. None starts with ¼ ½ ¾, nor right behind a digit."""
    left = _LETTERS_TRIED
    for run in _RUN.finditer(raw):
        word = run[0][raw[max(run.start() - 1, 0) : run.start()].isdigit() :]
        plain = None if word.isascii() else _PLAIN.search(word)
        if plain is not None:
            fraction = _FRACTION.match(word, 0, plain.start())
            yield word[fraction.end() if fraction else 0 :][:left]
            left -= len(word)
        if left <= 0:
            return


def _fits(word: bytes, page: str) -> int:
    """How many of the bytes that are not ASCII fit into a word: a letter, and no capital behind a small one."""
    text = word.decode(page, errors="replace")
    pairs = zip(f" {text}", text, strict=False)
    return sum(char > "\x7f" and char.isalpha() and not (before.islower() and char.isupper()) for before, char in pairs)


def _promise(lines: list[str], delimiter: str, score: Callable[[tuple[Row, ...]], int]) -> tuple[int, int]:
    """How much speaks for a delimiter: what its first rows score, then how many rows it parts."""
    head = tuple(_rows(lines[: 4 * _TRIED_ROWS], delimiter))[:_TRIED_ROWS]
    return score(head), sum(len(row.cells) > 1 for row in head)


def _rows(lines: list[str], delimiter: str) -> Iterator[Row]:
    """The rows of the lines. A quote that is never closed harms only the line it stands in."""
    start, number, loose = 0, 0, 0
    while start < len(lines):
        reader = csv.reader(iter(lines[start:]) if start else iter(lines), delimiter=delimiter, strict=True)
        before = 0
        try:
            for cells in reader:
                number += 1
                yield _row(number, cells, delimiter)
                before = reader.line_num
            return
        except csv.Error as error:
            number += 1
            loose += 1
            why = "a cell starts with it"
            if "larger than" in str(error):
                why = f"a cell has more than {csv.field_size_limit()} letters"
            if loose == MOST_LOOSE_QUOTES:
                why += "; that is the last of so many, and no row below is read"
            yield _broken(number, lines[start + before], delimiter, why)
            start += before + 1
            if loose == MOST_LOOSE_QUOTES:
                return


def _row(number: int, cells: list[str], delimiter: str) -> Row:
    if len(cells) > MAX_CELLS:
        flaw = ("too-large", f"{len(cells)} cells are more than {MAX_CELLS}", "delete the columns nobody needs")
        return Row(number, tuple(cells[:1]), flaw)
    for cell in cells:
        # In a sentence a blank follows the comma, in swallowed rows seldom.
        if (
            "\n" in cell
            and sum(
                line.count(delimiter) - line.count(f"{delimiter} ") >= max(len(cells) - 1, 2)
                for line in cell.splitlines()
            )
            > 1
        ):
            return Row(number, tuple(cells), _loose("rows below went into one cell"))
    return Row(number, tuple("" if cell.strip() == NOTHING else plain_cell(cell) for cell in cells))


def _broken(number: int, line: str, delimiter: str, why: str) -> Row:
    cells = line.rstrip("\r\n").split(delimiter, MAX_CELLS)[:MAX_CELLS]
    return Row(number, tuple(cell.strip(' "') for cell in cells), _loose(why))


def _loose(why: str) -> tuple[str, str, str]:
    return (
        "quotes", f"a quote (\") is opened and not closed: {why}",
        'delete the quote, or write it twice ("") inside a cell in quotes',
    )  # fmt: skip
