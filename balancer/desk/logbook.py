"""What is written into the batch log, from the command line and from the page alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from balancer.desk.desk import Desk
from balancer.desk.logged import Logged, batch_called
from balancer.engine.batch.events import add, reading
from balancer.engine.batch.history import batches
from balancer.engine.prep.measure import Judged, log_draft
from balancer.engine.prep.tub import Tub, tub_of
from balancer.errors import UsageError
from balancer.models.batch import Batch, Cause, LogEntry


def made_on(desk: Desk, text: str | None, option: str) -> date:
    """The day that something was made, today where nobody said. Raises UsageError for none, and one to come."""
    day = desk.day(text, option, "past") if text else desk.today
    if day > desk.at.date():
        raise UsageError("usage", f"{option}: {day} is still to come", "give the day it was made")
    return day


def log_made(desk: Desk, draft: LogEntry, *, is_open: bool = False, replaces: str | None = None) -> Logged:
    """A batch that was made, as `events.add`: with an id that no tape has."""
    return desk.log(
        lambda log: add(
            log,
            desk.specs,
            draft,
            is_open=is_open,
            replaces=replaces,
            reserved=desk.lost_ids,
            device=desk.device,
        )
    )


def log_measured(
    desk: Desk, judged: Judged, syrup_id: str, batch: Batch | None, *, by: str | None = None, cause: Cause | None = None
) -> Logged:
    """A strength from the refractometer: of its batch, or of a new batch of the syrup made today.

    Raises CannotError as `log_draft` does.
    """
    draft = log_draft(judged, desk.stamp(by), cause)
    return desk.log(lambda log: _measured(desk, log, draft, syrup_id, batch))


def measured_tub(desk: Desk, judged: Judged, syrup_id: str, batch: Batch | None) -> Tub | None:
    """What there is to correct once a strength is logged; nothing is logged for it. Raises as `log_measured` does."""
    draft = log_draft(judged, desk.stamp(), None)
    entries = _measured(desk, desk.entries, draft, syrup_id, batch)
    return tub_of(batch_called(batches([*desk.entries, *entries], desk.specs), entries[0].batch))


def _measured(
    desk: Desk, log: Sequence[LogEntry], draft: LogEntry, syrup_id: str, batch: Batch | None
) -> list[LogEntry]:
    if batch is not None:
        return reading(log, desk.specs, batch.id, draft)
    made = replace(draft, liquid=syrup_id, made=desk.today)
    return add(log, desk.specs, made, reserved=desk.lost_ids, device=desk.device)
