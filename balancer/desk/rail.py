"""What becomes of the strips on the rail when something is logged, for the command line and the page alike."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.desk.desk import Desk
from balancer.desk.logged import Logged
from balancer.engine.service.strips_moved import StripsMoved, strips_moved
from balancer.models.batch import LogEntry


def rail_after(desk: Desk, logged: Logged) -> StripsMoved:
    """The strips of the working day that what was logged ends, changes or calls for."""
    return strips_moved(desk.bar, desk.today, logged.earlier, logged.log)


def rail_between(desk: Desk, before: Sequence[LogEntry], after: Sequence[LogEntry]) -> StripsMoved:
    """The same between two states of the log."""
    return strips_moved(desk.bar, desk.today, before, after)
