"""Strips for the rail: what the template is given, and on what they are printed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date
from functools import reduce
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.service.strips import Strip, Strips
from balancer.models.drink import Drink
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.paper.imposition import PAPERS, Imposition, PaperSheet, Size, alone, impose
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import NO_BREAK, fraction, printed_texts
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.amounts import AmountChange
from balancer.output.words.numbers import cut, trim
from balancer.output.words.tonight import told

LOST: Final = ("ask", "own", "notes", "syrup", "by", "house")
"""What a full strip loses, the first one first, and what it loses alone when the font has no signs for it. Pours, what
allergens it brings and until when it hangs are never lost. The screen has the rest, and the strip says so."""

POURS: Final = 3
"""On one strip; a bottle with more has further strips."""

_NAME_LETTERS: Final = 72
_DRINK_LETTERS: Final = 60
_NOTE_LETTERS: Final = 90


class StripPaper(NamedTuple):
    """What strips are printed on.

    word  as the option has it; name as on the screen; is_roll: every strip a page as long as its text
    """

    word: str
    name: str
    layout: Imposition
    margin_mm: float
    is_roll: bool = False


class StripRun(NamedTuple):
    """What was printed, on what, and which strips lost what, by the key of the template. dropped and unfit go by id."""

    result: Strips
    paper: StripPaper
    out: Path
    written: Sequence[Path]
    pages: int
    dropped: Mapping[str, Mapping[str, Sequence[Any]]]
    unfit: Collection[str]

    def lost(self, strip: Strip, key: str) -> int:
        """How many things of a kind a strip had no room for."""
        return len(self.dropped.get(strip.batch.id, {}).get(key, ()))

    @property
    def printed(self) -> list[Strip]:
        """The bottles whose strips are on the pages."""
        return [strip for strip in self.result.strips if strip.batch.id not in self.unfit]


class _Roll(NamedTuple):
    """A receipt roll: its width and what printers leave at either side, mm."""

    name: str
    width: float
    margin: float


# Six on A4 and on Letter, each with the room beside it that a cut is marked in, see `impose`.
_SHEET: Final = PaperSheet(95.0, 86.0)
_MARGIN_MM: Final = 4.5
_ROLLS: Final = {"receipt": _Roll("receipt roll", 80.0, 4.0), "receipt58": _Roll("58 mm receipt roll", 58.0, 5.0)}
"""Of 80 mm printers reach 72, of 58 mm about 48 (common practice; from memory)."""

STRIP_PAPERS: Final = (*PAPERS, *_ROLLS)


def paper_of(word: str) -> StripPaper:
    """The paper that an option means, one of STRIP_PAPERS."""
    roll = _ROLLS.get(word)
    if roll is not None:
        return StripPaper(word, roll.name, alone(Size(roll.width, None)), roll.margin, is_roll=True)
    layout = impose(_SHEET, PAPERS[word]) or alone(Size(*_SHEET))
    return StripPaper(word, "A4" if word == "a4" else word.capitalize(), layout, _MARGIN_MM)


def strips_page(
    strips: Iterable[Strip], night: date, specs: Specs, paper: StripPaper, by: str | None, words: Words
) -> dict[str, Any]:
    """What the template is given."""
    return {
        "title": words("strip.title", house=specs.house.name, day=words.long_day(night)),
        "layout": layout_data(paper.layout, paper.margin_mm),
        "most": POURS,
        "words": words.section("paper") | words.section("strip"),
        "items": [_item(strip, night, specs, by, words) for strip in strips],
    }


def _item(strip: Strip, night: date, specs: Specs, by: str | None, words: Words) -> dict[str, Any]:
    batch, house = strip.batch, specs.house
    said = told(strip.lines, house, on_card=True)
    pairs = [_line(line.change, words) for line in said.lines]
    others = sorted(said.others, key=lambda pair: pair[1].is_none)
    own = [_other(drink, _own_pour(change, words)) for drink, change in others]
    ask = [_other(drink, words(f"strip.{_why(drink, strip)}")) for drink in said.asked]
    notes = [cut(note, _NOTE_LETTERS) for note in _notes(strip, specs, words)]
    item = {
        "code": batch.id,
        "house": [house.name],
        "syrup": [cut(strip.source.name, _NAME_LETTERS)],
        "pairs": pairs,
        "allergens": [words.allergen(name) for name in strip.gained.allergens],
        "unknown": strip.gained.unknown or strip.allergens_unknown,
        "own": own,
        "ask": ask,
        "notes": notes,
        "all": len((*pairs, *own, *ask, *notes)),
        "until": _until(strip, words),
        "last": _last_day(batch.discard, night, words),
        "set": words("strip.set", day=words.day(night)),
        "by": [by] if by else [],
    }
    return {"name": batch.id, **printed_texts(item, words.quotes)}


def _other(drink: Drink, said: str) -> dict[str, str]:
    """A drink that the pours of a strip are not for."""
    return {"drink": cut(drink.name, _DRINK_LETTERS), "said": said}


def _line(change: AmountChange, words: Words) -> dict[str, str]:
    """Written as on the cards and new, each with its unit; what is written has its own where that is another one."""
    written, poured, unit = spelt_line(change, words)
    return {"written": written, "poured": poured, "unit": unit}


def _own_pour(change: AmountChange, words: Words) -> str:
    """What a drink pours that the lines of its bottle are not for."""
    if change.is_none:
        return words("strip.as-written")
    return spelt(words)(change)


def _why(drink: Drink, strip: Strip) -> str:
    """Why a person has to decide on a drink, by the key of the words."""
    if drink in strip.lines.ask:
        return "ask-first"
    return "fixed" if any(pour.fixed for pour in drink.pours if pour.of == strip.batch.liquid) else "no-pour"


def _notes(strip: Strip, specs: Specs, words: Words) -> list[str]:
    """What else to know of a bottle; what matters most first, as the last one goes first where there is no room."""
    batch, gained = strip.batch, strip.gained
    notes = []
    if strip.also_open:
        notes.append(words("strip.only", batch=batch.id, others=_joined(strip.also_open, "or", words)))
    if gained.in_place_of:
        notes.append(words("strip.in-place-of", names=words.row(map(specs.name_of, gained.in_place_of))))
    for other in strip.hangs_on:
        drinks = words.row(drink.name for drink in other.drinks)
        notes.append(words("strip.beside", other=other.batch.id, drinks=drinks))
    if strip.lines.written_for:
        strengths = [words.number(trim(strength, 1)) for strength in strip.lines.written_for]
        notes.append(words("strip.written-for", strengths=_joined(strengths, "and", words)))
    if batch.brix is not None and not batch.verified:
        notes.append(words("strip.predicted"))
    return notes


def _joined(parts: Iterable[str], word: str, words: Words) -> str:
    return reduce(lambda first, second: words(f"strip.{word}", first=first, second=second), parts)


def _until(strip: Strip, words: Words) -> str:
    """What ends the strip; a syrup that is corrected pours as written again. Bottles that it hangs on end it too."""
    if strip.hangs_on:
        others = _joined([other.batch.id for other in strip.hangs_on], "or", words)
        return words("strip.corrected-or" if strip.until == "corrected" else "strip.either", others=others)
    if strip.until == "empty" and isinstance(strip.source, Syrup):
        return words("strip.empty-or-corrected")
    return words(f"strip.{strip.until}")


def _last_day(day: date | None, night: date, words: Words) -> list[str | None]:
    """The word and the day, with its year where that is not tonight's."""
    if day is None:
        return [None, words("strip.last-day-unknown")]
    return [words("strip.last-day"), words.day(day) if day.year == night.year else words.long_day(day)]


def spelt_line(change: AmountChange, words: Words) -> tuple[str, str, str]:
    """Written as on the cards, new, and the unit of the new one: ounces in proper fractions.

    What is written has its own unit behind it where that is another one.
    """
    before, after = (words.number(fraction(number)) for number in (change.before, change.after))
    unit, own = words.unit(change.unit), words.unit(change.before_unit)
    return before if own == unit else f"{before}{NO_BREAK}{own}", after, unit


def spelt(words: Words) -> Callable[[AmountChange], str]:
    """How the pages of a language spell a change: ¾ → ⅝ oz."""

    def spell(change: AmountChange) -> str:
        before, after, unit = spelt_line(change, words)
        return f"{before} → {after} {unit}"

    return spell
