"""A new bar's folder: the commented starter files, or the demo house."""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.house.demo import demo_folder
from balancer.files.house.pantry_copy import from_pantry, is_house, write_from_pantry
from balancer.models.pantry import FromPantry, PantryEntry

STARTER: Final = Path(__file__).resolve().parent / "starter_files"


class Started(NamedTuple):
    """A folder that was written: its files, and what it has out of the pantry."""

    files: list[Path]
    pantry: FromPantry


def start(folder: Path, *, demo: bool = False, pantry: Sequence[PantryEntry] = ()) -> Started:
    """Write the folder, with the entries of the pantry that its own files lack.

    It appears whole or not at all: everything is written beside it, or hidden in it when it is there, and renamed.
    Raises CannotError when it exists and holds anything, or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CannotError("not-empty", f'"{folder}" exists and is not empty', _elsewhere(folder, bool(pantry)))
    try:
        found = _write(demo_folder() if demo else STARTER, folder.absolute(), pantry)
    except OSError as error:
        raise CannotError(
            "unwritable", f'"{folder}" cannot be written: {error.strerror}', "choose another place, or make room"
        ) from None
    return Started(sorted(path for path in folder.rglob("*") if path.is_file()), found)


def _elsewhere(folder: Path, wants_pantry: bool) -> str:
    """Where to start instead of in a folder that holds something."""
    if wants_pantry and is_house(folder / "specs"):
        return f'the house is in "{folder / "specs"}": name that folder'
    return "name a folder that does not exist yet"


def _write(source: Path, folder: Path, pantry: Sequence[PantryEntry]) -> FromPantry:
    missing = [path for path in folder.parents if not path.exists()]
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        is_there = folder.is_dir()
        with tempfile.TemporaryDirectory(dir=folder if is_there else folder.parent, prefix=".start-") as temporary:
            made = Path(temporary) / "new"
            _copy(source, made)
            found = from_pantry(made, pantry) if pantry else FromPantry({})
            write_from_pantry(found)
            if is_there:
                _move_into(folder, made)
            else:
                made.rename(folder)
    except OSError:
        for path in missing:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise
    return found


def _copy(source: Path, made: Path) -> None:
    """Copy what can be seen, as new files: an installed package may be read-only, a bar's folder is not."""
    for path in sorted(source.rglob("*")):
        inside = path.relative_to(source)
        if path.is_file() and not any(part.startswith(".") for part in inside.parts):
            (made / inside).parent.mkdir(parents=True, exist_ok=True)
            (made / inside).write_bytes(path.read_bytes())


def _move_into(folder: Path, made: Path) -> None:
    """Fill a folder that is there, perhaps with somebody standing in it: it is never replaced itself."""
    moved: list[Path] = []
    try:
        for entry in sorted(made.iterdir()):
            entry.rename(folder / entry.name)
            moved.append(folder / entry.name)
    except BaseException:
        for path in moved:
            path.rename(made / path.name)
        raise
