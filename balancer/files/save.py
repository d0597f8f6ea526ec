"""Writing a whole file: it is either there in full, or as it was."""

from __future__ import annotations

import errno
import os
import stat
import tempfile
from collections.abc import Mapping
from contextlib import suppress
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


UNFINISHED: Final = ".unfinished"
"""The end of the name of a file while it is written: `.NAME.xxxxxxxx.unfinished` beside its place."""
_LEFT_S: Final = 600.0
"""After so long nobody is still writing it."""


def save(path: Path, content: bytes, *, remedy: str = "name another file") -> None:
    """Put a file in place of what is there, if anything: with its permissions, and behind a link if it is one.

    Raises CannotError when it cannot be written; a pipe or a device is not taken for a file.
    """
    try:
        target = Path(os.path.realpath(path))
        there = _there(target)
        if there and not os.access(target, os.W_OK):  # the folder would let it be replaced; its owner would not
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
        prefix = f".{target.name[:_LONGEST_PREFIX]}."
        descriptor, name = tempfile.mkstemp(UNFINISHED, prefix, target.parent)
        try:
            with os.fdopen(descriptor, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            if there:
                _give(name, there)
            Path(name).chmod(there.st_mode & 0o7777 if there else 0o666 & ~_umask())
            if there:
                _clear(target.parent, prefix, Path(name))
            Path(name).replace(target)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        raise unwritable(path, error, remedy) from None


def _clear(folder: Path, prefix: str, fresh: Path) -> None:
    """Take away what writing the same file left when it was killed; what is of now may be another's who writes it."""
    with suppress(OSError):
        now = fresh.stat().st_mtime  # the disk's own clock, whatever this machine's says
        for left in folder.iterdir():
            if left.name.startswith(prefix) and left.name.endswith(UNFINISHED) and now - left.stat().st_mtime > _LEFT_S:
                left.unlink(missing_ok=True)


def refuse_unwritable(path: Path, remedy: str = "name another file") -> None:
    """Raises CannotError where `save` could never put a file: a folder, a pipe, a device, a link in a circle."""
    try:
        _there(Path(os.path.realpath(path)))
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


def other_names(path: Path) -> int:
    """How many names more a file has (hard links). `save` parts them: what is replaced stays as it was under those.

    0 where it has none, is not there, or nobody can tell.
    """
    try:
        there = path.stat()
    except OSError:
        return 0
    return max(there.st_nlink - 1, 0) if stat.S_ISREG(there.st_mode) else 0


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


def append(path: Path, data: bytes) -> None:
    """One write at the end of a file, on the disk before this returns, under whatever names the file has.

    A line that broke off there ends first, so that it harms only itself.
    Raises OSError when it cannot be written; what was written of it is taken back.
    """
    existed = path.exists()
    descriptor = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o666)
    try:
        there = os.fstat(descriptor)
        if not stat.S_ISREG(there.st_mode):
            raise NotAFileError(there.st_mode)
        size = there.st_size
        if size and _last_byte(descriptor, size) != b"\n":
            data = b"\n" + data
        try:
            if os.write(descriptor, data) < len(data):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            os.fsync(descriptor)
            if not existed:
                _sync_folder(path.parent)
        except OSError:
            with suppress(OSError):  # a tail that stays is passed over when the log is read
                os.ftruncate(descriptor, size)
                if not existed:
                    path.unlink()
            raise
    finally:
        os.close(descriptor)


def _last_byte(descriptor: int, size: int) -> bytes:
    os.lseek(descriptor, size - 1, os.SEEK_SET)
    return os.read(descriptor, 1)


def _sync_folder(folder: Path) -> None:
    """Put the name of a new file on the disk, where a folder can be opened at all."""
    if os.name == "posix":
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


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
