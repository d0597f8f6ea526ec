"""One writer at a time in a bar's folder, and in those where the files that it writes really are."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from balancer.errors import CannotError
from balancer.files.house.base import PARTS
from balancer.files.lock import acquire
from balancer.files.log.batch_log import LOCK, LOCK_SECONDS
from balancer.files.reading import is_there

_CHECK = "see who may write the folder"


@contextmanager
def writing(folder: Path, files: Iterable[Path], *, remedy: str = _CHECK) -> Iterator[None]:
    """Hold the lock of a bar's folder, which is the log's: one lock for all that writes there.

    files  that are to be written: what links lead to is locked with the bar that it is of, as that bar locks it
    Raises CannotError when another holds one of them, or it cannot be made: then nothing was written.
    """
    with ExitStack() as held:
        for place in _places(folder, files):
            lock = place / LOCK
            try:
                held.enter_context(acquire(lock, "in this folder", LOCK_SECONDS))
            except (OSError, NotImplementedError) as error:
                reason = getattr(error, "strerror", None) or str(error)
                told = f'"{lock}" cannot be written: {reason}; nothing was changed'
                raise CannotError("unwritable", told, remedy) from None
        yield


def _places(folder: Path, files: Iterable[Path]) -> list[Path]:
    """The folders whose locks are held: always in one order, so that no two wait for each other."""
    found = {os.path.realpath(folder): folder}
    for file in files:
        place = _bar_of(Path(os.path.realpath(file)))
        found.setdefault(os.path.realpath(place), place)
    return [found[real] for real in sorted(found)]


def _bar_of(file: Path) -> Path:
    """The folder of the bar that a file is of; where it is of none, the folder that it is in."""
    near = (place for place in file.parents if any(is_there(place / part) for part in PARTS))
    return next(near, file.parent)
