"""Whether a batch was read just now by somebody else, and as something else: the last one logged would count."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import Final

from balancer.engine.batch.notes import CONFIRMED_WITHIN_BRIX
from balancer.engine.batch.record import BatchRecord

LATELY: Final = timedelta(hours=3)
"""A bottle moves little in so long; a judgement of this house: within one service nobody reads it anew unknowingly."""

_ROUNDING: Final = 1e-9


def read_lately(found: BatchRecord, brix: float, at: datetime, by: str | None) -> str | None:
    """What to ask before a reading is logged that is another than the one just logged, or None.

    found  the batch's record; by: who logs now: nobody is asked about a reading of their own
    """
    if found.batch is None or not found.batch.verified:
        return None
    read = [line.deed.entry for line in found.lines if line.standing == "counts" and line.deed.event == "reading"]
    last = next((entry for entry in reversed(read) if entry.brix is not None), None)
    if last is None or last.brix is None or last.at is None or (by is not None and last.by == by):
        return None
    if not timedelta(0) <= at - last.at <= LATELY or abs(brix - last.brix) <= CONFIRMED_WITHIN_BRIX + _ROUNDING:
        return None
    return f"{found.id} was read {round(last.brix, 1):g} at {last.at:%H:%M}: still log {round(brix, 1):g}?"
