"""Keeping others from writing meanwhile: a lock beside the file that is really written, and on that file itself."""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from typing import Final

from balancer.errors import CannotError

try:
    import fcntl
except ImportError:  # Windows, where a file has a second name only if somebody makes one on purpose
    fcntl = None  # type: ignore[assignment]

_WAIT_S: Final = 0.01
_HELD: Final = (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES)


def lock_of(file: Path, name: str) -> Path:
    """The lock of a file, of a name: beside where the file really is, so that all who link to it share one."""
    real = Path(os.path.realpath(file)) if os.path.islink(file) else file
    return (real if real.parent.is_dir() else file).parent / name


def acquire(lock: Path, what: str, seconds: float) -> AbstractContextManager[object]:
    """The lock on a file of its own, held until the context ends: it is never replaced, so everybody locks the same.

    Raises CannotError when another holds it for so many seconds, OSError or NotImplementedError where it cannot be.
    """
    from filelock import FileLock, Timeout  # noqa: PLC0415 - 60 ms that reading does not need

    try:
        return FileLock(str(lock)).acquire(timeout=seconds, poll_interval=0.01)
    except Timeout:
        raise CannotError(*_busy(lock, what, seconds)) from None


@contextmanager
def by_itself(file: Path, what: str, seconds: float) -> Iterator[None]:
    """Hold what a file itself is, under whatever names: two that are no links to each other have each a lock beside it.

    A file that is not there has one name at most, and a disk that locks no files is worked on without.
    Raises CannotError when another holds it for so many seconds.
    """
    descriptor = _held(file, what, seconds)
    try:
        yield
    finally:
        if descriptor is not None:
            os.close(descriptor)


def _held(file: Path, what: str, seconds: float) -> int | None:
    """A descriptor that holds the file; None where there is nothing to hold, or no way to."""
    end = time.monotonic() + seconds
    while fcntl is not None and os.path.isfile(file):
        try:
            descriptor = os.open(file, os.O_RDWR)  # some shared disks lock only what may be written
        except OSError:
            return None  # whoever writes it says so
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            if os.path.isfile(file) and os.path.samestat(os.fstat(descriptor), file.stat()):
                return descriptor
        except OSError as error:
            if error.errno not in _HELD:
                os.close(descriptor)
                return None
            if time.monotonic() >= end:
                os.close(descriptor)
                raise CannotError(*_busy(file, what, seconds)) from None
            time.sleep(_WAIT_S)
        os.close(descriptor)  # held by another, or replaced meanwhile, as git does
    return None


def _busy(lock: Path, what: str, seconds: float) -> tuple[str, str, str]:
    return (
        "log-busy",
        f"another command has been writing {what} for {seconds:g} s",
        f"try again; if none runs, see which program holds {lock}",
    )
