"""`export log`: the values of a line, one for each of the columns in `models/log_columns`."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import Final

from balancer.engine.prep.log_table import LoggedLine
from balancer.units import Quantity

LogValue = str | float | int | bool | date | datetime | Sequence[str] | None
"""None is not known, or not said."""

_BY_VOLUME: Final = "g/l"
_BY_WEIGHT: Final = "g/kg"


def log_row(one: LoggedLine) -> tuple[LogValue, ...]:
    """The values of a line, in the order of the columns."""
    entry, batch = one.entry, one.batch
    making = batch if one.is_making else None
    return (
        one.line,
        entry.batch,
        entry.liquid,
        entry.event,
        entry.at,
        one.day,
        entry.brix,
        entry.uncertainty,
        _acid(entry.acid, _BY_VOLUME),
        _acid(entry.acid, _BY_WEIGHT),
        entry.cause,
        entry.mass,
        entry.made,
        entry.discard,
        entry.by,
        entry.refers or None,
        entry.only,
        entry.note,
        one.undone,
        batch.liquid if batch else None,
        one.standard_brix,
        one.tolerance_brix,
        one.first_brix,
        making.brix if making else None,
        making.state if making else None,
        making.cause if making else None,
    )


def _acid(acid: Quantity | None, unit: str) -> float | None:
    return acid.value if acid is not None and acid.unit == unit else None
