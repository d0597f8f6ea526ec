"""A table parted by house and month into folders whose names say so: `house=low-stair/month=2026-11/log.parquet`.

Engines read house and month out of those names (hive-style), and pass over the folders that a question leaves out.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from datetime import date
from pathlib import Path
from typing import Final

from balancer.errors import CannotError, UsageError
from balancer.files.lock import acquire
from balancer.files.save import unwritable

FILE: Final = "log.parquet"
NO_MONTH: Final = "__HIVE_DEFAULT_PARTITION__"
"""What such folders call a missing value; engines read it as one."""

_DAY_SECONDS: Final = 86_400
_AGAIN: Final = "make room, or see who may write there; then export again"


def month_of(day: date | None) -> str:
    """The month of a day as its folder has it.

    >>> month_of(date(2026, 11, 25))
    '2026-11'
    """
    return NO_MONTH if day is None else f"{day:%Y-%m}"


def house_folder(out: Path, house: str) -> Path:
    """The folder of a house, and nobody else's."""
    return out / f"house={house}"


def refuse_place(out: Path, house: str, bar: Path) -> None:
    """Refuse a place where something of a bar could come to harm: its own folder, and links that lead elsewhere.

    bar  the bar's folder
    Raises UsageError for the bar's own folder, CannotError for a link or for what is no folder.
    """
    real, own = Path(os.path.realpath(out)), Path(os.path.realpath(bar))
    if own == real or own in real.parents:
        raise UsageError("usage", f'--out: "{out}" is in the bar\'s own folder', "name a folder beside it")
    if os.path.lexists(out) and not out.is_dir():
        raise UsageError("usage", f'--out: "{out}" is not a folder', "name a folder; it is made where none is")
    own_folder = house_folder(out, house)
    for path in (own_folder, *own_folder.glob("month=*"), *own_folder.glob(f"month=*/{FILE}")):
        if path.is_symlink():
            raise CannotError(
                "link", f'"{path}" is a link, and leads elsewhere', "delete the link, or name another folder"
            )


def all_files(out: Path, house: str) -> list[Path]:
    """The files of a house that are there already, in the order of their months."""
    return sorted(house_folder(out, house).glob(f"month=*/{FILE}"))


def any_file(out: Path, house: str) -> Path | None:
    """The first of them; None where there is none."""
    return next(iter(all_files(out, house)), None)


def other_houses(out: Path, house: str) -> list[str]:
    """The other houses that have a folder there; a link is none of ours."""
    found = (path for path in out.glob("house=*") if not path.is_symlink())
    return sorted(name for path in found if (name := path.name.removeprefix("house=")) != house)


@contextmanager
def house_lock(out: Path, house: str, seconds: float) -> Iterator[None]:
    """Hold the folder of a house, so that of two who write it one waits for the other, and looks at what is there then.

    Raises CannotError when another holds it for so many seconds, or it cannot be made.
    """
    with ExitStack() as held:
        try:
            out.mkdir(parents=True, exist_ok=True)
            lock = out / f".house={house}.lock"
            if lock.is_symlink():
                raise CannotError("link", f'"{lock}" is a link, and leads elsewhere', "delete the link")
            held.enter_context(acquire(lock, f"the log of {house}", seconds))
        except (OSError, NotImplementedError) as error:
            raise unwritable(house_folder(out, house), _as_system(error), _AGAIN) from None
        yield


def _as_system(error: Exception) -> OSError:
    return error if isinstance(error, OSError) else OSError(0, str(error))


def write_months(out: Path, house: str, months: Mapping[str, bytes]) -> None:
    """Put the months of a house in place of those that are there; a month without a file goes.

    All of them are on the disk before the first takes its place, each by one renaming: whoever reads meanwhile finds
    every file whole, some perhaps as they were.
    Raises CannotError when they cannot be written; then all is as it was, unless the disk fails between two renamings.
    """
    own = house_folder(out, house)
    try:
        out.mkdir(parents=True, exist_ok=True)
        _sweep(out, own.name)
        unfinished = Path(tempfile.mkdtemp(dir=out, prefix=f".{own.name}."))
        try:
            for month, content in months.items():
                with (unfinished / month).open("wb") as file:
                    file.write(content)
                    file.flush()
                    os.fsync(file.fileno())
            for month in months:
                folder = own / f"month={month}"
                folder.mkdir(parents=True, exist_ok=True)
                (unfinished / month).replace(folder / FILE)
        finally:
            shutil.rmtree(unfinished, ignore_errors=True)
        for left in own.glob(f"month=*/{FILE}"):
            if left.parent.name.removeprefix("month=") not in months:
                left.unlink()
                with suppress(OSError):  # somebody put something else there
                    left.parent.rmdir()
    except OSError as error:
        raise unwritable(own, error, _AGAIN) from None


def _sweep(out: Path, name: str) -> None:
    """Take away what an export left that was killed a day ago or earlier; a younger one may still be at work."""
    for left in out.glob(f".{name}.*"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > _DAY_SECONDS:
                shutil.rmtree(left)
