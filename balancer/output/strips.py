"""Strips for the rail: what the template is given, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.imposition import PAPERS, Imposition, Sheet, Size, alone, impose
from balancer.engine.strips import Conversion, NoStrip, OwnPour, Strip, Strips
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.numbers import count, cut, day_text, trim, weekday_text
from balancer.output.page import ROWS, house_pour, page
from balancer.output.print_text import NO_BREAK, fraction, printable
from balancer.output.printed_page import files_text, layout_data

LINES: Final = 5
"""Lines of conversions on a strip: more are no longer read at a glance."""
POUR_PT: Final = 24.0
"""The smallest letters of a conversion; the template has the same."""
LOST: Final = ("ask", "own", "pairs")
"""What a full strip loses first; the screen has it, and the strip says that there is more."""
_SHEET: Final = Sheet(95.0, 92.0)
_ROLL_MM: Final = 80.0
_MM_PER_PT: Final = 25.4 / 72.0
_GUTTER_PT: Final = 12.0
_NAME, _DRINK = 48, 40
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
        "items": [_item(strip, night, specs, paper, by) for strip in strips],
    }


def pour_texts(conversion: Conversion, house: House) -> tuple[str, str, str]:
    """Written, new, and the unit, as a bar reads them on paper: ounces in proper fractions, grams in tenths."""
    if conversion.in_grams:
        return trim(conversion.spec, 1), trim(conversion.poured, 1), "g"
    return fraction(house_pour(conversion.spec, house)), fraction(house_pour(conversion.poured, house)), house.show


def conversion_lines(conversions: Iterable[Conversion], house: House) -> list[tuple[str, str, str]]:
    """The conversions as texts, each once although two specs may differ by less than is shown."""
    return list(dict.fromkeys(pour_texts(one, house) for one in conversions))


def conversions_said(conversions: Iterable[Conversion], house: House) -> str:
    """The conversions on one line of the screen, each with its unit."""
    return " · ".join(f"{old} → {new} {unit}" for old, new, unit in conversion_lines(conversions, house))


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
    notes = [f"in place of {_names(strip.gained.in_place_of, specs)}: pours from balancer swap"]
    notes *= bool(strip.gained.in_place_of)
    notes += [f"only for {batch.id}, not for {' or '.join(strip.also_open)}"] * bool(strip.also_open)
    notes += ["its strength is predicted, not read"] * (batch.brix is not None and not batch.verified)
    return {
        "name": batch.id,
        "code": batch.id,
        "syrup": printable(cut(strip.source.name, _NAME)),
        "caption": f"written → pour, {units[0]}" if len(units) == 1 else "written → pour",
        "columns": columns,
        "pairs": [
            {"written": written, "poured": poured, "unit": unit if len(units) > 1 else None}
            for written, poured, unit in lines
        ],
        "allergens": allergen_facts(strip),
        "own": [printable(_own_text(own, house, _DRINK)) for own in strip.own_pours],
        "ask": [f"not: {', '.join(printable(cut(drink.name, _DRINK)) for drink in strip.ask)} – ask"] * bool(strip.ask),
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


def _own_text(own: OwnPour, house: House, most: int) -> str:
    written, poured, unit = pour_texts(own.pour, house)
    name = cut(own.drink.name, most)
    return f"{name} {written} → {poured} {unit}" if own.pour.moves else f"{name} {written} {unit} as written"


def strips_text(run: StripRun, specs: Specs) -> str:
    """The answer of `strips`: what was printed, what did not go on a strip, and what has none and why."""
    told = [list(_strip_rows(strip, run, specs)) for strip in run.result.strips]
    rows = [row for _, row in sorted((pair for rows in told for pair in rows), key=lambda pair: pair[0])]
    rows += list(_without_rows(run.result))
    more = [f"{len(rows) - ROWS} more to know, --json has them"] if len(rows) > ROWS else []
    still = [item.batch.id for item in run.result.without if item.why == "as written"]
    more += [f"{len(still)} as written, no strip: {', '.join(still)}"] if still else []
    more += ["take a strip off when its bottle is empty or corrected"] if run.printed else []
    return page(_first(run), rows[:ROWS], "; ".join([*more, "balancer tonight has every drink"]))


def _first(run: StripRun) -> str:
    if not run.written:
        there = f'; "{run.out}" is of another time' if run.out.exists() else ""
        return f"no strip for {day_text(run.result.night)}: {_none(run.result)}{there}"
    ids = ", ".join(strip.batch.id for strip in run.printed)
    strips = count(len(run.printed), "strips")
    pages = count(ceil(len(run.printed) / run.paper.layout.up), "pages")
    where = f"for a {run.paper.name}" if run.paper.is_roll else f"on {pages} of {run.paper.name}"
    return f"{strips} {where} → {files_text(run.written)}: {ids}"


def _none(result: Strips) -> str:
    if result.strips:
        return "none can be printed"
    if not result.without:
        return "no bottle is open"
    whys = {item.why for item in result.without}
    return "every bottle as written" if whys == {"as written"} else "no bottle has pours to go by"


def _strip_rows(strip: Strip, run: StripRun, specs: Specs) -> Iterator[tuple[int, str]]:
    """What to know of a strip, each with its rank: allergens, then what it had no room for, then its exceptions."""
    house, identity = specs.house, strip.batch.id
    if strip.gained.allergens or strip.gained.unknown or strip.allergens_unknown:
        place = f" (in place of {_names(strip.gained.in_place_of, specs)})" if strip.gained.in_place_of else ""
        yield 0, f"{identity} {cut(strip.source.name, _NAME)}{place}: {'; '.join(allergen_facts(strip))}"
    if identity in run.unfit:
        return
    left = shown_lines(strip, house, run.paper)[2] + run.lost(strip, "pairs")
    if left:
        yield 1, f"no room on the strip of {identity} for {conversions_said(strip.conversions[-left:], house)}"
    if strip.also_open:
        others = " and ".join(strip.also_open)
        are = "are" if len(strip.also_open) > 1 else "is"
        yield 1, f"{identity} {cut(strip.source.name, _NAME)}: {others} {are} open too; empty one first"
    if strip.ask:
        lost = ", not on its strip" if run.lost(strip, "ask") else ""
        yield 2, f"{identity} not for {', '.join(cut(drink.name, _DRINK) for drink in strip.ask)}: ask{lost}"
    if strip.own_pours:
        lost = ", not on its strip" if run.lost(strip, "own") else ""
        pours = "; ".join(_own_text(own, house, _DRINK) for own in strip.own_pours)
        yield 2, f"{identity} in drinks of two syrups{lost}: {pours}"


def _without_rows(result: Strips) -> Iterator[str]:
    """Why some have none although something is to be done about them."""
    two: dict[str, list[NoStrip]] = {}
    for item in result.without:
        if item.why == "two open":
            two.setdefault(item.batch.liquid, []).append(item)
        elif item.why != "as written":
            yield f"{item.batch.id} {cut(item.name, _NAME)}: no strip, {_why(item, result.night)}{_also(item)}"
    for group in two.values():
        ids = " and ".join(item.batch.id for item in group)
        also = "".join(dict.fromkeys(_also(item) for item in group))
        yield f"{ids} {cut(group[0].name, _NAME)}: no strip, more than one is open; empty one first{also}"


def _also(item: NoStrip) -> str:
    if not item.gained.any:
        return ""
    known = f"contains {', '.join(item.gained.allergens)}" if item.gained.allergens else "allergens unknown"
    return f"; not on the cards: {known}"


def _why(item: NoStrip, night: date) -> str:
    batch, reason = item.batch, item.reason
    if item.why == "past" and batch.discard:
        return f"past its last day ({day_text(batch.discard, night)}); take it out"
    if item.why == "correct":
        add = item.result.correct if item.result else None
        grams = f"add {trim(add.g_per_kg, 0)} g {add.add} per kg" if add and add.add else "see balancer correct"
        return f"correct it: {grams}; {reason}"
    said = {
        "pull": f"pull it: {reason}",
        "read again": reason,
        "impossible": f"{reason}; read it again",
        "not read": "nothing was read; it is taken as standard",
        "free pour": "this house pours free",
        "not open": "it is not open yet",
        "closed": f"it is {batch.state}",
        "unknown": "the files do not know what it is",
    }
    return said.get(item.why, reason)


def strips_data(run: StripRun, specs: Specs) -> dict[str, Any]:
    """The JSON object of `strips`."""
    return {
        "date": run.result.night.isoformat(),
        "files": [str(path) for path in run.written],
        "paper": run.paper.word,
        "pages": ceil(len(run.printed) / run.paper.layout.up),
        "strips": [_strip_data(strip, run, specs) for strip in run.result.strips],
        "without": [
            {
                "batch": item.batch.id,
                "syrup": item.batch.liquid or None,
                "name": item.name,
                "why": item.why,
                "reason": item.reason or None,
                "allergens_gained": list(item.gained.allergens),
                "allergens_gained_unknown": item.gained.unknown,
            }
            for item in run.result.without
        ],
    }


def _strip_data(strip: Strip, run: StripRun, specs: Specs) -> dict[str, Any]:
    left = shown_lines(strip, specs.house, run.paper)[2] + run.lost(strip, "pairs")
    return {
        "batch": strip.batch.id,
        "syrup": strip.batch.liquid,
        "name": strip.source.name,
        "printed": strip.batch.id not in run.unfit,
        "until": strip.until,
        "discard": strip.batch.discard.isoformat() if strip.batch.discard else None,
        "verified": strip.batch.verified,
        "conversions": [conversion_data(one) for one in strip.conversions],
        "conversions_left_off": left,
        "own_pours": [
            {"drink": own.drink.id, "name": own.drink.name, **conversion_data(own.pour)} for own in strip.own_pours
        ],
        "ask": [{"drink": drink.id, "name": drink.name} for drink in strip.ask],
        "own_pours_left_off": run.lost(strip, "own"),
        "ask_left_off": run.lost(strip, "ask") > 0,
        "also_open": list(strip.also_open),
        "in_place_of": list(strip.gained.in_place_of),
        "allergens_gained": list(strip.gained.allergens),
        "allergens_gained_unknown": strip.gained.unknown,
        "allergens_unknown": strip.allergens_unknown,
    }


def conversion_data(one: Conversion) -> dict[str, Any]:
    """A written and a new pour as JSON: in ml or in g, null in the other."""
    unit, other = ("g", "ml") if one.in_grams else ("ml", "g")
    return {f"spec_{unit}": one.spec, f"poured_{unit}": one.poured, f"spec_{other}": None, f"poured_{other}": None}


def _names(ids: Iterable[str], specs: Specs) -> str:
    known = [specs.find_liquid(identity) for identity in ids]
    return ", ".join(source.name if source else identity for source, identity in zip(known, ids, strict=True))
