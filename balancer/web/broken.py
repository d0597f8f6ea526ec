"""What a page says where what it is about has a file that did not load: that, and who tells more."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from balancer.desk.desk import Desk
from balancer.errors import Problem, ProblemsError
from balancer.models.names import slug

_MOST: Final = 3
_CHECK: Final = "mend it in the file; balancer check tells every problem"


def broken_file(desk: Desk, kinds: Iterable[str], identity: str) -> tuple[Problem, ...]:
    """What is wrong with the file of something, by its id; empty where no file has it, broken or not.

    Where files could not be read at all, it may be in one of them.
    """
    loaded, wanted = desk.loaded, slug(identity)
    for entry in (each for kind in kinds for each in loaded.broken_of(kind)):
        if entry.id in (identity, wanted):
            faults = [fault for fault in entry.problems if not fault.is_doubt] or list(entry.problems)
            rows = [f"the file of {entry.name or entry.id} has a problem: {_told(fault)}" for fault in faults[:_MOST]]
            return tuple(Problem("broken", row, _CHECK) for row in rows or [f"the file of {entry.id} did not load"])
    called = [one for one in loaded.problems if one.path and slug(Path(one.path).stem) == wanted and not one.is_doubt]
    if called:  # nothing of it could be read, not even its name
        return tuple(Problem("broken", f"its file has a problem: {_told(one)}", _CHECK) for one in called[:_MOST])
    rows = [f"it may be in a file that cannot be read: {_told(fault)}" for fault in loaded.missing[:_MOST]]
    return tuple(Problem("broken", row, _CHECK) for row in rows)


def refuse_broken(desk: Desk, kinds: Iterable[str], identity: str) -> None:
    """Raise ProblemsError where something has a file, and that did not load."""
    found = broken_file(desk, kinds, identity)
    if found:
        raise ProblemsError(found)


def _told(fault: Problem) -> str:
    place = ":".join(str(part) for part in (fault.path, fault.line) if part is not None)
    return f"{place}: {fault.message}" if place else fault.message
