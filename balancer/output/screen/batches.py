"""`batches` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Literal

from balancer.engine.batch.notes import BatchNow, Caution
from balancer.engine.batch.read_it import read_it
from balancer.engine.batch.weight import MassAfter
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX
from balancer.models.batch import Batch
from balancer.models.days import day_text
from balancer.output.words.batches import (
    LOG_ONE,
    NO_BATCH,
    caution_text,
    last_day_text,
    slip_text,
    standing_acid,
    standing_strength,
    state_word,
)
from balancer.output.words.numbers import brix, count, pad, trim, width
from balancer.output.words.page import ROWS, Labelled, act, allergen_notes, labelled, page, watch
from balancer.output.words.safety import MORE

Change = Literal["corrected", "weighed", "read"]


_RULES = f"local food rules decide how long it keeps: {MORE}"


def added_text(
    item: BatchNow,
    notes: Sequence[Caution],
    today: date,
    filled: str | None = None,
    heed: str = "",
    rail: Sequence[tuple[str, str]] = (),
) -> str:
    """The answer of `batch add` and `batch combine`.

    filled  the volume that its mass was reckoned from
    heed    what the cards of the drinks that it goes into do not tell
    rail    what to do about strips on the rail, each with its label
    """
    batch = item.batch
    known = [] if item.source is None else allergen_notes(item.source)
    said = ", ".join([item.name, *known, *(["open"] if batch.state == "open" else [])])
    first = f"{batch.id}: write it on the tape ({said})"
    at = brix(batch.brix) if batch.brix is not None else "standard, as it is not read"
    aside = f", from {filled} at {at if item.standard_brix is not None else '20 °C'}" if filled else ""
    return _told(
        first, item, notes, today, slip=slip_text(batch.id, " 1"), weighs=aside, heed=heed, rail=rail
    )  # the whole command: a batch may be opened at once


def state_text(
    item: BatchNow,
    notes: Sequence[Caution],
    today: date,
    replaced: Sequence[Batch] = (),
    *,
    as_written: bool = False,
    heed: str = "",
    rail: Sequence[tuple[str, str]] = (),
) -> str:
    """The answer of the commands that change a batch's state.

    rail        what to do about strips on the rail, each with its label
    as_written  every drink that pours it stays so
    heed        what the cards of the drinks that it goes into do not tell
    """
    also = "".join(f"; {batch.id} is {batch.state}" for batch in replaced)
    first = f"{item.batch.id} {item.name} is {state_word(item.batch)}{also}"
    if item.batch.state in ("empty", "discarded"):
        rows: list[str] = [*_rail_rows(rail), *(caution_text(note, item, today) for note in notes)]
        return page(first, rows, f"balancer batch list; {slip_text(item.batch.id)}")
    return _told(first, item, notes, today, as_written=as_written, heed=heed, rail=rail)


def strength_text(
    item: BatchNow,
    notes: Sequence[Caution],
    today: date,
    *,
    done: Change,
    after: MassAfter | None = None,
    rail: Sequence[tuple[str, str]] = (),
) -> str:
    """The answer of `batch correct` and `batch reading`.

    after  how the mass of a corrected batch was reckoned; None where it was weighed or is not known
    rail   what to do about strips on the rail, each with its label
    """
    strength = brix(item.batch.brix) if item.batch.brix is not None else "strength unknown"
    if done == "corrected":
        said = f"is corrected, {strength} until it is read again"
    elif done == "weighed":
        said = f"is weighed, {strength} as before"
    else:
        said = f"reads {strength}" if item.batch.brix is not None else "is read"
    more = []
    if done == "corrected":
        more = [_mass_row(item.batch, after)]
    return _told(f"{item.batch.id} {item.name} {said}", item, notes, today, more, rail=rail)


def _rail_rows(rail: Sequence[tuple[str, str]]) -> list[Labelled]:
    return [watch(labelled(label, text)) for label, text in rail]


def _mass_row(batch: Batch, after: MassAfter | None) -> Labelled:
    """What a corrected batch weighs, and how that is known."""
    if batch.mass is None:
        return labelled("weighs", f"not known: weigh it, then balancer batch correct {batch.id} --mass …")
    if after is None:
        return labelled("weighs", f"{trim(batch.mass, 0)} g")
    what = {WATER_BRIX: "water", DRY_SUGAR_BRIX: "sugar"}.get(after.additive_brix, f"at {brix(after.additive_brix)}")
    summed = f"{trim(batch.mass, 0)} g: {trim(after.before_g, 0)} g and {trim(after.added_g, 0)} g {what}"
    return labelled("weighs", summed + (", as if none was poured since" if after.as_logged else ""))


def list_text(shown: Sequence[BatchNow], today: date, *, others: int) -> str:
    """The answer of `batch list`. others is the number of closed batches that are not shown."""
    open_ones = sum(item.batch.state == "open" for item in shown)
    waiting = sum(item.batch.state == "made" for item in shown)
    closed = len(shown) - open_ones - waiting
    if not shown:
        first = NO_BATCH
    else:
        first = f"{open_ones} open, {waiting} not yet open" + (f", {closed} closed" if closed else "")
    columns = min(max((width(item.name) for item in shown), default=0), 24)
    tags = max((width(item.batch.id) for item in shown), default=0)
    rows = [_row(item, columns, tags, today) for item in shown]
    more = [f"--all shows {count(others, 'closed batches')} too"] if others else []
    more += [] if shown else [LOG_ONE]
    return page(first, rows, "; ".join(more or ["balancer tonight"]))


def _told(
    first: str,
    item: BatchNow,
    notes: Sequence[Caution],
    today: date,
    more: Sequence[Labelled] = (),
    slip: str | None = None,
    weighs: str = "",
    *,
    as_written: bool = False,
    heed: str = "",
    rail: Sequence[tuple[str, str]] = (),
) -> str:
    batch = item.batch
    rows: list[str] = [act(labelled("heed", heed))] if heed else []
    rows += [labelled("strength", standing_strength(item))] if item.spec_acid is None or batch.brix is not None else []
    if batch.acid:
        rows.append(labelled("acid", standing_acid(item)))
    made = day_text(batch.made, today) if batch.made else "unknown"
    rows.append(labelled("made", made + (f" by {batch.by}" if batch.by else "")))
    rows.append(labelled("last day of use", last_day_text(item, today)))
    # What was predicted says so in its own row already.
    heeds = [
        (act if note.kind == "past" else watch)(labelled("heed", caution_text(note, item, today)))
        for note in notes
        if note.kind != "unverified"
    ]
    is_told = any(row.startswith("weighs") for row in more)
    if batch.mass is not None and not is_told and len(rows) + len(heeds) + len(more) + len(rail) + 2 <= ROWS:
        rows.append(labelled("weighs" if weighs else "weighed", f"{trim(batch.mass, 0)} g{weighs}"))
    rows += [*more, *_rail_rows(rail), *heeds]
    rows += [labelled("caution", "; ".join(item.cautions))] if item.cautions else []
    rows.append(labelled("next", _next(item, as_written=as_written)))
    return page(first, rows, f"{slip or slip_text(batch.id)}; {_RULES}")


def _next(item: BatchNow, *, as_written: bool = False) -> str:
    batch = item.batch
    if item.past:
        return f"balancer batch discard {batch.id}"
    if item.fit == "implausible":
        return read_it(item.source, batch.id, "stir, read")
    if item.standard_brix is not None and batch.brix is None:
        return read_it(item.source, batch.id)
    if item.standard_brix is not None and not batch.verified:
        return read_it(item.source, batch.id, "stir, read")
    if batch.state == "open":
        return "pour it: every drink as written" if as_written else "balancer tonight has the pours"
    if item.fit == "off":
        return f"balancer correct --batch {batch.id}"
    return f"when it goes into use: balancer batch open {batch.id}"


def _row(item: BatchNow, columns: int, tags: int, today: date) -> str:
    batch = item.batch
    if batch.brix is not None:
        strength = brix(batch.brix) + ("" if batch.verified else "?")
    else:
        strength = f"{trim(batch.acid.value, 1)} {batch.acid.unit}" if batch.acid else "not read"
    last = f"to {day_text(batch.discard, today)}" if batch.discard else "last day unknown"
    late = ", past: discard it" if item.past and batch.state in ("made", "open") else ""
    state = pad(state_word(batch), 12)
    row = f"{pad(batch.id, tags)}  {pad(item.name, columns)}  {pad(strength, 9)}  {state}  {last}{late}"
    return act(row) if late else row
