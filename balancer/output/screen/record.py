"""The record of a batch, and what was taken back of it, on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from balancer.engine.batch.notes import BatchNow
from balancer.engine.batch.record import BatchRecord, Deed, RecordLine
from balancer.output.words.numbers import brix, pad, width
from balancer.output.words.page import page, watch
from balancer.output.words.record import deed_text, moment_text, standing_text


def record_text(found: BatchRecord, item: BatchNow | None, name: str, today: date, *, restorable: bool) -> str:
    """The answer of `batch show`: the batch as it stands, then every line of the log about it, numbered.

    restorable  the last undo of it can still be brought back
    """
    whats = [deed_text(line.deed, found.id) for line in found.lines]
    columns = max((width(what) for what in whats), default=0)
    rows = [_row(line, pad(what, columns), today) for line, what in zip(found.lines, whats, strict=True)]
    first = _now(item) if item else f"{found.id} {name}: its making does not count, so it is not in the house"
    can_undo = any(line.undone_by is None for line in found.lines)
    take = f"balancer batch undo {found.id} N takes back number N" if can_undo else ""
    restore = f"balancer batch undo {found.id} --restore brings back what was undone last" if restorable else ""
    return page(first, rows, "; ".join([each for each in (take, restore) if each] or ["balancer batch list"]))


def undone_text(
    deeds: Sequence[Deed], items: Sequence[BatchNow], rail: Sequence[tuple[str, str]] = (), *, restored: bool
) -> str:
    """The answer of `batch undo`: what was taken back or brought back, then how each batch stands now.

    items  the batches it is about that are still in the log
    rail   what to do about strips on the rail, each with its label
    """
    what = ", ".join(dict.fromkeys(f"{deed.entry.batch} {deed_text(deed, deed.entry.batch)}" for deed in deeds))
    at = deeds[0].entry.at
    when = f" (logged {moment_text(at)})" if at else ""
    known = {item.batch.id for item in items}
    gone = dict.fromkeys(deed.entry.batch for deed in deeds if deed.event == "made" and deed.entry.batch not in known)
    rows = [f"now: {_now(item)}" for item in items]
    rows += [f"{batch} was never made, then: take its tape off; its number is not given again" for batch in gone]
    rows += [watch(f"{label}: {text}") for label, text in rail]
    again = "balancer batch undo takes it back" if restored else "again undoes the one before; --restore brings it back"
    batch = deeds[0].entry.batch
    first = f"{'restored' if restored else 'undone'}: {what}{when}"
    return page(first, rows, f"{again}; balancer batch show {batch} lists everything of it")


def _row(line: RecordLine, what: str, today: date) -> str:
    entry = line.deed.entry
    said = [f"{line.number:>2}  {what}  {moment_text(entry.at, today)}", *([entry.by] if entry.by else [])]
    said += [f'"{entry.note}"'] if entry.note else []
    aside = standing_text(line, today)
    return "  ".join(said) + (f"; {aside}" if aside else "")


def _now(item: BatchNow) -> str:
    """A batch as it stands, in one line."""
    batch = item.batch
    state = "not yet open" if batch.state == "made" else batch.state
    if batch.brix is not None:
        strength = brix(batch.brix) + ("" if batch.verified else " predicted, not read")
    elif batch.acid is not None:
        strength = f"acid {batch.acid}"
    else:
        strength = "not read"
    return f"{batch.id} {item.name} is {state}, {strength}"
