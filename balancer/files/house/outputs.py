"""Where a file may be put: never over one that the house reads, by whatever name or link, nor over what is no file."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from balancer.errors import UsageError
from balancer.files.house.base import PARTS, Layer, Shelf, layers
from balancer.files.house.reads import OF_THE_HOUSE, what_is_read
from balancer.files.save import refuse_unwritable

_ANOTHER: Final = "name another file"
_ELSEWHERE: Final = "name another folder, like the one that the spreadsheet is in"
_YAML: Final = (".yaml", ".yml")


def refuse_outputs(folder: Path, paths: Sequence[Path], option: str = "--out") -> None:
    """Refuse what cannot be, or must not be, written over, before any of it is.

    folder  of the bar
    option  that names them
    Raises UsageError for a link to a file of another kind, and for a file of the house or of a base that it stands on;
    CannotError for a folder, a pipe or a device.
    """
    for path in paths:
        target = Path(os.path.realpath(path))
        if os.path.islink(path) and target.suffix.casefold() != path.suffix.casefold():
            raise UsageError("usage", f'{option}: "{path}" is a link to {target.name}', _ANOTHER)
        refuse_unwritable(path)
    held = layers(folder, Shelf())
    for path in paths:
        if path.suffix.casefold() in _YAML and _would_be_read(Path(os.path.realpath(path)), held):
            raise UsageError("usage", f'{option}: "{path}" would be read as a file of the house', _ELSEWHERE)
    there = {identity: path for path in paths if (identity := _identity(path)) is not None}
    if not there:
        return
    for own in what_is_read(held).files:
        found = there.get(_identity(own) or ("", 0))
        if found is not None:
            really = "" if own == found else f": {own}"
            raise UsageError("usage", f'{option}: "{found}" is a file of the house{really}', _ANOTHER)


def _would_be_read(target: Path, held: Iterable[Layer]) -> bool:
    """Whether a YAML file is, or would be, one of a house's by where it is."""
    for layer in held:
        real = Path(os.path.realpath(layer.folder))
        parts = [Path(os.path.realpath(real / part)) for part in PARTS[1:]]
        if target in {real / name for name in OF_THE_HOUSE} or any(map(target.is_relative_to, parts)):
            return True
    return False


def _identity(path: Path) -> tuple[str | int, int] | None:
    """What a file really is, whatever it is called; None where nothing is."""
    try:
        there = os.stat(path)
    except (OSError, ValueError):
        return None
    # Some shared disks give no number to what they hold.
    return (there.st_dev, there.st_ino) if there.st_ino else (os.path.realpath(path), 0)
