"""`strips` on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from balancer.engine.batch.read_it import read_again, read_it
from balancer.engine.service.strips import NoStrip, Strip, Strips
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.paper.printed_page import files_text
from balancer.output.paper.strips import POURS, StripRun
from balancer.output.words.advice import ASSUMED, per_kg_text
from balancer.output.words.numbers import an, count
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.problems import missing_rows
from balancer.output.words.tonight import drink_names, others_text, told
from balancer.output.words.unsaid import PLACE_POURS, in_place_of

_UNSIGNED: Final = {"syrup": "its name", "by": "who printed it"}
"""What a strip does without only where the font has no signs for it."""


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
    return page(_first(run, specs.house), shown, "; ".join([*more, "balancer tonight has every drink"]))


def _first(run: StripRun, house: House) -> str:
    if not run.written:
        there = f'; "{run.out}" is of another time' if run.out.exists() else ""
        return f"no strip for {day_text(run.result.night)}: {_none(run.result)}{there}"
    ids = ", ".join(strip.batch.id for strip in run.printed)
    # A bottle with many pours, or many drinks that they are not for, has several strips.
    said = [told(strip.lines, house, on_card=True) for strip in run.printed]
    is_one_each = all(len(one.lines) <= POURS and not (one.others or one.asked) for one in said)
    strips = count(len(run.printed), "strips") if is_one_each else f"strips for {count(len(run.printed), 'bottles')}"
    pages = count(run.pages, "pages")
    where = f"for {an(run.paper.name)}" if run.paper.is_roll else f"on {pages} of {run.paper.name}"
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
    place = in_place_of(strip.gained, specs)
    if strip.gained.allergens or strip.gained.unknown or strip.allergens_unknown:
        aside = f" ({place})" if place else ""
        yield 0, f"{identity} {strip.source.name}{aside}: {'; '.join(allergen_facts(strip))}"
    elif place:
        yield 0, f"{identity} {strip.source.name} {place}: {PLACE_POURS}"
    if identity in run.unfit:
        return
    unsigned = [said for key, said in _UNSIGNED.items() if run.lost(strip, key)]
    if unsigned:
        yield 1, f"the strip of {identity} is without {' and '.join(unsigned)}: the font has no signs for it"
    if run.lost(strip, "notes"):
        yield 1, f"the strip of {identity} is without some of its notes: there is no room, or the font has no signs"
    if strip.also_open:
        others = " and ".join(strip.also_open)
        are = "are" if len(strip.also_open) > 1 else "is"
        yield 1, f"{identity} {strip.source.name}: {others} {are} open too; empty one first"
    said = told(strip.lines, house, on_card=True)
    if said.asked:
        lost = run.lost(strip, "ask")
        where = _where(lost, len(said.asked))
        yield 2, f"{identity} not in {drink_names(said.asked)}: ask{f', {where}' if lost else ''}"
    if said.others:
        lost = run.lost(strip, "own")
        where = f" ({_where(lost, len(said.others))})" if lost else ""
        yield 2, f"{identity} otherwise in{where}: {'; '.join(others_text(said))}"


def _where(lost: int, of: int) -> str:
    """Whether none of some drinks, or not all, are on a strip."""
    return "not on its strip" if lost == of else "not all on its strip"


def allergen_facts(strip: Strip) -> list[str]:
    """What there is to say of allergens: what the cards do not, and what nobody knows. Never that there are none."""
    found = [f"not on the cards: contains {', '.join(strip.gained.allergens)}"] * bool(strip.gained.allergens)
    return found + ["allergens unknown: ask"] * (strip.gained.unknown or strip.allergens_unknown)


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
        grams = f"add {per_kg_text(add)}" if add and add.add else "see balancer correct"
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
