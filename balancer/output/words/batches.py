"""Words that `batches` says on the screen and in JSON alike."""

from __future__ import annotations

from datetime import date
from typing import Final

from balancer.engine.batch.notes import BatchNow, Caution
from balancer.engine.batch.read_it import read_it
from balancer.models.batch import Batch
from balancer.models.days import day_text
from balancer.output.words.keeping import weaker_text
from balancer.output.words.numbers import brix, trim
from balancer.units import format_quantity

NO_BATCH: Final = "no batch is open or waiting"
LOG_ONE: Final = "balancer batch add SYRUP --brix 50 logs one"


def slip_text(batch_id: str, number: str = "") -> str:
    """How to take back what was just logged of a batch, whatever somebody else logs meanwhile.

    number  of its entry in `batch show`, after a space; the last one if left out
    """
    return f"a slip? balancer batch undo {batch_id}{number}"


def past_text(batch: Batch, today: date | None = None) -> str:
    """That an open batch is not poured any more."""
    last = f" ({day_text(batch.ends, today)})" if batch.ends else ""
    return f"the open batch {batch.id} is past its last day{last}: discard it"


def last_day_text(item: BatchNow, today: date) -> str:
    """Its last day of use, in words."""
    batch = item.batch
    if batch.discard is None:
        if item.source is None:
            return "unknown: the files do not know what it is"
        if item.kept and item.kept.lost:
            return "unknown: weaker than its standard, house rule decides"
        if item.source.keeps:
            return "unknown: the log does not say when it was made"
        return f"unknown: the file of {item.name} has no keeps"
    return day_text(batch.discard, today) + (", the day made being day 1" if batch.made else "")


def caution_text(note: Caution, item: BatchNow, today: date) -> str:
    """What to heed, as one remark."""
    batch = item.batch
    names = " and ".join(other.id for other in note.others)
    are = "are" if len(note.others) > 1 else "is"
    if note.kind == "past":
        return f"past its last day of use ({day_text(batch.ends, today) if batch.ends else ''}): discard it"
    if note.kind == "weaker" and item.kept:
        return "; ".join(weaker_text(item.kept))
    if note.kind == "beyond keeps":
        keeps = item.source.keeps if item.source else None
        return f"that is longer than the {trim(keeps or 0, 1)} days its file gives"
    if note.kind == "others past":
        return f"{names} {are} open and past the last day: balancer batch discard {note.others[0].id}"
    if note.kind == "also open":
        return f"{names} {are} open too: use one up first, then balancer batch empty {note.others[0].id}"
    if note.kind == "older waits":
        return f"{names} {are} older and not open yet: the oldest goes first"
    if note.kind == "unverified":
        return f"not read since it was corrected or combined; {read_it(item.source, batch.id)}"
    if note.kind == "part undated":
        return f"the last day of {names} is unknown; the other part's is taken"
    were = "were" if len(note.others) > 1 else "was"
    return f"{names} {were} in use: the mass counted is the one logged, not what was left"


def standing_strength(item: BatchNow) -> str:
    """The strength of a batch, and how far that is from its standard."""
    if item.batch.brix is None:
        return "unknown"
    text = brix(item.batch.brix) + ("" if item.batch.verified else " predicted, not read")
    if item.off_brix is None or item.standard_brix is None:
        return text
    standard = f"standard {trim(item.standard_brix, 1)}"
    off = trim(abs(item.off_brix), 1)
    if off == "0":
        return f"{text}, at {standard}"
    side = "above" if item.off_brix > 0 else "below"
    return f"{text}, {off} {side} {standard}" + (", within tolerance" if item.fit == "within" else "")


def standing_acid(item: BatchNow) -> str:
    """The acid of a batch of an ingredient, and what its specs count on."""
    acid = item.batch.acid
    if acid is None:
        return "not measured"
    spec = f", specs count on {format_quantity(item.spec_acid)}" if item.spec_acid else ""
    return f"{trim(acid.value, 1)} {acid.unit}{spec}"


def state_word(batch: Batch) -> str:
    """Whether it waits, is in use, or is gone."""
    return "not yet open" if batch.state == "made" else batch.state
