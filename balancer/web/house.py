"""The bar's folder as the page sees it: read again when a file or the log has changed, and only then."""

from __future__ import annotations

import hashlib
from pathlib import Path
from threading import Lock
from typing import Any, NamedTuple

from balancer.asking.tonight import told_tonight
from balancer.desk.desk import Desk
from balancer.engine.service.tonight import Tonight
from balancer.files.house.base import Shelf, layers
from balancer.files.house.load import Loaded
from balancer.files.house.reads import what_is_read
from balancer.files.log.batch_log import FILE as LOG

Fingerprint = tuple[tuple[str, int, int, int, int], ...]


class Evening(NamedTuple):
    """A desk, and the night's answer at it."""

    desk: Desk
    tonight: Tonight


class OpenHouse:
    """One folder, asked by many at once."""

    def __init__(self, folder: Path, *, is_demo: bool = False) -> None:
        self.folder = folder
        self.is_demo = is_demo
        self.beside: tuple[Path, ...] = ()
        """Files of the page's own: open pages are told when one changes."""
        self._lock = Lock()
        self._seen: Fingerprint | None = None
        self._loaded: Loaded | None = None
        self._evening: tuple[object, Evening] | None = None

    def desk(self) -> Desk:
        """A desk for one question: the files as they are now. Raises BalancerError as a desk does."""
        return self._desk()[0]

    def _desk(self) -> tuple[Desk, Fingerprint]:
        with self._lock:
            seen = self.fingerprint()
            is_known = self._seen is not None and self._without_log(seen) == self._without_log(self._seen)
            loaded = self._loaded if is_known else None
            desk = Desk(self.folder, as_json=True, is_demo=self.is_demo, loaded=loaded)
            self._loaded, self._seen = desk.loaded, seen
            return desk, seen

    def evening(self) -> Evening:
        """The night's answer, worked out once for as long as nothing changes."""
        desk, seen = self._desk()
        with self._lock:
            key = (seen, desk.today, desk.at.replace(second=0, microsecond=0))
            if self._evening is None or self._evening[0] != key:
                self._evening = (key, Evening(desk, told_tonight(desk).result))
            return self._evening[1]

    @property
    def mark(self) -> str:
        """What stands for the files as they were last read; "" before."""
        return _mark(self._seen) if self._seen is not None else ""

    def look(self) -> str:
        """What stands for the files as they are now: another one as soon as any of them is, also after a restart."""
        return _mark(self.fingerprint())

    def fingerprint(self) -> Fingerprint:
        """What tells whether a file that is read is another one now: its name, size, number, and when it changed."""
        read = what_is_read(layers(self.folder, Shelf()))
        own = (found for path in (*self.beside, *read.files) if (found := _stat(path)))
        return tuple(sorted([*own, *((f"{told.path}: {told.code}", 0, 0, 0, 0) for told in read.problems)]))

    def _without_log(self, seen: Fingerprint) -> Fingerprint:
        """Of the files that a folder is loaded from: the log, which changes most, is read by each desk."""
        log = str(self.folder / LOG)
        return tuple(each for each in seen if each[0] != log)


def _mark(seen: Fingerprint) -> str:
    return hashlib.sha256(repr(seen).encode()).hexdigest()[:16]


def _stat(path: Path) -> tuple[str, int, int, int, int] | None:
    """What tells one state of a file from another; None where it is gone or out of reach."""
    try:
        found = path.stat()
    except OSError:
        return None
    # The time of the last change tells also who may read it now.
    return str(path), found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino


def sorted_by_name(things: dict[str, Any]) -> list[Any]:
    """Entries of the files in the order people look for them."""
    return sorted(things.values(), key=lambda thing: thing.name.casefold())
