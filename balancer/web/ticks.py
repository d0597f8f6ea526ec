"""What prep ticked today: kept on this machine, so that every device at the page sees it. A tick is not the log."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from threading import Lock
from typing import Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.lock import acquire
from balancer.files.reading import read_bytes
from balancer.files.save import save
from balancer.files.sizes import STATE
from balancer.web.keys import state_file

_WAIT_S: Final = 5.0
MOST: Final = 1000
"""So many ticks of a day are kept; no list is that long."""


class Tick(NamedTuple):
    """One: when, as HH:MM, and by whom; "" where nobody said."""

    clock: str
    by: str


class Ticks:
    """The ticks of a bar's folder, of one working day at a time."""

    def __init__(self, folder: Path) -> None:
        self.path = state_file("prep", folder)
        self._lock = Lock()

    def of(self, day: date) -> dict[str, Tick]:
        """The ticks of a day, by row."""
        try:
            found = json.loads(read_bytes(self.path, STATE))
            if found["day"] != day.isoformat():
                return {}
            return {str(row): Tick(str(clock), str(by)) for row, (clock, by) in found["ticks"].items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}  # none yet, or none that can be read: nobody ticked anything

    def tick(self, day: date, row: str, at: datetime, by: str | None, *, done: bool) -> None:
        """Tick a row, or take its tick away; those of other days are forgotten. Raises CannotError if it is not kept.

        done  which of the two: sent twice, it stays what it was made
        """
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
            with self._lock, acquire(self.path.with_suffix(".lock"), "ticks", _WAIT_S):
                known = self.of(day)
                if done:
                    known.setdefault(row, Tick(at.strftime("%H:%M"), by or ""))
                else:
                    known.pop(row, None)
                kept = dict([*known.items()][-MOST:])
                text = json.dumps({"day": day.isoformat(), "ticks": kept}, ensure_ascii=False)
                save(self.path, text.encode(), remedy="set XDG_STATE_HOME")
                with suppress(OSError):
                    self.path.chmod(0o600)
        except OSError as error:
            raise CannotError(
                "unwritable", f'"{self.path}" cannot be written: {error.strerror}', "set XDG_STATE_HOME"
            ) from None
