"""`strips` on the screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from math import ceil
from typing import Final

from balancer.engine.service.strips import Conversion, NoStrip, Strip, Strips
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.paper.imposition import PAPERS, Sheet, Size, alone, impose
from balancer.output.paper.printed_page import files_text
from balancer.output.paper.strips import (
    DRINK_LETTERS,
    NAME_LETTERS,
    StripPaper,
    StripRun,
    allergen_facts,
    conversion_lines,
    names_text,
    own_pour_text,
    shown_lines,
)
from balancer.output.words.numbers import count, cut, day_text, trim
from balancer.output.words.page import ROWS, page

_SHEET: Final = Sheet(95.0, 92.0)


_ROLL_MM: Final = 80.0


def paper_of(word: str) -> StripPaper:
    """The paper that an option means: a4, letter, or receipt (80 mm, of which printers reach 72)."""
    if word == "receipt":
        return StripPaper("receipt", "receipt roll", alone(Size(_ROLL_MM, None)), 4.0, 1.7, 1.7, is_roll=True)
    layout = impose(_SHEET, PAPERS[word]) or alone(Size(*_SHEET))
    return StripPaper(word, "A4" if word == "a4" else word.capitalize(), layout, 3.5, 2.2, 0.5)


def conversions_said(conversions: Iterable[Conversion], house: House) -> str:
    """The conversions on one line of the screen, each with its unit."""
    return " · ".join(f"{old} → {new} {unit}" for old, new, unit in conversion_lines(conversions, house))


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
        place = f" (in place of {names_text(strip.gained.in_place_of, specs)})" if strip.gained.in_place_of else ""
        yield 0, f"{identity} {cut(strip.source.name, NAME_LETTERS)}{place}: {'; '.join(allergen_facts(strip))}"
    if identity in run.unfit:
        return
    left = shown_lines(strip, house, run.paper)[2] + run.lost(strip, "pairs")
    if left:
        yield 1, f"no room on the strip of {identity} for {conversions_said(strip.conversions[-left:], house)}"
    if strip.also_open:
        others = " and ".join(strip.also_open)
        are = "are" if len(strip.also_open) > 1 else "is"
        yield 1, f"{identity} {cut(strip.source.name, NAME_LETTERS)}: {others} {are} open too; empty one first"
    if strip.ask:
        lost = ", not on its strip" if run.lost(strip, "ask") else ""
        yield 2, f"{identity} not for {', '.join(cut(drink.name, DRINK_LETTERS) for drink in strip.ask)}: ask{lost}"
    if strip.own_pours:
        lost = ", not on its strip" if run.lost(strip, "own") else ""
        pours = "; ".join(own_pour_text(own, house, DRINK_LETTERS) for own in strip.own_pours)
        yield 2, f"{identity} in drinks of two syrups{lost}: {pours}"


def _without_rows(result: Strips) -> Iterator[str]:
    """Why some have none although something is to be done about them."""
    two: dict[str, list[NoStrip]] = {}
    for item in result.without:
        if item.why == "two open":
            two.setdefault(item.batch.liquid, []).append(item)
        elif item.why != "as written":
            yield f"{item.batch.id} {cut(item.name, NAME_LETTERS)}: no strip, {_why(item, result.night)}{_also(item)}"
    for group in two.values():
        ids = " and ".join(item.batch.id for item in group)
        also = "".join(dict.fromkeys(_also(item) for item in group))
        yield f"{ids} {cut(group[0].name, NAME_LETTERS)}: no strip, more than one is open; empty one first{also}"


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
