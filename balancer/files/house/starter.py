"""A new bar's folder: the commented starter files, or the demo house."""

from __future__ import annotations

import contextlib
import json
import os
import re
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from errno import EEXIST, ENAMETOOLONG, ENOTEMPTY
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.house.base import HOUSE_FILE, PARTS, counted_from
from balancer.files.house.broken_off import READY, START, clear_starts, left_starts, start_lock
from balancer.files.house.demo import demo_folder
from balancer.files.house.pantry_copy import from_pantry, is_house, write_from_pantry
from balancer.files.reading import SHORTER, is_there, read_bytes
from balancer.files.sizes import SPECS
from balancer.models.names import as_word
from balancer.models.pantry import FromPantry, PantryEntry

STARTER: Final = Path(__file__).resolve().parent / "starter_files"
_TRIES: Final = 20
_ANOTHER: Final = "name a folder that does not exist yet"
_ON_BASE: Final = """\
# Your house. What it does not say, its base does; say here what is otherwise in your bar.
format: 1
# printed on cards:
house: {name}
# shared, and never written from here; counted from this folder:
base: {base}
# change of a drink's sugar that service lets pass:
# tolerance: 5 %
# those that are not as the base has them:
# glasses: {{coupe: 180 ml}}
"""


_Fill = Callable[[Path], None]


class Started(NamedTuple):
    """A folder that was written: its files, and what it has out of the pantry."""

    files: list[Path]
    pantry: FromPantry


def start(folder: Path, *, demo: bool = False, pantry: Sequence[PantryEntry] = ()) -> Started:
    """Write the folder, with the entries of the pantry that its own files lack.

    It appears whole or not at all: everything is written beside it, or hidden in it when it is there, and renamed.
    Raises CannotError when it exists and holds anything, or cannot be written.
    """
    source = demo_folder() if demo else STARTER
    return _started(folder, lambda made: _copy(source, made), pantry)


def start_on_base(folder: Path, base: Path) -> Started:
    """Write a folder that has nothing of its own but its name, and stands on a base that is shared.

    Raises CannotError as `start` does, and where the base holds nothing of a bar.
    """
    if not any(is_there(base / part) for part in PARTS):
        where = f'"{base}" holds nothing of a bar' if base.is_dir() else f'there is no folder "{base}"'
        raise CannotError("base", where, f"name the folder that holds what is shared, counted from here: {Path.cwd()}")
    counted = counted_from(folder, base).as_posix()
    name = " ".join(re.split(r"[\s_-]+", folder.absolute().name)).title().strip() or "My bar"
    text = _ON_BASE.format(name=_written(name), base=_written(counted))

    def write(made: Path) -> None:
        made.mkdir()
        (made / HOUSE_FILE).write_text(text, encoding="utf-8")

    return _started(folder, write, ())


def _written(text: str) -> str:
    """A value as it stands in a file: in quotes where YAML could read more into it."""
    return text if re.fullmatch(r"[A-Za-z./][\w./ -]*", text) else json.dumps(text, ensure_ascii=False)


def was_broken_off(folder: Path) -> bool:
    """Whether a start into this very folder was killed, and may be run again."""
    return bool(left_starts(folder))


def _started(folder: Path, fill: _Fill, pantry: Sequence[PantryEntry]) -> Started:
    """A folder that fill writes, with entries of the pantry; whole or not at all.

    What a start left that was killed is gone on with, or taken away.
    """
    _refuse_no_place(folder)
    left, beside = left_starts(folder), left_starts(folder.absolute().parent)
    there = [path.name for path in folder.iterdir() if path not in left] if folder.is_dir() else []
    not_empty = CannotError("not-empty", f'"{folder}" exists and is not empty', _elsewhere(folder, bool(pantry)))
    if there and not (left or beside):
        raise not_empty

    def check(made: Path) -> None:
        other = next((name for name in there if not _is_same(folder / name, made / name)), None)
        if other is not None:
            raise _another(folder, other) if left else not_empty

    try:
        found = _write(fill, folder.absolute(), pantry, there, check)
    except OSError as error:
        raise _failed(folder, error) from None
    clear_starts([*left, *beside])
    return Started(sorted(path for path in folder.rglob("*") if path.is_file()), found)


def _refuse_no_place(folder: Path) -> None:
    """Raise an error where something that is no folder has its place, or one above it."""
    for path in (folder, *folder.parents):
        if is_there(path) and not path.is_dir():
            told = f'"{path}" is there, and is no folder'
            raise CannotError("not-empty", told if path == folder else f"{told}: nothing can be put into it", _ANOTHER)


def _failed(folder: Path, error: OSError) -> CannotError:
    """What the system says of a folder that cannot be made, in kitchen words."""
    if error.errno == ENAMETOOLONG:
        return CannotError("unwritable", f'"{folder}" cannot be written: its name is too long', SHORTER)
    if error.errno in (EEXIST, ENOTEMPTY):
        told = f'"{folder}" came to be meanwhile: somebody else started there; nothing was written over'
        return CannotError("not-empty", told, "look what it holds: balancer check " + as_word(str(folder)))
    return CannotError(
        "unwritable", f'"{folder}" cannot be written: {error.strerror}', "choose another place, or make room"
    )


def _elsewhere(folder: Path, wants_pantry: bool) -> str:
    """Where to start instead of in a folder that holds something."""
    if wants_pantry and is_house(folder / "specs"):
        return f'the house is in "{folder / "specs"}": name that folder'
    return _ANOTHER


def _write(fill: _Fill, folder: Path, pantry: Sequence[PantryEntry], there: Sequence[str], check: _Fill) -> FromPantry:
    """Make everything ready, look at it, then put it in place.

    check  raises where it must not be
    there  what a start that was killed put there already, by name
    """
    missing = [path for path in folder.parents if not path.exists()]
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        is_filled = folder.is_dir()
        place = folder if is_filled else folder.parent
        with _workshop(place) as hidden:
            made = hidden / READY
            fill(made)
            found = from_pantry(made, pantry) if pantry else FromPantry({})
            write_from_pantry(found)
            check(made)
            if is_filled:
                _move_into(folder, made, there)
            else:
                made.rename(folder)
    except OSError:
        for path in missing:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise
    return found


@contextmanager
def _workshop(place: Path) -> Iterator[Path]:
    """A hidden folder in a place, held: nobody takes it for one that was left.

    Before it is held another start may do so, and hold it to take it away: then a further one is made.
    """
    for tries in range(_TRIES):
        with tempfile.TemporaryDirectory(dir=place, prefix=START) as name, ExitStack() as held:
            try:
                held.enter_context(start_lock(Path(name)))
            except (CannotError, FileNotFoundError):
                if tries + 1 == _TRIES:
                    raise
                continue
            yield Path(name)
            return


def _another(folder: Path, name: str) -> CannotError:
    """That another start was broken off in a folder, or somebody changed there something since."""
    told = f'"{folder}" holds a start that was broken off, and "{name}" is not as this one would write it'
    remedy = "run that start again as it was; or keep what you changed elsewhere, and empty the folder"
    return CannotError("not-empty", told, remedy)


def _is_same(path: Path, made: Path) -> bool:
    """Whether a file, or all that is in a folder, is as a start makes it."""
    return is_there(made) and _held(path) == _held(made)


def _held(path: Path) -> dict[str, bytes | None]:
    """What is in a file, or in the files of a folder; None for what is neither, or no file that a start writes."""
    found = [path] if path.is_file() else sorted(path.rglob("*"))
    return {each.relative_to(path).as_posix(): _content(each) for each in found}


def _content(path: Path) -> bytes | None:
    try:
        return read_bytes(path, SPECS)
    except OSError:
        return None


def _copy(source: Path, made: Path) -> None:
    """Copy what can be seen, as new files: an installed package may be read-only, a bar's folder is not."""
    for path in sorted(source.rglob("*")):
        inside = path.relative_to(source)
        if path.is_file() and not any(part.startswith(".") for part in inside.parts):
            (made / inside).parent.mkdir(parents=True, exist_ok=True)
            (made / inside).write_bytes(path.read_bytes())


def _move_into(folder: Path, made: Path, there: Sequence[str]) -> None:
    """Fill a folder that is there, perhaps with somebody standing in it: it is never replaced itself."""
    moved: list[Path] = []
    try:
        for entry in sorted(made.iterdir()):
            if entry.name not in there:
                _place(entry, folder / entry.name)
                moved.append(folder / entry.name)
    except BaseException:
        for path in moved:
            path.rename(made / path.name)
        raise


def _place(entry: Path, target: Path) -> None:
    """Give a file or a folder its place, over nothing: another start, or a person, may put something there meanwhile.

    Raises FileExistsError then.
    """
    if entry.is_dir():
        entry.rename(target)  # fails on a folder that holds something
        return
    try:
        os.link(entry, target)
    except FileExistsError:
        raise
    except OSError:  # a disk without a second name for a file
        if os.path.lexists(target):
            raise FileExistsError(EEXIST, os.strerror(EEXIST), str(target)) from None
        entry.rename(target)
        return
    entry.unlink()
