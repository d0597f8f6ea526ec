"""Writing a whole file: it is either there in full, or as it was; and keeping others from writing meanwhile."""

from __future__ import annotations

import errno
import os
import stat
import tempfile
from collections.abc import Mapping
from contextlib import AbstractContextManager, suppress
from pathlib import Path
from typing import Final

from balancer.errors import CannotError
from balancer.files.reading import NotAFileError

_REASONS: Final = {
    errno.ELOOP: "it is a link that leads round in a circle",
    errno.ENAMETOOLONG: "its name is too long",
}
_LONGEST_PREFIX: Final = 40
"""Letters of a file's name in that of the unfinished one: all together must be no longer than a name may be."""


def save(path: Path, content: bytes, *, remedy: str = "name another file") -> None:
    """Put a file in place of what is there, if anything: with its permissions, and behind a link if it is one.

    Raises CannotError when it cannot be written; a pipe or a device is not taken for a file.
    """
    try:
        target = Path(os.path.realpath(path))
        there = _there(target)
        if there and not os.access(target, os.W_OK):  # the folder would let it be replaced; its owner would not
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        descriptor, name = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name[:_LONGEST_PREFIX]}.")
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            if there:
                _give(name, there)
            Path(name).chmod(there.st_mode & 0o7777 if there else 0o666 & ~_umask())
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise unwritable(path, error, remedy) from None


def unwritable(path: Path, error: OSError, remedy: str = "name another file") -> CannotError:
    """Why a file cannot be written, in kitchen words where there are some."""
    reason = _REASONS.get(error.errno or 0, error.strerror)
    return CannotError("unwritable", f'"{path}" cannot be written: {reason}', remedy)


def _there(target: Path) -> os.stat_result | None:
    """The file that is there, or None. Raises OSError when something else is, or nobody can tell."""
    try:
        there = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(there.st_mode):
        raise NotAFileError(there.st_mode)
    return there


def save_new(files: Mapping[Path, bytes], *, code: str, again: str) -> None:
    """Write files that are not there yet, with the folders they need: all of them, or none.

    code   of the problem when one of them is there by now
    again  what to do then
    Raises CannotError; what was written before is taken away again.
    """
    written: list[Path] = []
    made: list[Path] = []
    try:
        for path, content in files.items():
            _make_folder(path.parent, made)
            if os.path.exists(path):  # unlike Path.exists, it raises nothing for a name that is too long
                raise CannotError(code, f'"{path}" is there by now', again)
            save(path, content, remedy="nothing was written; make room, or check the folder's permissions")
            written.append(path)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        for folder in reversed(made):
            with suppress(OSError):
                folder.rmdir()
        raise


def _make_folder(folder: Path, made: list[Path]) -> None:
    try:
        if not folder.is_dir():
            folder.mkdir()
            made.append(folder)
    except OSError as error:
        raise CannotError("unwritable", f'"{folder}" cannot be made: {error.strerror}', "check the folder") from None


def acquire(lock: Path, what: str, seconds: float) -> AbstractContextManager[object]:
    """The lock on a file of its own, held until the context ends: it is never replaced, so everybody locks the same.

    Raises CannotError when another holds it for so many seconds, OSError or NotImplementedError where it cannot be.
    """
    from filelock import FileLock, Timeout  # noqa: PLC0415 - 60 ms that reading does not need

    try:
        return FileLock(str(lock)).acquire(timeout=seconds, poll_interval=0.01)
    except Timeout:
        raise CannotError(
            "log-busy",
            f"another command has been writing {what} for {seconds:g} s",
            f"try again; if none runs, see which program holds {lock}",
        ) from None


def _give(name: str, there: os.stat_result) -> None:
    """Let a new file belong to whom the old one did, as far as that may be done: a shared folder stays shared."""
    if hasattr(os, "chown"):
        for owner in (there.st_uid, -1):
            with suppress(OSError):
                os.chown(name, owner, there.st_gid)
                return


def _umask() -> int:
    mask = os.umask(0o022)
    os.umask(mask)
    return mask
