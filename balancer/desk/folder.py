"""Where the bar's folder is: the one place that decides it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from balancer.files.reading import is_there

VARIABLE: Final = "BALANCER_SPECS"
"""The environment variable that names the bar's folder."""

USUAL: Final = Path("specs")
"""The folder's usual name, beside what a bar prints."""

_MARK: Final = "house.yaml"

PARTS: Final = ("drinks", "syrups", "ingredients")
"""The folders that a bar's folder may hold."""


def holds_bar(folder: Path) -> bool:
    """Whether a folder holds a bar: house.yaml, or something of the name of one of its folders."""
    return any(is_there(folder / name) for name in (_MARK, *PARTS))


def find_folder(named: Path | None = None) -> Path | None:
    """The bar's folder; None when there is none to be found. A name is believed, whether it is there or not.

    In this order: the one named, then the one that BALANCER_SPECS names, then specs/ here when it holds a bar,
    this folder itself when it has house.yaml, and the nearest above that has it, in itself or in its specs/.
    """
    if named is not None:
        return named
    told = os.environ.get(VARIABLE)
    if told:
        return Path(told)
    if USUAL.is_dir() and holds_bar(USUAL):
        return USUAL
    return next((folder for folder in _upwards() if (folder / _MARK).is_file()), None)


def _upwards() -> Iterator[Path]:
    """This folder and every one above it, nearest first, as they are named from here."""
    yield Path()
    try:
        depth = len(Path.cwd().parents)
    except OSError:  # somebody deleted the folder we stand in
        return
    above = Path()
    for _ in range(depth):
        above /= ".."
        yield above
        yield above / USUAL
