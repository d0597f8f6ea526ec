"""What everyone pours on a night."""

from __future__ import annotations

from datetime import date
from functools import partial

from balancer.asking.outcome import Outcome
from balancer.desk.desk import Desk
from balancer.engine.service.bottled import bottled
from balancer.engine.service.tonight import Tonight, tonight
from balancer.output.data.tonight import tonight_data


def told_tonight(desk: Desk, night: date | str | None = None) -> Outcome[Tonight]:
    """Every open batch against the menu: on a night, which may be typed, or on the working day that it is."""
    if not isinstance(night, date):
        night = desk.night(night)
    entries, batches = desk.until(night)
    result = tonight(desk.bar, batches, night, bottled(entries), entries)
    return Outcome(
        result,
        partial(tonight_data, result, desk.specs),
        about=None,
        touching=desk.loaded.broken_pouring(*(batch.liquid for batch in result.now.usable)),
    )
