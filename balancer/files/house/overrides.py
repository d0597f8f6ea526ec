"""overrides.yaml: what the base said of each entry that the house has its own for, so that `check` can tell a change.

One line an entry, `- ` and a JSON object, added at the end and never rewritten, so that two copies merge by keeping
the lines of both: what any line says was seen. The latest of an entry is what changes are told against.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Final

from balancer.errors import CannotError, Problem
from balancer.files.house.writing import writing
from balancer.files.reading import is_there, read_bytes, unreadable
from balancer.files.save import append
from balancer.files.sizes import NOTES
from balancer.models.layered import KeyChange, Override, OverrideState, SaidByBase, SinceWhen, changes_between, says

FILE: Final = "overrides.yaml"
_REMEDY: Final = "delete it; then see what the base says now, and: balancer check --agree NAME"
_PERMISSIONS: Final = "check the permissions of the folder"
_MOST_SHOWN: Final = 200


def read_seen(folder: Path) -> tuple[tuple[SaidByBase, ...], tuple[Problem, ...]]:
    """What the house has seen of its base, and the lines that say nothing. A file that is not there is empty."""
    path = folder / FILE
    try:
        raw = read_bytes(path, NOTES) if is_there(path) else b""
    except OSError as error:
        return (), (unreadable(path, error, "what the base said"),)
    found: list[SaidByBase] = []
    problems: list[Problem] = []
    for number, line in enumerate(raw.decode(errors="replace").splitlines(), start=1):
        text = line.removeprefix("\ufeff").strip()
        if not text or text.startswith("#"):
            continue
        try:
            found.append(_seen(json.loads(text.removeprefix("- "))))
        except (ValueError, KeyError, TypeError, RecursionError):
            told = "this line does not say what the base said of an entry"
            problems.append(Problem("override", told, _REMEDY, str(path), number, 1, line[:_MOST_SHOWN]))
    return tuple(found), tuple(problems)


def remember_seen(folder: Path, seen: Sequence[SaidByBase]) -> None:
    """Note what the base says. Raises CannotError when it cannot be locked, read or written."""
    if not seen:
        return
    with writing(folder, [folder / FILE], remedy=_PERMISSIONS):
        add_seen(folder, seen)


def add_seen(folder: Path, seen: Sequence[SaidByBase]) -> None:
    """The same for who holds the folder's lock."""
    path = folder / FILE
    try:
        append(path, b"".join(map(_line, seen)))
    except OSError as error:
        raise _unwritable(path, error) from None


def _unwritable(path: Path, error: Exception) -> CannotError:
    reason = getattr(error, "strerror", None) or str(error)
    return CannotError("unwritable", f'"{path}" cannot be written: {reason}', _PERMISSIONS)


def agreed(overrides: Iterable[Override], at: datetime) -> tuple[SaidByBase, ...]:
    """What the base says now, as seen at a moment."""
    return tuple(SaidByBase(one.kind, one.id, one.said, at.isoformat()) for one in overrides)


def standings(
    overrides: Iterable[Override], seen: Iterable[SaidByBase], own: Iterable[tuple[str, str, str]]
) -> list[OverrideState]:
    """Every entry that stands in place of one of the base, and what became of that one since it was seen.

    own  kind, id and name of every entry of the house's own: one seen in the base that the base no longer has is told
    """
    by_id: dict[tuple[str, str], list[SaidByBase]] = {}
    for one in seen:
        by_id.setdefault((_space(one.kind), one.id), []).append(one)
    found = [_standing(override, by_id.pop((_space(override.kind), override.id), [])) for override in overrides]
    names = {(_space(kind), identity): (kind, name) for kind, identity, name in own}
    for key in by_id:
        if key in names:
            kind, name = names[key]
            found.append(OverrideState(kind, key[1], name, "", "", "gone"))
    return found


def _standing(override: Override, seen: Sequence[SaidByBase]) -> OverrideState:
    now = says(override.said)
    is_identical = says(override.own) == now
    changes: tuple[KeyChange, ...] = ()
    since: SinceWhen = "unknown"
    if any(says(one.said) == now for one in seen):
        since = "same"
    elif seen:
        since = "changed"
        changes = changes_between(max(seen, key=lambda one: one.at).said, override.said)
    return OverrideState(
        override.kind, override.id, override.name, override.place, override.base_place, since, changes, is_identical
    )


def _space(kind: str) -> str:
    """Ingredients and syrups share their names."""
    return "drinks" if kind == "drinks" else "liquids"


def _seen(row: dict[str, object]) -> SaidByBase:
    kind, identity, said, at = row["kind"], row["id"], row["said"], row["at"]
    if not (isinstance(kind, str) and isinstance(identity, str) and isinstance(said, dict) and isinstance(at, str)):
        raise TypeError
    return SaidByBase(kind, identity, said, at)


def _line(seen: SaidByBase) -> bytes:
    return f"- {json.dumps(seen._asdict(), ensure_ascii=False)}\n".encode()
