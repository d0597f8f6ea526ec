"""Strips for the rail: what the template is given, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.service.lines import BottleLines
from balancer.engine.service.strips import Strip, Strips
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.models.look import ENGLISH
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.paper.imposition import PAPERS, Imposition, PaperSheet, Size, alone, impose
from balancer.output.paper.language import Words, words_of
from balancer.output.paper.print_text import NO_BREAK, fraction, printable
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.advice import strengths_text
from balancer.output.words.amounts import AmountChange
from balancer.output.words.numbers import cut, weekday_text
from balancer.output.words.tonight import asked_text, exceptions_text, line_changes

LOST: Final = ("ask", "own", "pairs")
"""What a full strip loses first; the screen has it, and the strip says that there is more."""


NAME_LETTERS: Final = 48


class StripPaper(NamedTuple):
    """What strips are printed on, with the largest and smallest scale of their letters.

    word  as the option has it; name as on the screen; is_roll: every strip a page as long as its text
    """

    word: str
    name: str
    layout: Imposition
    margin_mm: float
    full: float
    least: float
    is_roll: bool = False


class StripRun(NamedTuple):
    """What was printed, on what, and which strips lost what, by the key of the template. dropped and unfit go by id."""

    result: Strips
    paper: StripPaper
    out: Path
    written: Sequence[Path]
    dropped: Mapping[str, Mapping[str, Sequence[Any]]]
    unfit: Collection[str]

    def lost(self, strip: Strip, key: str) -> int:
        """How many things of a kind a strip had no room for."""
        return len(self.dropped.get(strip.batch.id, {}).get(key, ()))

    @property
    def pages(self) -> int:
        """How many pages they take."""
        return ceil(len(self.printed) / self.paper.layout.up)

    @property
    def printed(self) -> list[Strip]:
        """The strips on the pages."""
        return [strip for strip in self.result.strips if strip.batch.id not in self.unfit]


_SHEET: Final = PaperSheet(95.0, 92.0)


_ROLL_MM: Final = 80.0


def paper_of(word: str) -> StripPaper:
    """The paper that an option means: a4, letter, or receipt (80 mm, of which printers reach 72)."""
    if word == "receipt":
        return StripPaper("receipt", "receipt roll", alone(Size(_ROLL_MM, None)), 4.0, 1.7, 1.7, is_roll=True)
    layout = impose(_SHEET, PAPERS[word]) or alone(Size(*_SHEET))
    return StripPaper(word, "A4" if word == "a4" else word.capitalize(), layout, 3.5, 2.2, 0.5)


def strips_page(
    strips: Iterable[Strip], night: date, specs: Specs, paper: StripPaper, by: str | None
) -> dict[str, Any]:
    """What the template is given."""
    layout = paper.layout
    return {
        "title": f"{specs.house.name}: strips for {day_text(night)} {night.year}",
        "layout": layout_data(layout, paper.margin_mm),
        "letters": [paper.least, paper.full],
        "items": [_item(strip, night, specs, by) for strip in strips],
    }


def _item(strip: Strip, night: date, specs: Specs, by: str | None) -> dict[str, Any]:
    batch, house = strip.batch, specs.house
    lines = conversion_lines(strip.lines, house)
    units = list(dict.fromkeys(unit for *_, unit in lines))
    notes = [f"in place of {names_text(strip.gained.in_place_of, specs)}: pours from balancer swap"]
    notes *= bool(strip.gained.in_place_of)
    notes += [f"drinks written for {strengths_text(strip.lines.written_for)} °Bx"] * bool(strip.lines.written_for)
    notes += [f"only for {batch.id}, not for {' or '.join(strip.also_open)}"] * bool(strip.also_open)
    notes += ["its strength is predicted, not read"] * (batch.brix is not None and not batch.verified)
    return {
        "name": batch.id,
        "code": batch.id,
        "syrup": printable(cut(strip.source.name, NAME_LETTERS)),
        "caption": f"written → pour, {units[0]}" if len(units) == 1 else "written → pour",
        "pairs": [
            {"written": written, "poured": poured, "unit": unit if len(units) > 1 else None}
            for written, poured, unit in lines
        ],
        "allergens": allergen_facts(strip),
        "own": [printable(text) for text in exceptions_text(strip.lines, house, spelt(words_of(ENGLISH)))],
        "ask": [printable(f"{text} – ask") for text in asked_text(strip.lines)],
        "notes": [printable(note) for note in notes],
        "until": f"until {_until(strip)} · {_last_day(strip, night).replace(' ', NO_BREAK)}",
        "date": f"{night:%a} {day_text(night)} {night.year}",
        "by": by,
    }


def allergen_facts(strip: Strip) -> list[str]:
    """What a strip says of allergens: what the cards do not, and what nobody knows. Never that there are none."""
    found = [f"not on the cards: contains {', '.join(strip.gained.allergens)}"] * bool(strip.gained.allergens)
    return found + ["allergens unknown: ask"] * (strip.gained.unknown or strip.allergens_unknown)


def _until(strip: Strip) -> str:
    """What ends the strip; a syrup that is corrected pours as written again."""
    return "empty or corrected" if strip.until == "empty" and isinstance(strip.source, Syrup) else strip.until


def _last_day(strip: Strip, night: date) -> str:
    discard = strip.batch.discard
    return f"last day {weekday_text(discard, night)}" if discard else "last day unknown"


def names_text(ids: Iterable[str], specs: Specs) -> str:
    """What ids are called, in a row; an id nobody knows stands for itself."""
    return ", ".join(map(specs.name_of, ids))


def conversion_lines(lines: BottleLines, house: House, words: Words | None = None) -> list[tuple[str, str, str]]:
    """Written as on the cards, new, and the unit of the new one, each once: ounces in proper fractions.

    What is written has its own unit behind it where that is another one. words: those of the pages; None for English
    """
    said = words or words_of(ENGLISH)
    return list(dict.fromkeys(_spelt(change, said) for change in line_changes(lines, house, on_card=True)))


def spelt(words: Words) -> Callable[[AmountChange], str]:
    """How the pages of a language spell a change: ¾ → ⅝ oz."""

    def spell(change: AmountChange) -> str:
        before, after, unit = _spelt(change, words)
        return f"{before} → {after} {unit}"

    return spell


def _spelt(change: AmountChange, words: Words) -> tuple[str, str, str]:
    before, after = (words.number(fraction(number)) for number in (change.before, change.after))
    unit, own = words.unit(change.unit), words.unit(change.before_unit)
    return before if own == unit else f"{before}{NO_BREAK}{own}", after, unit
