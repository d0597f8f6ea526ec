"""Strips for the rail: what the template is given, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.service.strips import Conversion, OwnPour, Strip, Strips
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.paper.imposition import Imposition
from balancer.output.paper.print_text import NO_BREAK, fraction, printable
from balancer.output.paper.printed_page import layout_data
from balancer.output.words.numbers import cut, day_text, trim, weekday_text
from balancer.output.words.page import house_pour

LINES: Final = 5
"""Lines of conversions on a strip: more are no longer read at a glance."""


POUR_PT: Final = 24.0
"""The smallest letters of a conversion; the template has the same."""


LOST: Final = ("ask", "own", "pairs")
"""What a full strip loses first; the screen has it, and the strip says that there is more."""


_MM_PER_PT: Final = 25.4 / 72.0


_GUTTER_PT: Final = 12.0


NAME_LETTERS, DRINK_LETTERS = 48, 40


# Widths of the bold letters in parts of their size, from the font's own table (hmtx), rounded up.
_WIDTHS: Final = {".": 0.3, "⁄": 0.28, "\u00a0": 0.24, "\u202f": 0.2} | dict.fromkeys("¼½¾⅓⅚⅛⅜⅝⅞", 0.95)


_DIGIT, _ARROW = 0.69, 1.26


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
    def printed(self) -> list[Strip]:
        """The strips on the pages."""
        return [strip for strip in self.result.strips if strip.batch.id not in self.unfit]


def strips_page(
    strips: Iterable[Strip], night: date, specs: Specs, paper: StripPaper, by: str | None
) -> dict[str, Any]:
    """What the template is given."""
    layout = paper.layout
    return {
        "title": f"{specs.house.name}: strips for {day_text(night)} {night.year}",
        "layout": layout_data(layout, paper.margin_mm),
        "letters": [paper.least, paper.full],
        "items": [_item(strip, night, specs, paper, by) for strip in strips],
    }


def shown_lines(strip: Strip, house: House, paper: StripPaper) -> tuple[list[tuple[str, str, str]], int, int]:
    """The conversions that a strip has room for, in how many columns, and how many are left off."""
    lines = conversion_lines(strip.conversions, house)
    room_pt = (paper.layout.item.width - 2.0 * paper.margin_mm) / _MM_PER_PT
    wide = _widest(lines) * POUR_PT if lines else 0.0
    columns = 2 if len(lines) > LINES and 2.0 * wide + _GUTTER_PT <= room_pt else 1
    shown = lines[: LINES * columns]
    return shown, columns, len(lines) - len(shown)


def _widest(lines: Iterable[tuple[str, str, str]]) -> float:
    """How wide the lines are in one column, in parts of their size."""
    written, poured, units = zip(*lines, strict=True)
    unit = 0.9 if len(set(units)) > 1 else 0.0
    return max(map(_width, written)) + _ARROW + max(map(_width, poured)) + unit


def _width(text: str) -> float:
    return sum(_WIDTHS.get(char, _DIGIT) for char in text)


def _item(strip: Strip, night: date, specs: Specs, paper: StripPaper, by: str | None) -> dict[str, Any]:
    batch, house = strip.batch, specs.house
    lines, columns, left = shown_lines(strip, house, paper)
    units = list(dict.fromkeys(unit for *_, unit in lines))
    notes = [f"in place of {names_text(strip.gained.in_place_of, specs)}: pours from balancer swap"]
    notes *= bool(strip.gained.in_place_of)
    notes += [f"only for {batch.id}, not for {' or '.join(strip.also_open)}"] * bool(strip.also_open)
    notes += ["its strength is predicted, not read"] * (batch.brix is not None and not batch.verified)
    return {
        "name": batch.id,
        "code": batch.id,
        "syrup": printable(cut(strip.source.name, NAME_LETTERS)),
        "caption": f"written → pour, {units[0]}" if len(units) == 1 else "written → pour",
        "columns": columns,
        "pairs": [
            {"written": written, "poured": poured, "unit": unit if len(units) > 1 else None}
            for written, poured, unit in lines
        ],
        "allergens": allergen_facts(strip),
        "own": [printable(own_pour_text(own, house, DRINK_LETTERS)) for own in strip.own_pours],
        "ask": [f"not: {', '.join(printable(cut(drink.name, DRINK_LETTERS)) for drink in strip.ask)} – ask"]
        * bool(strip.ask),
        "more": bool(left),
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


def own_pour_text(own: OwnPour, house: House, most: int) -> str:
    """A drink with a pour of its own, its name cut to a number of letters."""
    written, poured, unit = pour_texts(own.pour, house)
    name = cut(own.drink.name, most)
    return f"{name} {written} → {poured} {unit}" if own.pour.moves else f"{name} {written} {unit} as written"


def names_text(ids: Iterable[str], specs: Specs) -> str:
    """What ids are called, in a row; an id nobody knows stands for itself."""
    known = [specs.find_liquid(identity) for identity in ids]
    return ", ".join(source.name if source else identity for source, identity in zip(known, ids, strict=True))


def pour_texts(conversion: Conversion, house: House) -> tuple[str, str, str]:
    """Written, new, and the unit, as a bar reads them on paper: ounces in proper fractions, grams in tenths."""
    if conversion.in_grams:
        return trim(conversion.spec, 1), trim(conversion.poured, 1), "g"
    return fraction(house_pour(conversion.spec, house)), fraction(house_pour(conversion.poured, house)), house.show


def conversion_lines(conversions: Iterable[Conversion], house: House) -> list[tuple[str, str, str]]:
    """The conversions as texts, each once although two specs may differ by less than is shown."""
    return list(dict.fromkeys(pour_texts(one, house) for one in conversions))
