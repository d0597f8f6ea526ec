"""Changes of specs that were tried out, written into their files: all that they were judged by looked at once more."""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Final

from balancer.errors import CannotError
from balancer.files.house.edit import Edit, changed_meanwhile, there_already
from balancer.files.house.load import Loaded, load
from balancer.files.house.overrides import add_seen
from balancer.files.house.pour_text import AGAIN
from balancer.files.house.writing import writing
from balancer.files.reading import read_bytes
from balancer.files.save import save, save_new
from balancer.files.sizes import SPECS

_MARK: Final = "\N{BYTE ORDER MARK}".encode()


def write_edit(folder: Path, *edits: Edit, at: datetime | None = None) -> None:
    """Put each changed text into its file, whole or not at all, in this order; a new file never over one there.

    at  the moment, to be noted with what the base says of what is copied
    Raises CannotError when a file is no longer the text that the change was made on, or what it pours is no longer what
    it was, before any is written; and when one cannot be written.
    """
    remedy = "see who may write the file and its folder, then set it again"
    with writing(folder, [edit.path for edit in edits], remedy=remedy):
        marks = [_unchanged(edit) for edit in edits]
        _refuse_elsewhere(folder, edits)
        written: list[str] = []
        for edit, mark in zip(edits, marks, strict=True):
            try:
                if edit.copy is not None:  # first: a note without its copy harms nothing, a copy without it is blind
                    add_seen(folder, [edit.copy.seen(at)])
                if edit.is_new:
                    save_new({edit.path: edit.new.encode()}, code="file-exists", again="give it another name")
                else:
                    save(Path(os.path.realpath(edit.path)), mark + edit.new.encode(), remedy=remedy)
            except CannotError as error:
                if not written:
                    raise
                told = f"{error.message}; written before it: {', '.join(written)}"
                raise CannotError(error.code, told, error.remedy) from None
            written.append(f'"{edit.path}"')


def _unchanged(edit: Edit) -> bytes:
    """What stands in front of the text in the file, where that is still what the change was made on."""
    if edit.is_new:
        if os.path.lexists(edit.path):
            # nobody chose the name of a copy: another has copied the same
            raise there_already(edit.path) if edit.copy is None else changed_meanwhile(edit.path)
        return b""
    raw = _read(edit.path)
    mark = _MARK if raw.startswith(_MARK) else b""
    if raw != mark + edit.old.encode():
        raise changed_meanwhile(edit.path)
    return mark


def _refuse_elsewhere(folder: Path, edits: Iterable[Edit]) -> None:
    """Raise an error where something else is no longer what a change was judged by; a person may have thought long.

    That is the house and all that may be poured; of a new drink its id; of a standard the drinks too.
    """
    judged = [(edit, edit.before) for edit in edits if edit.before is not None]
    if judged:
        now = load(folder)
        if any(_judged_by(now, edit) != _judged_by(before, edit) for edit, before in judged):
            raise changed_meanwhile(folder)


def _judged_by(loaded: Loaded, edit: Edit) -> tuple[object, ...]:
    drinks = loaded.written["drinks"]
    own = drinks if edit.drink is None else drinks.get(edit.drink) if edit.is_new else None
    return loaded.specs.house, loaded.written["ingredients"], loaded.written["syrups"], own


def _read(path: Path) -> bytes:
    try:
        return read_bytes(path, SPECS)
    except OSError as error:
        raise CannotError("unreadable", f'"{path}" cannot be read: {error.strerror}', AGAIN) from None
