"""Ids short enough for the tape on a bottle."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Final

from balancer.engine.batch.history import batch_key
from balancer.models.batch import LogEntry
from balancer.models.names import slug

_LETTERS: Final = 3
_NO_LETTERS: Final = "B"
_NUMBERED: Final = re.compile(r"(?P<letters>.*[^-0-9])-?(?P<number>[0-9]{1,9})")


def next_batch_id(entries: Iterable[LogEntry], name: str, reserved: Iterable[str] = (), device: str = "") -> str:
    """An id for tape: up to three letters of the name, and a number no batch of these letters has had.

    Numbers are never given again, not after an undo either: the tape may be on a bottle.
    reserved  ids taken besides those of the entries
    device    a letter or two of the device, where several log apart: RAS-B1 is no id that another device gives

    >>> next_batch_id((), "raspberry syrup"), next_batch_id((), "crème de cacao"), next_batch_id((), "малина")
    ('RAS-1', 'CRE-1', 'МАЛ-1')
    """
    letters = "".join(_capital(char) for char in slug(name) if char.isalpha())[:_LETTERS] or _NO_LETTERS
    return _numbered(f"{letters}-{device}" if device else letters, entries, reserved, "" if device else "-")


def free_id(entries: Iterable[LogEntry], tape: str, reserved: Iterable[str] = ()) -> str:
    """An id of the letters of another, with a number that none has had.

    >>> free_id((), "RAS-12"), free_id((), "RAS-B12", ["ras-b3"]), free_id((), "?")
    ('RAS-13', 'RAS-B13', '?-1')
    """
    match = re.fullmatch(r"(?P<letters>.*?[^-0-9])(?P<hyphen>-?)[0-9]{1,9}", tape)
    letters, hyphen = (match["letters"], match["hyphen"]) if match else (tape, "-")
    return _numbered(letters, entries, [*reserved, tape], hyphen)


def _numbered(letters: str, entries: Iterable[LogEntry], reserved: Iterable[str], hyphen: str) -> str:
    """Letters and the next number of theirs."""
    # By key, as the log tells batches apart: "ras 13" is RAS-13.
    taken = {batch_key(identity) for identity in _ids(entries, reserved)}
    mine = batch_key(letters)
    matches = [match for key in taken if (match := _NUMBERED.fullmatch(key)) and match["letters"] == mine]
    number = max((int(match["number"]) for match in matches), default=0) + 1
    while batch_key(f"{letters}{hyphen}{number}") in taken:  # numbers too long to be counted on from
        number += 1
    return f"{letters}{hyphen}{number}"


def _ids(entries: Iterable[LogEntry], reserved: Iterable[str]) -> Iterable[str]:
    yield from reserved
    for entry in entries:
        yield entry.batch
        yield from entry.refers


def _capital(char: str) -> str:
    upper = char.upper()
    return upper if len(upper) == 1 else char
