"""What was logged of a batch, in words."""

from __future__ import annotations

from datetime import date, datetime

from balancer.engine.batch.history import batch_key
from balancer.engine.batch.record import Deed, RecordLine
from balancer.engine.batch.undoing import DONE, BuiltOn
from balancer.models.days import day_text
from balancer.output.words.numbers import brix, trim


def deed_text(deed: Deed, batch: str) -> str:
    """What one line of the log did, as the record of a batch tells it."""
    entry = deed.entry
    if batch_key(entry.batch) != batch_key(batch):
        return f"used up: {entry.batch} opened in its place" if entry.event == "open" else f"went into {entry.batch}"
    if deed.is_first_reading:
        return f"{_read(deed)} when made"
    if entry.event == "made" and entry.refers:
        said = [f"mixed of {' and '.join(entry.refers)}", *([brix(entry.brix)] if entry.brix is not None else [])]
    elif entry.event == "open" and entry.refers:
        said = [f"opened in place of {' and '.join(entry.refers)}"]
    elif entry.event == "reading":
        said = [_read(deed)]
    elif entry.event == "correct" and entry.brix is None and entry.mass is not None:
        said = ["weighed"]
    elif entry.event == "correct" and entry.brix is not None:
        said = [f"corrected to {brix(entry.brix)}"]
    else:
        said = ["made" if entry.event == "made" else DONE[entry.event]]
    return ", ".join([*said, *([f"{trim(entry.mass, 0)} g"] if entry.mass is not None else [])])


def _read(deed: Deed) -> str:
    entry = deed.entry
    said = [f"read {brix(entry.brix)}"] if entry.brix is not None else []
    said += [f"acid {trim(entry.acid.value, 1)} {entry.acid.unit}"] if entry.acid else []
    return ", ".join(said) or "noted"


def moment_text(at: datetime | None, today: date | None = None) -> str:
    """When something was logged."""
    return f"{day_text(at.date(), today)}, {at:%H:%M}" if at else "time unknown"


def standing_text(line: RecordLine, today: date) -> str:
    """Why a line does not count; empty when it does."""
    undo = line.undone_by
    if undo is not None:
        who = f" by {undo.by}" if undo.by else ""
        why = f", {undo.note}" if undo.note else ""
        return f"undone {moment_text(undo.at, today)}{who}{why}"
    return f"counts for nothing: {line.why}" if line.why else ""


def built_on_question(since: BuiltOn) -> str:
    """What is asked before a making is taken back with everything since."""
    batch = since.own[0].batch
    done = " and ".join(dict.fromkeys(DONE[entry.event] for entry in since.own))
    return f"{batch} was {done} since it was made. Take all of {batch} back?"
