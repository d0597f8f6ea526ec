"""What several pages show of a batch: how it is brought to strength, and what was just logged of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Final
from urllib.parse import quote

from balancer.desk.desk import Desk
from balancer.desk.logged import Logged
from balancer.desk.rail import rail_between
from balancer.engine.batch.history import batch_key
from balancer.engine.batch.record import BatchRecord
from balancer.engine.batch.undoing import can_bring_back
from balancer.engine.prep.tub import Corrected, Tub, correct
from balancer.models.batch import LogEntry
from balancer.models.house import House
from balancer.output.screen.correct import add_text, check_rows, expected_first, staged_rows
from balancer.output.words.amounts import to_stir_in
from balancer.output.words.correct import all_left_row, first_per_kg_row, must_rows, per_kg_row
from balancer.output.words.record import deed_text
from balancer.output.words.strips_moved import strip_rows
from balancer.web.render import batch_link
from balancer.web.typed import untyped

KILOGRAM: Final = 1000.0
"""g."""


@dataclass(frozen=True, slots=True)
class ShownCorrection:
    """How a batch is brought to strength.

    answer  what to add in all; steps: in which order; notes: what else to know
    first   what goes in first, and the strength and mass to log then; empty where it is read again before
    weigh   nobody knows how much is left, so that the mass is asked before it is logged
    """

    answer: str
    steps: tuple[str, ...]
    notes: tuple[str, ...]
    first: str = ""
    first_brix: str = ""
    first_mass: str = ""
    weigh: bool = False


@dataclass(frozen=True, slots=True)
class ShownDone:
    """What one form logged: when, and what. undo, restore: whether it can be taken or brought back.

    strips  what to do about strips on the rail, each with its label
    """

    word: str
    clock: str
    texts: tuple[str, ...]
    at: str
    tape: str = ""
    undo: bool = False
    restore: bool = False
    strips: tuple[tuple[str, str], ...] = ()


def corrected(desk: Desk, tub: Tub | None) -> Corrected | None:
    """How a tub comes to its syrup's standard; None where nothing is known of it, or nothing has to be added.

    Raises CannotError as `correct` does.
    """
    if tub is None or tub.syrup_id not in desk.specs.syrups:
        return None
    found = correct(desk.bar, tub, desk.bar.standard(tub.syrup_id), strengths=desk.in_use.strengths)
    return found if found.best.additive else None


def _per_kilogram(desk: Desk, result: Corrected) -> Corrected:
    """The same for one kilogram of it."""
    tub = replace(result.tub, mass_g=KILOGRAM)
    return correct(desk.bar, tub, result.target_brix, strengths=desk.in_use.strengths)


def shown_correction(desk: Desk, result: Corrected) -> ShownCorrection:
    """A correction in words: per kilogram where the mass is the one logged, and some may have been poured since."""
    best, house = result.best, desk.house
    if best.additive is None:
        raise ValueError("nothing is added")
    if result.tub.estimated:
        return _of_what_is_left(result, _per_kilogram(desk, result), house)
    steps = staged_rows(result, best.additive)
    notes = [untyped(row) for row in must_rows(result, house)]
    if best.reads_first or result.tub.batch_id is None:
        return ShownCorrection(
            add_text(result, best, best.additive, house), tuple(steps), (*notes, *check_rows(result))
        )
    strength, mass = expected_first(result)
    return ShownCorrection(
        add_text(result, best, best.additive, house),
        tuple(steps),
        (*notes, *check_rows(result)),
        f"{to_stir_in(result.first_to_add)} {best.additive.name}",
        strength,
        mass,
    )


def _of_what_is_left(result: Corrected, kilogram: Corrected, house: House) -> ShownCorrection:
    rows = [] if kilogram.best.additive is None else staged_rows(kilogram, kilogram.best.additive)
    staged = first_per_kg_row(kilogram)
    steps = [staged, *(row for row in rows if not row.startswith("first "))] if staged else rows
    notes = [untyped(row) for row in (all_left_row(result), *must_rows(result, house), *check_rows(result))]
    name = kilogram.best.additive.name if kilogram.best.additive else ""
    said = f"{to_stir_in(kilogram.first_to_add)} {name} per kg"
    return ShownCorrection(
        per_kg_row(result, kilogram),
        tuple(steps),
        tuple(notes),
        "" if kilogram.best.reads_first or result.tub.batch_id is None else said,
        expected_first(result)[0],
        weigh=True,
    )


def done_link(logged: Logged, identity: str = "") -> str:
    """The page of a batch, with what was just logged shown first.

    identity  the batch, where it is another than that of the first line
    """
    at = logged.entries[0].at
    moment = quote(at.isoformat(timespec="microseconds"), safe="") if at else ""
    return f"{batch_link(identity or logged.entries[0].batch)}?done={moment}"


def done_at(desk: Desk, found: BatchRecord, at: datetime) -> ShownDone | None:
    """What was logged of a batch at a moment; None when nothing was."""
    entries = [entry for entry in desk.entries if entry.at == at]
    taken = [line for line in found.lines if line.undone_by is not None and line.undone_by.at == at]
    if not entries or not (taken or _is_of(entries, found)):
        return None
    rail = _rail(desk, found.id, at)
    told = at.isoformat(timespec="microseconds")
    clock = f"{at:%H:%M}"
    if all(entry.event == "undo" for entry in entries):
        texts = tuple(deed_text(line.deed, found.id) for line in taken)
        if not texts:
            return ShownDone("Brought back", clock, (), told, strips=rail)
        return ShownDone("Undone", clock, texts, told, restore=can_bring_back(desk.entries, found.id), strips=rail)
    lines = [line for line in found.lines if line.deed.entry.at == at and not line.deed.is_first_reading]
    texts = tuple(deed_text(line.deed, found.id) for line in lines)
    made = any(line.deed.event == "made" for line in lines)
    return ShownDone(
        "Logged",
        clock,
        texts,
        told,
        tape=found.id if made else "",
        undo=any(line.undone_by is None for line in lines),
        strips=rail,
    )


def _rail(desk: Desk, identity: str, at: datetime) -> tuple[tuple[str, str], ...]:
    """What the lines of a moment mean for the strips on the rail."""
    places = [place for place, entry in enumerate(desk.entries) if entry.at == at]
    moved = rail_between(desk, desk.entries[: places[0]], desk.entries[: places[-1] + 1])
    return tuple(strip_rows(moved, identity))


def _is_of(entries: Sequence[LogEntry], found: BatchRecord) -> bool:
    key = batch_key(found.id)
    return any(key in (batch_key(entry.batch), *(batch_key(other) for other in entry.refers)) for entry in entries)
