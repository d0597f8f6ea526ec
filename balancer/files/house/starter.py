"""A new bar's folder: the commented starter files, or the demo house."""

from __future__ import annotations

import contextlib
import tempfile
from pathlib import Path
from typing import Final

from balancer.errors import CannotError

_PACKAGE: Final = Path(__file__).resolve().parents[2]
STARTER: Final = Path(__file__).resolve().parent / "starter_files"


def demo_folder() -> Path:
    """The demo house: inside the package when installed, beside it in a checkout."""
    inside = _PACKAGE / "specs"
    return inside if inside.is_dir() else _PACKAGE.parent / "specs"


def start(folder: Path, *, demo: bool = False) -> list[Path]:
    """Write the folder and return its files.

    It appears whole or not at all: everything is written beside it, or hidden in it when it is there, and renamed.
    Raises CannotError when it exists and holds anything, or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise CannotError("not-empty", f'"{folder}" exists and is not empty', "name a folder that does not exist yet")
    try:
        _write(demo_folder() if demo else STARTER, folder.absolute())
    except OSError as error:
        raise CannotError(
            "unwritable", f'"{folder}" cannot be written: {error.strerror}', "choose another place, or make room"
        ) from None
    return sorted(path for path in folder.rglob("*") if path.is_file())


def _write(source: Path, folder: Path) -> None:
    missing = [path for path in folder.parents if not path.exists()]
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        is_there = folder.is_dir()
        with tempfile.TemporaryDirectory(dir=folder if is_there else folder.parent, prefix=".start-") as temporary:
            made = Path(temporary) / "new"
            _copy(source, made)
            if is_there:
                _move_into(folder, made)
            else:
                made.rename(folder)
    except OSError:
        for path in missing:
            with contextlib.suppress(OSError):
                path.rmdir()
        raise


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
