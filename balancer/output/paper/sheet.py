"""What the printed sheets share: paper, the head, texts made ready for print, and the answer on the screen."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import printed_texts
from balancer.output.paper.printed_page import PAPER_NAMES, files_text
from balancer.output.words.numbers import count, cut, some, weekday_text
from balancer.output.words.page import ROWS, few, page

if TYPE_CHECKING:
    from balancer.output.paper.printed_page import Format

# The start of a page's object in a PDF as it is written here: texts stand in it with their line ends escaped.
_PDF_PAGE: Final = re.compile(rb"\n[0-9]+ 0 obj\n<</Type/Page/")
_LISTED: Final = 6
_RUNNING: Final = 50


@dataclass(frozen=True, slots=True)
class PrintedSheet:
    """A sheet on paper: the key of the paper, the number of pages, and the files."""

    paper: str
    pages: int
    files: tuple[Path, ...]

    @property
    def text(self) -> str:
        """How much of it there is, and where."""
        return f"{count(self.pages, 'pages')} of {PAPER_NAMES[self.paper]} → {files_text(self.files)}"

    @property
    def data(self) -> dict[str, Any]:
        """The same as JSON."""
        return {"paper": self.paper, "pages": self.pages, "files": [str(path) for path in self.files]}


def sheet_page(
    title: str,
    house: House,
    day: date,
    words: Words,
    head: dict[str, Any],
    rows: Iterable[dict[str, Any]],
    paper: PaperSheet,
    section: str = "paper",
) -> dict[str, Any]:
    """What a sheet's template is given: first the head, then the rows; section: the words that are its own."""
    date = words.long_day(day)
    running = f"{cut(house.name, _RUNNING)} · {title} · {date}"
    first = {"name": house.name, "house": house.name, "title": title, "date": date, "running": running} | head
    return {
        "title": f"{house.name}: {title}",
        "layout": {"page": list(paper)},
        "words": words.section("paper") | words.section(section),
        "items": [printed_texts(item, words.quotes) for item in (first, *rows)],
    }


def page_count(pages: Sequence[bytes], kind: Format) -> int:
    """How many pages were set: a PDF holds all of them, of the others each is a file."""
    return len(_PDF_PAGE.findall(pages[0])) if kind == "pdf" else len(pages)


def long_day(day: date) -> str:
    """A day with its weekday and year.

    >>> long_day(date(2026, 11, 25))
    'Wed 25 Nov 2026'
    """
    return f"{weekday_text(day)} {day.year}"


def listed(names: Iterable[str], most: int = _LISTED) -> str:
    """Names in a row, the first few and how many more."""
    return some(names, most)


def missing_row(missing: Sequence[str]) -> list[str]:
    """What is not on the sheet: it did not load, or cannot be printed; the problems below say why."""
    return [f"missing from the page: {listed(missing)}"] if missing else []


def sheet_text(first: str, rows: Iterable[str], more: str = "print it at 100 %") -> str:
    """The answer on the screen."""
    shown, left = few([*rows], ROWS)
    return page(first, shown, "; ".join([*left, more]))
