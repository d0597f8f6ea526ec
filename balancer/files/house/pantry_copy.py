"""Ingredients of the pantry as files of a house: it gets what it lacks, and nothing it has is touched."""

from __future__ import annotations

import os
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Final

from balancer import __version__
from balancer.errors import CannotError
from balancer.files.house.broken_off import clear_starts, left_starts
from balancer.files.house.load import load
from balancer.files.house.pantry import pantry
from balancer.files.house.writing import writing
from balancer.files.save import save_new
from balancer.files.yaml.document import Document
from balancer.files.yaml.tree import read_document
from balancer.models.pantry import FromPantry, InHouse, PantryEntry

_FOLDER: Final = "ingredients"
_HEAD: Final = f"# From the pantry of balancer {__version__}. It is yours now: change what your labels say."


def documents(found: FromPantry) -> list[Document]:
    """The files as the loader reads them."""
    return [read_document(str(path), raw) for path, raw in found.files.items()]


def from_pantry(folder: Path, entries: Iterable[PantryEntry]) -> FromPantry:
    """The files that would give a house some entries. One that answers to a name of the house is left out.

    Raises CannotError when they would spoil something that is sound now.
    """
    before = load(folder)
    specs = before.specs
    there: list[InHouse] = []
    added: list[PantryEntry] = []
    for entry in entries:
        taken = next((found for name in entry.names if (found := specs.liquid_names.whole(name))), None)
        if taken is None:
            added.append(entry)
        else:
            there.append(InHouse(entry.name, specs.name_of(taken)))
    result = FromPantry(_files(folder, added), tuple(added), tuple(there))
    known_problems = {problem.same_as for problem in before.problems}
    spoilt = [
        problem
        for problem in load(folder, besides={_FOLDER: documents(result)}).problems
        if problem.same_as not in known_problems
    ]
    if spoilt:
        first = spoilt[0]
        where = ":".join(str(part) for part in (first.path, first.line) if part is not None)
        told = f"nothing is added, because it would spoil {where}: {first.message}"
        raise CannotError("pantry-spoils", told, first.remedy)
    return result


def write_from_pantry(found: FromPantry) -> None:
    """Write the files: all, or none.

    Raises CannotError when one cannot be written, or is there by now.
    """
    save_new(found.files, code="pantry-exists", again="ask for it again")


def add_from_pantry(folder: Path, entries: Iterable[PantryEntry]) -> FromPantry:
    """Give a house what it lacks of some entries; nobody else writes into its folder meanwhile.

    Raises CannotError as `from_pantry` and `write_from_pantry` do.
    """
    with writing(folder, ()):
        found = from_pantry(folder, entries)
        write_from_pantry(found)
    clear_starts(left_starts(folder.absolute().parent))
    return found


def is_house(folder: Path) -> bool:
    """Whether a folder holds a bar's files already."""
    return (folder / "house.yaml").is_file() or (folder / _FOLDER).is_dir()


def _files(folder: Path, entries: Sequence[PantryEntry]) -> dict[Path, bytes]:
    """A new file a group, named by it: juices.yaml, or juices-2.yaml where that is there."""
    files: dict[Path, bytes] = {}
    for group in dict.fromkeys(entry.group for entry in entries):
        head = [_HEAD, *pantry().heads[group].splitlines()]
        texts = [entry.text for entry in entries if entry.group == group]
        files[_free(folder / _FOLDER, group)] = "\n".join(["\n".join(head) + "\n", *texts]).encode()
    return files


def _free(folder: Path, stem: str) -> Path:
    path, number = folder / f"{stem}.yaml", 1
    while os.path.lexists(path):
        number += 1
        path = folder / f"{stem}-{number}.yaml"
    return path
