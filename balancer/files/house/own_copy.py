"""An entry of the base as a file of the house's own: its text as it stands, remarks too. The base is never written."""

from __future__ import annotations

import os
from collections.abc import Collection
from datetime import datetime
from pathlib import Path
from typing import Any, NamedTuple

from balancer.files.house.entries import Entry, document_entries
from balancer.files.house.entry_copy import copied
from balancer.files.house.entry_text import EntryText, text_of
from balancer.files.yaml.document import Sequence
from balancer.models.layered import SaidByBase

_LONGEST: int = 60


class OwnCopy(NamedTuple):
    """A copy that is not written yet.

    text   the entry in the file that it will be
    place  the file of the entry in the base
    said   what the base says, as plain data
    """

    kind: str
    id: str
    text: EntryText
    place: str
    said: dict[str, Any]

    def seen(self, at: datetime | None) -> SaidByBase:
        """What is to be noted, so that `check` can tell when the base says something else."""
        return SaidByBase(self.kind, self.id, self.said, at.isoformat() if at else "")


def own_copy(folder: Path, entry: Entry, taken: Collection[str] = ()) -> OwnCopy:
    """What a house would have as its own of an entry of its base, in a file called as there; out of a list, by its id.

    taken  paths that other copies will have
    Raises CannotError when it cannot be copied as it stands.
    """
    source = text_of(entry)
    copy = copied(source, str(_free(folder / entry.kind, entry, taken)))
    if [each.data for each in document_entries(copy.document, entry.kind)] != [entry.data]:
        raise source.refused(entry.node.start)
    return OwnCopy(entry.kind, entry.id, copy, entry.document.path, entry.data)


def _free(folder: Path, entry: Entry, taken: Collection[str]) -> Path:
    """A name for the file that nothing has yet."""
    alone = not isinstance(entry.document.root, Sequence)
    stem = Path(entry.document.path).stem if alone else entry.id[:_LONGEST].rstrip("-")
    path, number = folder / f"{stem}.yaml", 1
    while os.path.lexists(path) or str(path) in taken:
        number += 1
        path = folder / f"{stem}-{number}.yaml"
    return path
