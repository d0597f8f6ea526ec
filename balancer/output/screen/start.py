"""`start` on the screen."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final

from balancer.models.pantry import FromPantry, InHouse
from balancer.output.words.numbers import count
from balancer.output.words.page import labelled, wrap

_MOST: Final = 8


def start_text(folder: Path, written: Sequence[Path], pantry: FromPantry, evening: date | None = None) -> str:
    """The folder, its files, and what to type next.

    evening  the one evening on which the batches in it are fresh, where it has any
    """
    then = "balancer" if evening is None else f"balancer tonight --date {evening.isoformat()} (its log stops there)"
    return "\n".join(
        [
            f"{folder} is ready: {count(len(written), 'files')} to read and change",
            *(f"  {row}" for row in _files(written)),
            *_rows(pantry),
            *wrap(f"more: cd {folder}, then balancer check, then {then}", 4),
        ]
    )


def _files(written: Sequence[Path]) -> list[str]:
    """The files or, where they are many, how many each folder has."""
    if len(written) <= _MOST:
        return [str(path) for path in written]
    folders = Counter(str(path.parent) for path in written)
    return [f"{folder}: {count(number, 'files')}" for folder, number in folders.items()]


def pantry_text(folder: Path, found: FromPantry) -> str:
    """What a house that is there got out of the pantry, and what it has already."""
    if found.added:
        first = f"{count(len(found.added), 'ingredients')} added to {folder} out of the pantry"
        more = f"balancer check --specs {folder}; then add what your labels say"
    else:
        first, more = f"nothing added: {folder} has it all", "name another group, or all"
    return "\n".join([first, *(f"  {path}" for path in found.files), *_rows(found), f"more: {more}"])


def _rows(found: FromPantry) -> list[str]:
    """What was added, what of it wants a label, and what the house has: by name while they are few."""
    rows = []
    if found.added:
        groups = Counter(entry.group for entry in found.added)
        rows.append(labelled("out of the pantry", _few([one.name for one in found.added]) or _counted(groups)))
    unknown = [entry.name for entry in found.added if entry.lacks_abv]
    if unknown:
        rows.append(labelled("ABV unknown", f"{_few(unknown) or f'{len(unknown)} of them'}: read the labels"))
    least = [entry.name for entry in found.added if entry.is_least_sugar]
    if least:
        names = _few(least) or f"{len(least)} of them"
        rows.append(labelled("sugar at least", f"{names}: the legal minimum, a lower bound; ask the maker"))
    if found.there:
        there = _few([_there(one) for one in found.there]) or f"{len(found.there)} of them"
        rows.append(labelled("already there", f"{there}; the house's own stay"))
    return [line for row in rows for line in wrap(f"  {row}", 20)]


def _few(names: Sequence[str]) -> str:
    return ", ".join(names) if len(names) <= _MOST else ""


def _counted(groups: Counter[str]) -> str:
    return ", ".join(f"{group} {number}" for group, number in groups.items())


def _there(one: InHouse) -> str:
    return one.name if one.name == one.house_name else f"{one.name} (as {one.house_name})"
