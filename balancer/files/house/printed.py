"""printed.json: the last card printed of each drink, by what it says, so that changed ones can be told."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable
from dataclasses import asdict, fields
from datetime import date
from pathlib import Path
from typing import Any, Final

from balancer.errors import CannotError, ProblemsError
from balancer.files.lock import acquire, lock_of
from balancer.files.reading import is_there, read_bytes, unreadable
from balancer.files.save import other_names, save
from balancer.files.sizes import CARDS
from balancer.models.printed import Printed

FILE: Final = "printed.json"
_LOCK: Final = ".printed.lock"
_LOCK_SECONDS: Final = 10.0
_FORMAT: Final = 1
_OPTIONAL: Final = {"spec": dict | None, "mark": str | None, "units": str | None, "extras": bool}
"""What earlier cards do not have, and what it is."""
_KEYS: Final = frozenset(field.name for field in fields(Printed)) - _OPTIONAL.keys()


def content_of(said: dict[str, Any]) -> str:
    """The SHA-256 of what a card says, whatever the order of its parts."""
    return hashlib.sha256(json.dumps(said, sort_keys=True, ensure_ascii=False).encode()).hexdigest()


def read_printed(folder: Path) -> dict[str, Printed]:
    """The last card of each drink, by id; empty where nothing was printed yet.

    Raises BalancerError when the file cannot be read or is not what was written: guessing could leave an old card out.
    """
    path = folder / FILE
    try:
        if not is_there(path):
            return {}
        held = json.loads(read_bytes(path, CARDS).decode())
        if held["format"] != _FORMAT:
            raise ValueError
        cards = [_card(row) for row in held["cards"]]
    except OSError as error:
        raise ProblemsError([unreadable(path, error, "the list of printed cards")]) from None
    except (ValueError, KeyError, TypeError, RecursionError):
        raise CannotError(
            "printed", f'"{path}" is not the list of printed cards that was written',
            "bring back a copy, or move it away: then every card counts as not printed yet",
        ) from None  # fmt: skip
    return {card.drink: card for card in cards}


def remember(folder: Path, cards: Iterable[Printed], pulled: Collection[str] = ()) -> bool:
    """Note what was printed, in place of the last card of the same drinks, and forget those that were thrown away.

    Returns whether the list had other names on the disk (hard links), under which it stays as it was.

    Raises BalancerError when the file cannot be locked, read or written.
    """
    try:
        lock = acquire(lock_of(folder / FILE, _LOCK), "the list of printed cards", _LOCK_SECONDS)
    except (OSError, NotImplementedError) as error:
        raise CannotError(
            "unwritable", f'"{folder / FILE}" cannot be written: {error}', "check the permissions of the folder"
        ) from None
    with lock:
        held = read_printed(folder)
        for drink in pulled:
            held.pop(drink, None)
        held |= {card.drink: card for card in cards}
        rows = ",\n".join(
            f"  {json.dumps(_row(card), ensure_ascii=False)}" for card in sorted(held.values(), key=lambda c: c.drink)
        )
        text = f'{{"format": {_FORMAT}, "cards": [\n{rows}\n]}}\n'
        had_names = bool(other_names(folder / FILE))
        save(folder / FILE, text.encode())
    return had_names


def _row(card: Printed) -> dict[str, Any]:
    """A card as it is written; what was not kept has no key."""
    return {key: value for key, value in asdict(card).items() if key in _KEYS or value}


def _card(row: Any) -> Printed:
    texts = {key: value for key, value in row.items() if key not in _OPTIONAL}
    if set(texts) != _KEYS or not all(isinstance(value, str) for key, value in texts.items() if key != "version"):
        raise ValueError
    more = all(isinstance(row[key], kind) for key, kind in _OPTIONAL.items() if key in row)
    if not isinstance(row["version"], str | None) or not more:
        raise TypeError
    date.fromisoformat(row["date"])
    return Printed(**row)
