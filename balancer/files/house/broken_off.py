"""What a command that was killed left behind in a bar's folder, and what to do about it.

Everything is written beside its place and put there as a whole, so nothing left behind is missing anywhere: it is
told, and taken away by the next command that writes the same.
"""

from __future__ import annotations

import json
import os
import re
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.errors import CannotError, Problem
from balancer.files.house.base import PARTS
from balancer.files.house.folders import MOST_SEEN
from balancer.files.lock import acquire
from balancer.files.reading import read_bytes
from balancer.files.save import UNFINISHED
from balancer.files.sizes import MARK

START: Final = ".start-"
"""How a folder is called in which a bar's folder is made ready."""
READY: Final = "new"
_LOCK: Final = "lock"
_IMPORT: Final = re.compile(r"\.import-[0-9a-f]{8}\.json")
_FILE: Final = re.compile(rf"\.(?P<name>.+)\.[a-z0-9_]{{8}}{re.escape(UNFINISHED)}")
_START: Final = re.compile(rf"{re.escape(START)}[a-z0-9_]{{8}}")

_STARTED: Final = "this is left of a start that was broken off when all its files were in their place"
_DELETE: Final = "delete it; nothing is missing"


class HalfImport(NamedTuple):
    """The mark of an import while it writes: its spreadsheet, and the files that it writes, counted from the folder."""

    sheet: str
    files: tuple[str, ...]

    @property
    def text(self) -> str:
        """The mark as it is written."""
        return json.dumps({"sheet": self.sheet, "files": self.files}, ensure_ascii=False)


def broken_off(folder: Path) -> list[Problem]:
    """Every trace of a command that was killed while it wrote into a bar's folder."""
    found: list[Problem] = []
    for path in _hidden(folder):
        if _FILE.fullmatch(path.name):
            found.append(_of_file(path))
        elif _START.fullmatch(path.name) and path.parent == folder and is_start(path) and not _is_at_work(path):
            found.append(_of_start(folder, path))
        elif _IMPORT.fullmatch(path.name) and path.parent == folder:
            found.append(_of_import(folder, path))
    beside = [path for path in left_starts(folder.absolute().parent) if not os.path.samefile(path, folder)]
    return [*found, *(Problem("broken-off", _STARTED, _DELETE, str(path)) for path in beside)]


def import_mark(digest: str) -> str:
    """How the mark of an import is called; digest stands for its spreadsheet, in hexadecimal digits."""
    return f".import-{digest[:8]}.json"


@contextmanager
def start_lock(made: Path) -> Iterator[None]:
    """Hold a folder in which a bar's folder is made ready, so that nobody takes it for one that was left.

    Raises CannotError when another holds it. A disk that locks nothing is worked on without.
    """
    with ExitStack() as held:
        with suppress(NotImplementedError):
            held.enter_context(acquire(made / _LOCK, "in this folder", 0.0))
        (made / _LOCK).touch()
        yield


def is_start(path: Path) -> bool:
    """Whether a folder is one of ours in which a bar's folder was made ready, by what it holds."""
    try:
        return not path.is_symlink() and path.is_dir() and {each.name for each in path.iterdir()} <= {_LOCK, READY}
    except OSError:
        return False


def left_starts(place: Path) -> list[Path]:
    """The folders that starts left in a place when they were broken off; not those of one that is at work."""
    try:
        found = [path for path in place.iterdir() if _START.fullmatch(path.name) and is_start(path)]
    except OSError:
        return []
    return sorted(path for path in found if not _is_at_work(path))


def clear_starts(found: list[Path]) -> None:
    """Take them away, but for one that another start holds by now. One that cannot be taken away is told by `check`."""
    for path in found:
        with suppress(CannotError, OSError), start_lock(path):
            shutil.rmtree(path, ignore_errors=True)


def _is_at_work(path: Path) -> bool:
    if not (path / _LOCK).exists():
        return False  # it was killed before it held it
    try:
        with start_lock(path):
            return False
    except CannotError:
        return True
    except OSError:
        return False


def _hidden(folder: Path) -> Iterator[Path]:
    """What is hidden in a bar's folder and in those of its entries."""
    looked_at = 0
    for top, deep in ((folder, False), *((folder / part, True) for part in PARTS[1:])):
        for place, inside, files in os.walk(top):
            names = sorted((*inside, *files))
            yield from (Path(place) / name for name in names if name.startswith("."))
            inside[:] = [name for name in inside if deep and not name.startswith(".")]
            looked_at += len(names)
            if looked_at > MOST_SEEN:
                return


def _of_file(path: Path) -> Problem:
    match = _FILE.fullmatch(path.name)
    name = match["name"] if match else path.name
    if _IMPORT.fullmatch(name):
        return Problem("broken-off", "an import was broken off before it wrote anything", "run it again", str(path))
    told = f'this is left of writing "{name}", which was broken off: that file is as it was before'
    return Problem("broken-off", told, "delete it, and do again what was being done", str(path))


def _of_start(folder: Path, path: Path) -> Problem:
    ready = path / READY
    if any(path.iterdir()) and not (ready.is_dir() and any(ready.iterdir())) and any(map(_is_seen, folder.iterdir())):
        return Problem("broken-off", _STARTED, _DELETE, str(path))
    told = "a start was broken off here: not all of its files are in their place"
    return Problem("broken-off", told, f"run it again as it was: balancer start {folder}", str(path))


def _of_import(folder: Path, path: Path) -> Problem:
    try:
        held: Any = json.loads(read_bytes(path, MARK))
        mark = HalfImport(str(held["sheet"]), tuple(map(str, held["files"])))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        told = "an import was broken off; which, is not to be read here"
        return Problem("broken-off", told, "run your last import again, then delete this file", str(path))
    number, there = len(mark.files), sum(os.path.lexists(folder / name) for name in mark.files)
    if there == number:
        told = f'an import of "{mark.sheet}" was broken off when all of its {number} files were written'
        return Problem("broken-off", told, _DELETE, str(path))
    written = f"{there or 'none'} of its {number} files {'was' if there <= 1 else 'were'} written"
    told = f'an import of "{mark.sheet}" was broken off: {written}'
    remedy = f"run it again as it was: balancer import {mark.sheet} --write; what is written already is passed over"
    return Problem("broken-off", told, remedy, str(path))


def _is_seen(path: Path) -> bool:
    return not path.name.startswith(".")
