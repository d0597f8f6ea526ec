"""`strips` on the screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from balancer.engine.batch.read_it import read_again, read_it
from balancer.engine.service.strips import NoStrip, Strip, Strips
from balancer.models.days import day_text
from balancer.models.specs import Specs
from balancer.output.paper.printed_page import files_text
from balancer.output.paper.strips import (
    StripRun,
    allergen_facts,
    conversion_lines,
    names_text,
)
from balancer.output.words.advice import ASSUMED
from balancer.output.words.numbers import count, trim
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.problems import missing_rows
from balancer.output.words.tonight import asked_text, exceptions_text


def conversions_said(lines: Iterable[tuple[str, str, str]]) -> str:
    """Conversions as on the strip, on one line of the screen, each with its unit."""
    return " · ".join(f"{old} → {new} {unit}" for old, new, unit in lines)


def strips_text(run: StripRun, specs: Specs, missing: Sequence[str] = ()) -> str:
    """The answer of `strips`: what was printed, what did not go on a strip, and what has none and why.

    missing  names of drinks that did not load and pour from the bottles
    """
    told = [list(_strip_rows(strip, run, specs)) for strip in run.result.strips]
    rows = missing_rows(missing)
    rows += [row for _, row in sorted((pair for rows in told for pair in rows), key=lambda pair: pair[0])]
    rows.extend(_without_rows(run.result))
    shown, more = few(rows, ROWS)
    still = [item.batch.id for item in run.result.without if item.why == "as written"]
    more += [f"{len(still)} as written, no strip: {', '.join(still)}"] if still else []
    more += ["take a strip off when its bottle is empty or corrected"] if run.printed else []
    return page(_first(run), shown, "; ".join([*more, "balancer tonight has every drink"]))


def _first(run: StripRun) -> str:
    if not run.written:
        there = f'; "{run.out}" is of another time' if run.out.exists() else ""
        return f"no strip for {day_text(run.result.night)}: {_none(run.result)}{there}"
    ids = ", ".join(strip.batch.id for strip in run.printed)
    strips = count(len(run.printed), "strips")
    pages = count(run.pages, "pages")
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
        yield 0, f"{identity} {strip.source.name}{place}: {'; '.join(allergen_facts(strip))}"
    if identity in run.unfit:
        return
    left = run.lost(strip, "pairs")
    if left:
        yield (
            1,
            f"no room on the strip of {identity} for {conversions_said(conversion_lines(strip.lines, house)[-left:])}",
        )
    if strip.also_open:
        others = " and ".join(strip.also_open)
        are = "are" if len(strip.also_open) > 1 else "is"
        yield 1, f"{identity} {strip.source.name}: {others} {are} open too; empty one first"
    for asked in asked_text(strip.lines):
        lost = ", not on its strip" if run.lost(strip, "ask") else ""
        yield 2, f"{identity} {asked}: ask{lost}"
    if strip.lines.own_pours:
        lost = " (not on its strip)" if run.lost(strip, "own") else ""
        yield 2, f"{identity} otherwise in{lost}: {'; '.join(exceptions_text(strip.lines, house))}"


def _without_rows(result: Strips) -> Iterator[str]:
    """Why some have none although something is to be done about them."""
    for item in result.without:
        if item.why != "as written":
            yield f"{item.batch.id} {item.name}: no strip, {_why(item, result.night)}{_also(item)}"


def _also(item: NoStrip) -> str:
    if not item.gained.any:
        return ""
    known = f"contains {', '.join(item.gained.allergens)}" if item.gained.allergens else "allergens unknown"
    return f"; not on the cards: {known}"


def _why(item: NoStrip, night: date) -> str:
    batch, reason = item.batch, item.reason
    if item.why == "past" and batch.ends:
        return f"past its last day ({day_text(batch.ends, night)}); discard it"
    if item.why == "correct":
        add = item.result.correct if item.result else None
        grams = f"add {trim(add.g_per_kg, 0)} g {add.add} per kg" if add and add.add else "see balancer correct"
        return f"correct it: {grams}; {reason}"
    said = {
        "pull": f"discard it: {reason}",
        "read again": read_again(reason, item.source, batch.id),
        "impossible": read_again(f"{reason}; read it again", item.source, batch.id),
        "not read": f"{ASSUMED}; {read_it(item.source, batch.id)}",
        "free pour": "this house pours free",
        "not open": "it is not open yet",
        "closed": f"it is {batch.state}",
        "unknown": "the files do not know what it is",
    }
    return said.get(item.why, reason)
