"""Labels on paper: what each says, whatever bottle it is for, and what was printed."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.models.house import House
from balancer.output.paper.label_sizes import LabelSize
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK, printable, printed_texts
from balancer.output.paper.printed_page import PAPER_NAMES, files_text, layout_data
from balancer.output.words.numbers import an, count

LOST: Final = ("by", "care", "house", "details", "storage", "exceptions", "pours", "heed_how")
"""What a small label loses, the first one first; of several details the last one. Without its pours it says where they
are; of a batch to correct, how much goes last. Name, code, that it is to be corrected, strength, dates,
allergens and cautions are never lost."""


class LabelFact(NamedTuple):
    """A word and its value; None where nobody knows it, and a person writes it."""

    word: str
    value: str | None


class PrintedPour(NamedTuple):
    """What the card says and what to pour from this bottle, in a unit."""

    written: str
    poured: str
    unit: str


@dataclass(frozen=True, slots=True)
class LabelText:
    """What one label says.

    key       no other label of the run has it
    heed      what is to be done before anybody pours from it
    big       what is read from a shelf away, beside the last day
    details   what else is to be known, the most important first; facts: what no label goes without
    asides    what is to be known of that at once
    use_by    the last day; None: a line to write on
    listed    allergens, in the words of the page; unknown: what has no list of them
    caption   over the pours; elsewhere: where they are, for a label that has no room for them
    not_all   the pours are not for every drink: where it has no room for which, it says to ask
    by        who made it; "" is a line to write on
    dense     it has much to say: on a label of a given height facts share lines
    """

    key: str
    title: str
    big: LabelFact
    use_by: str | None
    code: str = ""
    heed: LabelFact | None = None
    asides: Sequence[str] = ()
    details: Sequence[LabelFact] = ()
    facts: Sequence[LabelFact] = ()
    listed: Sequence[str] = ()
    unknown: Sequence[str] = ()
    cautions: Sequence[str] = ()
    caption: str = ""
    elsewhere: str = ""
    pours: Sequence[PrintedPour] = ()
    exceptions: str = ""
    not_all: bool = False
    storage: str = ""
    care: str = ""
    by: str = ""
    dense: bool = False

    def data(self, house: House, words: Words) -> dict[str, Any]:
        """The same as the template reads it."""
        item = {
            "title": self.title,
            "code": self.code,
            "heed": self.heed.word if self.heed else "",
            "heed_how": [self.heed.value] if self.heed and self.heed.value else [],
            "big": list(self.big),
            "asides": list(self.asides),
            "details": [list(fact) for fact in self.details],
            "facts": [list(fact) for fact in self.facts],
            "use-by": self.use_by,
            "listed": list(self.listed),
            "unknown": list(self.unknown),
            "cautions": list(self.cautions),
            "pours": [{"caption": self.caption, "pairs": [pour._asdict() for pour in self.pours]}]
            if self.pours
            else [],
            "elsewhere": self.elsewhere if self.pours else "",
            "exceptions": [self.exceptions] if self.exceptions else [],
            "not-all": self.not_all,
            "house": [house.name],
            "storage": [self.storage] if self.storage else [],
            "care": [self.care] if self.care else [],
            "by": [self.by],
            "dense": self.dense,
        }
        printed: dict[str, Any] = printed_texts(item, words.quotes)
        return printed | {"name": self.key}


@dataclass(frozen=True, slots=True)
class LabelPrint:
    """What was asked for and what was printed of it, by the keys of the labels.

    skip     places of the first sheet left empty
    dropped  what had no room; unfit: what could not be printed at all
    """

    size: LabelSize
    copies: int
    skip: int
    keys: tuple[str, ...]
    written: Sequence[Path] = ()
    dropped: Mapping[str, Mapping[str, Sequence[Any]]] = field(default_factory=dict)
    unfit: Collection[str] = ()

    @property
    def printed(self) -> list[str]:
        """The keys of the labels on the pages."""
        return [key for key in self.keys if key not in self.unfit]

    @property
    def labels(self) -> int:
        """How many labels they are."""
        return len(self.printed) * self.copies

    @property
    def pages(self) -> int:
        """How many pages they take."""
        return ceil((self.skip + self.labels) / self.size.layout.up) if self.printed else 0

    def left_off(self, key: str) -> list[str]:
        """What a label had no room for."""
        return [what for what in LOST if what in self.dropped.get(key, {})]

    @property
    def text(self) -> str:
        """How many of what, and where they are."""
        number, size = count(self.labels, "labels"), self.size
        each = f", {self.copies} of each" if self.copies > 1 and len(self.printed) > 1 else ""
        if size.paper is not None:
            on = f"on {count(self.pages, 'pages')} of {PAPER_NAMES[size.paper]}"
            return f"{number} of {size.name}{each}, {on} → {files_text(self.written)}"
        kind = f"for {an(size.name)}" if size.layout.item.height is None else f"of {size.name}"
        return f"{number} {kind}{each} → {files_text(self.written)}"

    @property
    def data(self) -> dict[str, Any]:
        """The same as JSON."""
        return {
            "files": [str(path) for path in self.written],
            "size": self.size.word,
            "copies": self.copies,
            "pages": self.pages,
        }


def labels_page(run: LabelPrint, labels: Iterable[LabelText], title: str, house: House, words: Words) -> dict[str, Any]:
    """What the template is given. An item without a name is a place that stays empty."""
    items = [data for label in labels for data in [label.data(house, words)] * run.copies]
    empty: list[dict[str, Any]] = [{"name": ""} for _ in range(run.skip)]
    return {
        "title": title,
        "layout": layout_data(run.size.layout, run.size.margin_mm),
        "letters": [run.size.least, run.size.full],
        "words": words.section("paper") | words.section("label"),
        "items": [*empty, *items],
    }


def day_on_label(day: date, today: date, words: Words) -> str:
    """A day, with its year where that is not today's; it is not broken."""
    text = words.day(day) if day.year == today.year else words.long_day(day)
    return text.replace(" ", NO_BREAK)


def keep_at(storage_c: float, words: Words) -> str:
    """How cold it is kept."""
    return printable(words("label.at", celsius=words.number(f"{storage_c:g}")))
