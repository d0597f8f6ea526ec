"""Reading what a person put into a folder: never waiting at a pipe, and saying in kitchen words why not."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import Problem

_MB: Final = 1024 * 1024
SHORTER: Final = "give it a shorter name"
"""What to do about a file or a folder whose name is too long."""


class NotAFileError(OSError):
    """Something has a file's name and is a folder, a pipe, a socket or a device. strerror says which."""

    def __init__(self, mode: int) -> None:
        super().__init__(errno.EINVAL, f"it is {_kind(mode)}, not a file")


class SizeLimit(NamedTuple):
    """How large a kind of file may be, in bytes, and what to do about one that is larger."""

    most: int
    remedy: str

    def refuse(self, size: int) -> None:
        """Raises TooLargeError for more bytes than that."""
        if size > self.most:
            raise TooLargeError(size, self)


class TooLargeError(OSError):
    """A file is larger than its kind may be. strerror says both, remedy what to do."""

    def __init__(self, size: int, limit: SizeLimit) -> None:
        # Rounded up, so that no file is called as large as what is read.
        megabytes = f"{-(-size * 10 // _MB) / 10:g}"
        super().__init__(errno.EFBIG, f"it is {megabytes} MB, and at most {limit.most / _MB:g} MB are read")
        self.remedy = limit.remedy


def is_there(path: Path) -> bool:
    """Whether something has this name, be it only a link that leads nowhere, or cannot be looked at."""
    try:
        path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def read_bytes(path: Path, limit: SizeLimit) -> bytes:
    """The bytes of a file of a kind. A pipe is not opened: it would wait for somebody to write.

    Raises OSError, NotAFileError and TooLargeError among them.
    """
    mode = path.stat().st_mode
    if not stat.S_ISREG(mode):
        raise NotAFileError(mode)
    with path.open("rb") as file:
        limit.refuse(os.fstat(file.fileno()).st_size)
        raw = file.read(limit.most + 1)
    limit.refuse(len(raw))  # it may grow meanwhile, and some systems tell no size
    return raw


def refuse_large(path: Path, limit: SizeLimit) -> None:
    """Raises TooLargeError for a file that another program is to read, and OSError where nobody can tell its size."""
    limit.refuse(path.stat().st_size)


def unreadable(path: Path, error: OSError, what: str, *, message: str = "") -> Problem:
    """Why a file or folder cannot be read, and what to do.

    what     what it is called in the message, like "the file"
    message  what to say before that, if anything
    """
    start = f"{message}{what} cannot be read: "
    if os.path.islink(path) and error.errno in (errno.ENOENT, errno.ELOOP):
        nowhere = f'it is a link to "{_target(path)}", where nothing is'
        reason = nowhere if error.errno == errno.ENOENT else "it is a link that leads round in a circle"
        return Problem("link", start + reason, "mend the link, or delete it", str(path))
    reason, remedy = error.strerror or str(error), "check its permissions"
    if isinstance(error, TooLargeError):
        return Problem("too-large", start + reason, error.remedy, str(path))
    if isinstance(error, NotAFileError):
        remedy = "put the file in its place, or rename it"
    elif isinstance(error, NotADirectoryError):
        reason, remedy = "it is a file, not a folder", "put the folder in its place, or rename it"
    elif error.errno == errno.EIO:
        remedy = "copy it to another disk, or bring back a copy"
    return Problem("unreadable", start + reason, remedy, str(path))


def closed_to_us(error: PermissionError) -> Problem:
    """What was asked for lies in a folder that may not be entered, or may not be read or written itself."""
    path = os.fsdecode(error.filename) if isinstance(error.filename, str | bytes) else None
    remedy = "check the permissions of it and of the folders above it, or name another with --specs DIR"
    return Problem("unreadable", f"this is closed to you: {error.strerror}", remedy, path)


def too_long(error: OSError) -> Problem | None:
    """What was asked for has a longer name than a file or folder may have; None for another fault."""
    if error.errno != errno.ENAMETOOLONG:
        return None
    path = os.fsdecode(error.filename) if isinstance(error.filename, str | bytes) else None
    return Problem("unwritable", "this cannot be written or read: its name is too long", SHORTER, path)


def fault_of(error: OSError) -> Problem | None:
    """A fault of the system that a person can mend: a closed folder, a name too long. None for one of ours.

    What lies below a closed folder cannot even be asked for, and nothing at all from within a deleted one.
    """
    if isinstance(error, FileNotFoundError) and error.filename is None and _is_nowhere():
        return Problem("no-folder", "the folder that you are in was deleted", "go to another one: cd")
    return closed_to_us(error) if isinstance(error, PermissionError) else too_long(error)


def _is_nowhere() -> bool:
    try:
        os.getcwd()
    except FileNotFoundError:
        return True
    return False


def _target(path: Path) -> str:
    try:
        return os.fsdecode(os.readlink(path))
    except OSError:
        return "?"


def _kind(mode: int) -> str:
    kinds = ((stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))
    return next((word for is_kind, word in kinds if is_kind(mode)), "a device")
