"""An entry of the base as a file of the house's own: its text as it stands, comments too. The base is never written."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence as Sequence_
from datetime import datetime
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.house.base import KEY
from balancer.files.house.entries import Entry, document_entries, entries_of
from balancer.files.house.overrides import remember_seen
from balancer.files.save import save_new
from balancer.files.yaml.document import Document, Sequence
from balancer.files.yaml.tree import read_document
from balancer.models.layered import SaidByBase

_AGAIN: Final = "look at the folder, then do it again"


class OwnCopy(NamedTuple):
    """A copy that is not written yet.

    path, text  the file it will be
    place       file and line of the entry in the base
    said        what the base says, as plain data
    """

    kind: str
    id: str
    path: Path
    text: str
    place: str
    said: dict[str, Any]

    @property
    def document(self) -> Document:
        """The file as the loader reads it: `load(folder, besides={kind: [document]})` is the house with it."""
        return read_document(str(self.path), self.text.encode())


def own_copy(folder: Path, kind: str, identity: str) -> OwnCopy:
    """What of the base a house would have as its own, in a file called as in the base, or by its id out of a list.

    Raises CannotError when the base has no such entry that could be read, or it cannot be copied as it stands.
    """
    entry = next((each for each in entries_of(folder, kind) if each.id == identity and each.depth), None)
    if entry is None or not entry.readable or entry.kind != kind:
        raise CannotError("changed", f'"{identity}" is no longer in the {KEY} as it was', _AGAIN)
    text = _text(entry)
    path = _free(folder / kind, entry)
    copied = [*document_entries(read_document(str(path), text.encode()), kind)]
    if [each.data for each in copied] != [entry.data]:
        raise CannotError(
            "unsafe-edit", f"the entry cannot be copied out of its file as it stands: {entry.place}",
            f'copy it by hand into "{folder / kind}"',
        )  # fmt: skip
    return OwnCopy(kind, identity, path, text, entry.place, entry.data)


def write_own_copy(folder: Path, copy: OwnCopy, at: datetime, text: str | None = None) -> None:
    """Write a copy, changed or as it stands, and note what the base said, so that `check` can tell when that changes.

    text  what to write in place of the copy's own text
    Raises CannotError when the file is there by now, or cannot be written.
    """
    content = copy.text if text is None else text
    save_new({copy.path: content.encode()}, code="changed", again=_AGAIN)
    remember_seen(folder, [SaidByBase(copy.kind, copy.id, copy.said, at.isoformat())])


def _text(entry: Entry) -> str:
    """The text of an entry: of a file that holds it alone all; of a list its lines, with the remarks right above."""
    document = entry.document
    root = document.root
    if not isinstance(root, Sequence):
        return document.text
    if root.flow or entry.node.flow:
        return f"{document.text[entry.node.start : entry.node.end]}\n"
    lines = document.text.splitlines(keepends=True)
    column = len(_line_start(document.text, root.start))
    starts = [document.line_number(item.start) - 1 for item in root.items]
    number = root.items.index(entry.node)
    first = _first_line(lines, column, starts[number], starts[number - 1] + 1 if number else 0)
    last = len(lines)
    if number + 1 < len(starts):
        last = _first_line(lines, column, starts[number + 1], starts[number] + 1)
    own = lines[first:last]
    while own and (not own[-1].strip() or _is_remark(own[-1], column)):
        own.pop()
    text = "".join(own)
    return text if text.endswith(("\n", "\r")) else f"{text}\n"


def _first_line(lines: Sequence_[str], column: int, start: int, before: int) -> int:
    """The line where an entry of a list begins, from 0: its hyphen's, or that of the remarks right above.

    start   the line of its first key; its hyphen may stand above
    before  the first line that may be its own
    """
    hyphen = re.compile(rf".{{{column}}}-(?:\s|$)")
    line = start
    while line > before and not hyphen.match(lines[line]):
        line -= 1
    while line > before and _is_remark(lines[line - 1], column):
        line -= 1
    return line


def _is_remark(line: str, column: int) -> bool:
    """Whether a line is a remark that stands no further in than the hyphens of its list: it belongs to no entry."""
    text = line.lstrip()
    return text.startswith("#") and len(line) - len(text) <= column


def _line_start(text: str, offset: int) -> str:
    """What stands before an offset in its line."""
    return text[max(text.rfind("\n", 0, offset), text.rfind("\r", 0, offset)) + 1 : offset]


def _free(folder: Path, entry: Entry) -> Path:
    """A name for the file that nothing has yet."""
    alone = not isinstance(entry.document.root, Sequence)
    stem = Path(entry.document.path).stem if alone else entry.id[:60].rstrip("-")
    path, number = folder / f"{stem}.yaml", 1
    while os.path.lexists(path):
        number += 1
        path = folder / f"{stem}-{number}.yaml"
    return path
