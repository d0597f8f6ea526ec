"""The entries that each thing done to a batch adds to the log.

Each function takes the log as it stands, checks that the thing can be done, and returns the entries to append.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from typing import NamedTuple

from balancer.engine.batch.history import (
    CLOSED,
    batch_key,
    batches,
    discard_date,
    night_of,
)
from balancer.engine.batch.ids import next_batch_id
from balancer.engine.batch.merged import is_twin
from balancer.engine.batch.mixture import combine
from balancer.engine.batch.now import is_past
from balancer.engine.batch.weight import mass_after
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.keeping import keeping
from balancer.errors import CannotError, UsageError
from balancer.models.batch import Batch, BatchState, LogEntry
from balancer.models.days import day_text
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup

Log = Sequence[LogEntry]


class Stamp(NamedTuple):
    """When something was logged, by whom, with what remark."""

    at: datetime
    by: str | None = None
    note: str | None = None


def add(
    log: Log,
    specs: Specs,
    draft: LogEntry,
    *,
    is_open: bool = False,
    replaces: str | None = None,
    reserved: Iterable[str] = (),
    device: str = "",
) -> list[LogEntry]:
    """A batch that was made. draft is its entry without an id; its last day of use is worked out when absent.

    is_open   whether it goes into use at once
    replaces  the open batch that is empty then, which opens this one too
    reserved  ids that may be on a bottle although no entry has them
    device    its letters, where several log apart
    Raises UsageError when the last day of use is before the day it was made, CannotError to open one that is past it.
    """
    source = specs.liquid(draft.liquid or "")
    _refuse_acid_of_syrup(specs, source.id, draft)
    made, discard = draft.made, draft.discard
    days = keeping(specs, source, draft.brix).days if isinstance(source, Syrup) else source.keeps
    if made and not discard and days:
        discard = discard_date(made, days)
    if made and discard and discard < made:
        raise UsageError(
            "dates",
            f"the last day of use ({day_text(discard, made)}) is before it was made ({day_text(made)})",
            "check both dates",
        )
    if (is_open or replaces) and discard and draft.at and discard < night_of(draft.at, specs.house.day_ends):
        raise CannotError(
            "past",
            f"its last day of use ({day_text(discard, made)}) is over",
            "discard it, or correct --made or --discard",
        )
    entry = replace(draft, batch=next_batch_id(log, source.name, reserved, device), event="made", discard=discard)
    if not is_open and replaces is None:
        return [entry]
    refers: tuple[str, ...] = ()
    if replaces is not None:
        replaced = find_batch(batches(log, specs), specs, replaces, ("open",))
        _refuse_closed(replaced)
        refers = (replaced.id,)
    return [entry, LogEntry(entry.batch, "open", entry.at, refers=refers, by=entry.by)]


def open_batch(log: Log, specs: Specs, batch: str, stamp: Stamp, replaces: str | None = None) -> list[LogEntry]:
    """A batch goes into use, in the place of another that is empty. Raises CannotError for one past its last day."""
    found, day = batches(log, specs), night_of(stamp.at, specs.house.day_ends)
    replaced = find_batch(found, specs, replaces, ("open",)) if replaces is not None else None
    opened = find_batch(found, specs, batch, ("made",), day)
    if opened.state == "open":
        raise CannotError("open", f"{opened.id} is open already", "nothing to do")
    _refuse_closed(opened)
    refuse_past(opened, day)
    if replaced is not None:
        _refuse_closed(replaced)
        if replaced.id == opened.id:
            raise CannotError("open", f"{opened.id} cannot replace itself", "name the batch that is empty")
    refers = (replaced.id,) if replaced else ()
    return [LogEntry(opened.id, "open", stamp.at, refers=refers, by=stamp.by, note=stamp.note)]


def empty(log: Log, specs: Specs, batch: str, stamp: Stamp) -> list[LogEntry]:
    """A batch is used up."""
    found = find_batch(batches(log, specs), specs, batch, ("open",))
    _refuse_closed(found)
    return [LogEntry(found.id, "empty", stamp.at, by=stamp.by, note=stamp.note)]


def discard(log: Log, specs: Specs, batch: str, stamp: Stamp) -> list[LogEntry]:
    """A batch is discarded."""
    found = find_batch(batches(log, specs), specs, batch, ("made", "open"))
    _refuse_closed(found)
    return [LogEntry(found.id, "discard", stamp.at, by=stamp.by, note=stamp.note)]


def correct(
    log: Log,
    bar: Bar,
    batch: str,
    stamp: Stamp,
    *,
    brix: float | None = None,
    mass: float | None = None,
    additive_brix: float | None = None,
) -> list[LogEntry]:
    """A batch was brought to a strength; only weighed again when a mass and no strength is given.

    brix           predicted strength, °Bx; standard when neither is given
    mass           what it weighs now, g; None to reckon it from what it weighed, where that is known
    additive_brix  strength of what was added; None for water or dry sugar, whichever it needed
    Raises CannotError when neither is given and nothing tells the standard, for a batch past its last day, and when
    what is said to have been added cannot have done it.
    """
    day = night_of(stamp.at, bar.specs.house.day_ends)
    found = find_batch(batches(log, bar.specs), bar.specs, batch, ("made", "open"), day)
    _refuse_closed(found)
    refuse_past(found, day)
    if brix is None and mass is None:
        if found.liquid not in bar.specs.syrups:
            raise CannotError("standard", f"nothing tells the standard of {found.id}", "give its strength: --brix 50")
        brix = bar.standard(found.liquid)
    if mass is None and brix is not None:
        after = mass_after(found, brix, additive_brix)
        mass = round(after.mass_g, 1) if after else None
    return [LogEntry(found.id, "correct", stamp.at, brix=brix, mass=mass, by=stamp.by, note=stamp.note)]


def reading(log: Log, specs: Specs, batch: str, measured: LogEntry) -> list[LogEntry]:
    """A batch was read. measured holds the reading; its id and event are filled in."""
    day = night_of(measured.at, specs.house.day_ends) if measured.at else None
    found = find_batch(batches(log, specs), specs, batch, ("made", "open"), day)
    _refuse_closed(found)
    _refuse_acid_of_syrup(specs, found.liquid, measured)
    return [replace(measured, batch=found.id, event="reading")]


def combined(
    log: Log,
    specs: Specs,
    first: str,
    second: str,
    stamp: Stamp,
    reserved: Iterable[str] = (),
    device: str = "",
) -> list[LogEntry]:
    """Two batches poured together into a new one; both are empty then. Open when either was.

    Raises CannotError as `combine` does, and for a part past its last day: it would spoil the other.
    """
    found, day = batches(log, specs), night_of(stamp.at, specs.house.day_ends)
    parts = [find_batch(found, specs, text, ("made", "open"), day) for text in (first, second)]
    for part in parts:
        _refuse_closed(part)
        refuse_past(part, day)
    mixture = combine(*parts, name_of=specs.name_of)
    liquid = parts[0].liquid
    entry = LogEntry(
        next_batch_id(log, specs.name_of(liquid), reserved, device),
        "made",
        stamp.at,
        liquid=liquid,
        brix=mixture.brix,
        uncertainty=mixture.uncertainty,
        cause=mixture.cause,
        mass=mixture.mass,
        made=mixture.made,
        discard=mixture.discard,
        by=stamp.by,
        refers=tuple(part.id for part in parts),
        note=stamp.note,
        acid=mixture.acid,
    )
    in_use = any(part.state == "open" for part in parts)
    return [entry, *([LogEntry(entry.batch, "open", stamp.at, by=stamp.by)] if in_use else [])]


def find_batch(
    known: Iterable[Batch],
    specs: Specs,
    text: str,
    states: tuple[BatchState, ...] = ("made", "open"),
    day: date | None = None,
) -> Batch:
    """The batch that a person means: by its id, however spelt, or by its syrup when only one is in those states.

    day  the working day, where the batch is to be used: one past its last day is neither meant by a syrup, where
         another is, nor offered
    Raises UsageError when nothing or several answer to it, or two batches have its id.
    """
    listed = list(known)
    found = _found_batch(listed, specs, text, states, day)
    if is_twin(found.id, {batch.id for batch in listed}):
        told = f"{found.id} is one of two batches with one id, since two logs were merged"
        raise UsageError(
            "ambiguous-batch", told, "give one of them another number first, in the lines of: balancer check"
        )
    return found


def _found_batch(
    listed: Sequence[Batch], specs: Specs, text: str, states: tuple[BatchState, ...], day: date | None
) -> Batch:
    """The batch that a person means, as `find_batch`, whether or not another has its id."""
    wanted = batch_key(text.strip())
    if not wanted:
        raise UsageError("unknown-batch", "no batch is named", "give the id on its tape")
    same = batch_of_id(listed, text)
    if same is not None:
        return same
    liquids = specs.liquid_names.find(text)
    # An ingredient's own name may begin a syrup's: "ginger" means ginger syrup where that is what was made.
    of_syrup = [batch for batch in listed if batch.liquid in liquids or batch.liquid.startswith(wanted)]
    meant = [batch for batch in of_syrup if batch.state in states]
    meant = [batch for batch in meant if day is None or not is_past(batch, day)] or meant
    if len(meant) == 1:
        return meant[0]
    if meant:
        raise UsageError("ambiguous-batch", f'"{text}" may be {_some(meant)}', "say which one by the id on its tape")
    words = {"made": "waits to be opened", "open": "is open"}
    if of_syrup:
        wanted_state = " or ".join(words[state] for state in states)
        raise UsageError("no-batch", f'no batch of "{text}" {wanted_state}', "see: balancer batch list --all")
    in_house = _usable(listed, day)
    remedy = f"in the house: {_some(in_house)}" if in_house else "log one with: balancer batch add SYRUP --brix 50"
    raise UsageError("unknown-batch", f'no batch is called "{text}"', remedy)


def batch_of_id(known: Sequence[Batch], text: str) -> Batch | None:
    """The batch whose id a person means, however spelt; None when it is no batch's or may be several."""
    for spelling in (batch_key, _letters_and_digits):
        same = [batch for batch in known if spelling(batch.id) == spelling(text)]
        if len(same) == 1:
            return same[0]
    return None


def batch_in_house(known: Iterable[Batch], specs: Specs, text: str, day: date | None = None) -> Batch:
    """The batch that a person means, to be used: it must not be used up or discarded.

    day  as in `find_batch`
    Raises UsageError as `find_batch` does, CannotError when the batch is closed.
    """
    listed = list(known)
    found = find_batch(listed, specs, text, day=day)
    if found.state in CLOSED:
        in_house = _usable(listed, day)
        remedy = f"in the house: {_some(in_house)}" if in_house else "log the one you mean: balancer batch add SYRUP"
        raise CannotError("batch-closed", f"{found.id} is {found.state}", remedy)
    return found


def refuse_past(batch: Batch, today: date) -> None:
    """Raise CannotError for a batch past its last day of use: nothing brings it back."""
    if is_past(batch, today) and batch.ends is not None:
        raise CannotError(
            "past",
            f"{batch.id} is past its last day of use ({day_text(batch.ends, today)})",
            "discard it: balancer batch discard " + batch.id,
        )


def _refuse_closed(batch: Batch) -> None:
    if batch.state in CLOSED:
        raise CannotError(
            "closed",
            f"{batch.id} is {batch.state}",
            f"if that was a slip, take it back: balancer batch undo {batch.id}",
        )


def _refuse_acid_of_syrup(specs: Specs, liquid: str, entry: LogEntry) -> None:
    if entry.acid is not None and liquid in specs.syrups:
        raise UsageError("acid", "only an ingredient's acid is logged", "a syrup's acid stands in its file")


def _usable(listed: Iterable[Batch], day: date | None) -> list[Batch]:
    """The batches in the house, without those past their last day where a day is given."""
    return [batch for batch in listed if batch.state not in CLOSED and not (day and is_past(batch, day))]


def _letters_and_digits(text: str) -> str:
    return batch_key(text).replace("-", "")


def _some(listed: list[Batch]) -> str:
    shown = ", ".join(batch.id for batch in listed[:6])
    return f"{shown} and {len(listed) - 6} more" if len(listed) > 6 else shown
