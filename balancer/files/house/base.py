"""The layers of a bar: its own folder, and below it the base that its house.yaml names, which may stand on one too."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from balancer.errors import Problem
from balancer.files.house.folders import Found, house_files
from balancer.files.reading import is_there, read_bytes, unreadable
from balancer.files.sizes import SPECS
from balancer.files.yaml.document import Document, Scalar
from balancer.files.yaml.document import Mapping as Keys
from balancer.files.yaml.tree import read_document

HOUSE_FILE: Final = "house.yaml"
KEY: Final = "base"
MOST_LAYERS: Final = 8
"""So many folders one on another are read."""

PARTS: Final = (HOUSE_FILE, "ingredients", "syrups", "drinks")
"""What makes a folder a bar's: any of these."""
_UNREAD: Final = re.compile(rf"""^{KEY}:[ \t]+(?P<name>"[^"\r\n]+"|'[^'\r\n]+'|(?:(?![ \t]#)[^\r\n])+)""", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Layer:
    """One folder of a bar.

    folder    as it is reached from the folder that the user named
    document  its house.yaml; None where it has none
    lost      why the base that it names cannot be read, so that nobody knows what it holds
    """

    folder: Path
    document: Document | None
    lost: Problem | None = None


class Shelf:
    """Files and folders as they were read, each once: many houses may stand on one base."""

    def __init__(self) -> None:
        self._read: dict[Path, Document] = {}
        self._found: dict[Path, dict[str, Found]] = {}

    def document(self, path: Path) -> Document:
        """The document of a file, with the problems of reading it and room for others of its own."""
        held = self._read.get(path)
        if held is None:
            held = self._read[path] = read_file(path)
        return replace(held, found=list(held.found))

    def files(self, folder: Path, kinds: Iterable[str]) -> Mapping[str, Found]:
        """The files of the folders of a bar, by folder."""
        if folder not in self._found:
            self._found[folder] = house_files(folder, kinds)
        return self._found[folder]


def read_file(path: Path) -> Document:
    """The document of a file, even when it cannot be read."""
    try:
        return read_document(str(path), read_bytes(path, SPECS))
    except OSError as error:
        return Document.lost_to(unreadable(path, error, "the file"))


def layers(directory: Path, shelf: Shelf) -> list[Layer]:
    """The folders of a bar: its own first, then its base, then that one's. A base that cannot be is reported."""
    found: list[Layer] = []
    met: dict[str, Path] = {}
    folder: Path | None = directory
    while folder is not None:
        path = folder / HOUSE_FILE
        document = shelf.document(path) if is_there(path) else None
        met[os.path.realpath(folder)] = folder
        folder, lost = (None, None) if document is None else _base(folder, document, met)
        found.append(Layer(path.parent, document, lost))
    return found


def base_named(folder: Path, text: str) -> Path:
    """The folder that a house.yaml names, counted from its own folder, as a person would type it from here."""
    joined = folder / Path(os.path.expanduser(text))
    tidy = Path(os.path.normpath(joined))
    # Behind a link, `..` is not what it looks like.
    return tidy if os.path.realpath(tidy) == os.path.realpath(joined) else joined


def counted_from(folder: Path, path: Path) -> Path:
    """Where something is, counted from a folder, as its house.yaml says it; from the root where no way leads there."""
    # From where the folder really is: behind a link, `..` is not what it looks like.
    found = os.path.realpath(path)
    try:
        return Path(os.path.relpath(found, os.path.realpath(folder)))
    except ValueError:  # another drive
        return Path(found)


def _base(folder: Path, document: Document, met: Mapping[str, Path]) -> tuple[Path | None, Problem | None]:
    """The base that a house.yaml names, or what is wrong with it."""
    where = _said(document)
    if where is None:
        return None, None
    text = where.text.strip()
    if "\0" in text:
        return None, document.report("base", where, "no folder has a name with a zero in it", "type the line again")
    path = base_named(folder, text)
    told = _fault(path, text, folder, met)
    if told is None:
        return path, None
    return None, document.report("base", where, *told)


def _said(document: Document) -> Scalar | None:
    """The value of `base`, also where the reading of the file broke off: what it holds is missed otherwise."""
    node = document.root.get(KEY) if isinstance(document.root, Keys) else None
    if node is None and document.cut is not None and (found := _UNREAD.search(document.text)):
        text = found["name"].strip().strip("\"'")
        node = Scalar(text, found.start("name"), found.end("name"), quoted=False)
    return node if isinstance(node, Scalar) and node.text.strip() else None


def _fault(path: Path, text: str, folder: Path, met: Mapping[str, Path]) -> tuple[str, str] | None:
    """Why a folder cannot be the base, and what to do; None when it can."""
    again = met.get(os.path.realpath(path))
    if again is not None and again == folder:
        return "the base is this folder itself", "name the folder that is shared, or delete this line"
    if again is not None:
        way = [str(each) for each in met.values()]
        round_ = " → ".join([*way[way.index(str(again)) :], str(again)])
        return f"the bases lead round in a circle: {round_}", "delete this line, or name another folder"
    if len(met) >= MOST_LAYERS:
        return f"more than {MOST_LAYERS} folders stand one on another here", "name the shared folder itself"
    if os.path.isfile(path):
        return (
            f'"{path}" is a file, not a folder',
            f"name its folder, like {KEY}: {os.path.dirname(text) or '../group'}",
        )
    if not os.path.isdir(path):
        return _not_there(path, text, folder)
    if not any(is_there(path / part) for part in PARTS):
        return (
            f'"{path}" holds nothing of a bar: no house.yaml, no drinks/, no syrups/ and no ingredients/',
            "name the folder that holds what is shared",
        )
    return None


def _not_there(path: Path, text: str, folder: Path) -> tuple[str, str]:
    """Why something is no folder, and what to do."""
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError, ValueError):
        remedy = f'correct it: it counts from "{folder}", where this file is; or fetch the shared folder first'
        if "\\" in text:
            remedy = f"write it with /: {KEY}: {text.replace(chr(92), '/')}"
        return f'there is no folder "{path}"', remedy
    except OSError as error:
        told = unreadable(path, error, f'the base "{path}"')
        return told.message, told.remedy
    return f'"{path}" is not a folder', "name the folder that holds what is shared"
