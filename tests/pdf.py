"""What stands in a printed file, as PDFium reads it: a second opinion that knows nothing of ours.

To look at its pages: `python -m tests.pdf F.pdf` writes F-1.png, F-2.png and so on beside it.
"""

from __future__ import annotations

import ctypes
import math
import struct
import sys
import zlib
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Final, NamedTuple

import pypdfium2 as pdfium
from pypdfium2 import raw

POINTS_PER_MM: Final = 72.0 / 25.4
_UNSEEN: Final = frozenset(("", "\ufffe", "\u200b"))
"""What takes no room: nothing, a line end that PDFium takes for a hyphenation, a place where a line may end."""


_ARROW: Final = "→"


class _Letter(NamedTuple):
    """A letter, its size in pt, and its box with its whole ascent and descent, in pt from the bottom left corner."""

    text: str
    size: float
    is_turned: bool
    left: float
    bottom: float
    right: float
    top: float

    def is_apart(self, other: _Letter) -> bool:
        """Whether the next letter stands further off than in one word, or on another line; an arrow always does."""
        if _ARROW in (self.text, other.text):
            return True
        if self.is_turned:
            gap, shift = max(other.bottom - self.top, self.bottom - other.top), other.left - self.left
        else:
            gap, shift = other.left - self.right, other.bottom - self.bottom
        return gap > 0.2 * self.size or abs(shift) > 0.5 * self.size


class Word(NamedTuple):
    """A word on a page, counted from 1, its box in mm from the top left corner, and the size of its letters in pt."""

    page: int
    text: str
    left: float
    top: float
    right: float
    bottom: float
    size_pt: float


def pages(path: Path) -> list[str]:
    """The text of every page, in the order of the file, which is the order of its tags; a blank between words."""
    with _opened(path) as document:
        return [" ".join(word.text for word in _words(page, number)) for number, page in enumerate(document, 1)]


def text(path: Path) -> str:
    """The text of all pages."""
    return " ".join(pages(path))


def lines(path: Path) -> list[str]:
    """What stands at one height of a page, from left to right: rows of a table are whole."""
    found: list[str] = []
    for _, page in groupby(words(path), key=attrgetter("page")):
        rows: list[list[Word]] = []
        for word in sorted(page, key=lambda one: (one.top + one.bottom) / 2.0):
            middle = (word.top + word.bottom) / 2.0
            if rows and rows[-1][-1].top <= middle <= rows[-1][-1].bottom:
                rows[-1].append(word)
            else:
                rows.append([word])
        found += [" ".join(word.text for word in sorted(row, key=attrgetter("left"))) for row in rows]
    return found


def words(path: Path) -> list[Word]:
    """Every word and its place, in the order of the file."""
    with _opened(path) as document:
        return [word for number, page in enumerate(document, 1) for word in _words(page, number)]


def page_sizes(path: Path) -> list[tuple[float, float]]:
    """Width and height of every page in mm."""
    with _opened(path) as document:
        return [(page.get_width() / POINTS_PER_MM, page.get_height() / POINTS_PER_MM) for page in document]


def title(path: Path) -> str:
    """The title in its metadata."""
    with _opened(path) as document:
        return str(document.get_metadata_value("Title"))


def language(path: Path) -> str:
    """The language of its text, as a screen reader pronounces it (ISO 32000-1, 14.9.2)."""
    with _opened(path) as document:
        buffer = ctypes.create_string_buffer(64)
        size = raw.FPDFCatalog_GetLanguage(document, ctypes.cast(buffer, ctypes.POINTER(raw.FPDF_WCHAR)), 64)
        return buffer.raw[:size].decode("utf-16-le").rstrip("\0")


def outline(path: Path) -> list[str]:
    """What the entries of its outline say, in order."""
    return [said for _, said in outline_levels(path)]


def outline_levels(path: Path) -> list[tuple[int, str]]:
    """The entries of its outline: how deep, from 0, and what they say."""
    with _opened(path) as document:
        return [(entry.level, entry.get_title()) for entry in document.get_toc()]


def is_tagged(path: Path) -> bool:
    """Whether it tells headings, lists and reading order apart, as screen readers need it."""
    with _opened(path) as document:
        return bool(document.is_tagged())


def described(path: Path) -> list[str]:
    """What its pictures show, in words, as a screen reader says it: the tags' alternative texts."""
    with _opened(path) as document:
        return [text for page in document for text in _alternatives(page)]


def pictures(path: Path) -> list[tuple[float, float]]:
    """Width and height in mm of every picture made of dots."""
    with _opened(path) as document:
        boxes = [one.get_bounds() for page in document for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_IMAGE])]
    return [((right - left) / POINTS_PER_MM, (top - bottom) / POINTS_PER_MM) for left, bottom, right, top in boxes]


def upright_lines(path: Path) -> list[tuple[int, float, float, float]]:
    """Every line that goes straight down: its page, how far from the left, where it begins and ends, mm."""
    found = []
    with _opened(path) as document:
        for number, page in enumerate(document, 1):
            high = page.get_height()
            for drawn in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
                left, bottom, right, top = (edge / POINTS_PER_MM for edge in drawn.get_bounds())
                if right - left < 1.0 < top - bottom:
                    found.append((number, left, high / POINTS_PER_MM - top, high / POINTS_PER_MM - bottom))
    return found


def fonts(path: Path) -> list[tuple[str, bool]]:
    """The name of every font that letters are set in, and whether it is embedded."""
    found: dict[str, bool] = {}
    with _opened(path) as document:
        for page in document:
            for drawn in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT]):
                font = drawn.get_font()
                found[font.get_base_name()] = bool(font.is_embedded)
    return sorted(found.items())


def overlaps(words: Iterable[Word]) -> list[tuple[str, str]]:
    """Words that lie on each other: the middle two fifths of their heights, where letters are."""
    found = []
    slim = [
        (word.page, word.top + 0.3 * (word.bottom - word.top), word.bottom - 0.3 * (word.bottom - word.top), word)
        for word in words
    ]
    for (page, top, bottom, one), rest in zip(slim, (slim[at + 1 :] for at in range(len(slim))), strict=True):
        found += [
            (one.text, other.text)
            for other_page, other_top, other_bottom, other in rest
            if page == other_page
            and min(bottom, other_bottom) - max(top, other_top) > 0.1
            and min(one.right, other.right) - max(one.left, other.left) > 0.1
        ]
    return found


def png(path: Path, number: int, dots_per_inch: float = 150.0) -> bytes:
    """A page, counted from 1, as a picture."""
    with _opened(path) as document:
        bitmap = document[number - 1].render(scale=dots_per_inch / 72.0, rev_byteorder=True)
        stride, rows = bitmap.stride, bytes(bitmap.buffer)
        width, height, channels = bitmap.width, bitmap.height, bitmap.n_channels
        lined = [b"\0" + rows[at * stride : at * stride + width * channels] for at in range(height)]
    kind = {1: 0, 3: 2, 4: 6}[channels]
    head = struct.pack(">IIBBBBB", width, height, 8, kind, 0, 0, 0)
    parts = ((b"IHDR", head), (b"IDAT", zlib.compress(b"".join(lined))), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data)) for name, data in parts
    )


def _alternatives(page: pdfium.PdfPage) -> Iterator[str]:
    tree = raw.FPDF_StructTree_GetForPage(page)
    waiting = [raw.FPDF_StructTree_GetChildAtIndex(tree, at) for at in range(raw.FPDF_StructTree_CountChildren(tree))]
    while waiting:
        element = waiting.pop(0)
        if not element:
            continue
        size = raw.FPDF_StructElement_GetAltText(element, None, 0)
        if size > 2:
            buffer = ctypes.create_string_buffer(size)
            raw.FPDF_StructElement_GetAltText(element, buffer, size)
            yield buffer.raw.decode("utf-16-le").rstrip("\0")
        count = raw.FPDF_StructElement_CountChildren(element)
        waiting += [raw.FPDF_StructElement_GetChildAtIndex(element, at) for at in range(count)]
    raw.FPDF_StructTree_Close(tree)


def _words(page: pdfium.PdfPage, number: int) -> Iterator[Word]:
    height, word = page.get_height(), list[_Letter]()
    for letter in _letters(page.get_textpage()):
        if word and (letter.text.isspace() or word[-1].is_apart(letter)):
            yield _word(number, word, height)
            word = []
        if not letter.text.isspace():
            word.append(letter)
    if word:
        yield _word(number, word, height)


def _letters(read: pdfium.PdfTextPage) -> Iterator[_Letter]:
    box, turn = raw.FS_RECTF(), raw.FS_MATRIX()
    for place in range(read.count_chars()):
        text = read.get_text_range(place, 1)
        if text not in _UNSEEN:
            raw.FPDFText_GetLooseCharBox(read, place, ctypes.byref(box))
            raw.FPDFText_GetMatrix(read, place, ctypes.byref(turn))
            size = raw.FPDFText_GetFontSize(read, place) * math.hypot(turn.c, turn.d)
            is_turned = abs(turn.b) > abs(turn.a)
            yield _Letter(text, size, is_turned, box.left, box.bottom, box.right, box.top)


def _word(number: int, letters: list[_Letter], height: float) -> Word:
    return Word(
        page=number,
        text="".join(letter.text for letter in letters),
        left=min(letter.left for letter in letters) / POINTS_PER_MM,
        top=(height - max(letter.top for letter in letters)) / POINTS_PER_MM,
        right=max(letter.right for letter in letters) / POINTS_PER_MM,
        bottom=(height - min(letter.bottom for letter in letters)) / POINTS_PER_MM,
        size_pt=min(letter.size for letter in letters),
    )


@contextmanager
def _opened(path: Path) -> Iterator[pdfium.PdfDocument]:
    document = pdfium.PdfDocument(path)
    try:
        yield document
    finally:
        document.close()


def main(names: list[str]) -> None:
    """Write every page of the files as a picture beside them."""
    for name in names:
        path = Path(name)
        for number in range(1, len(page_sizes(path)) + 1):
            path.with_name(f"{path.stem}-{number}.png").write_bytes(png(path, number))


if __name__ == "__main__":
    main(sys.argv[1:])
