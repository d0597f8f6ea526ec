"""The batch log of a bar into the table that all bars of a group share."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Final

from balancer import __version__
from balancer.desk.desk import Desk
from balancer.engine.prep.log_table import LoggedLine, logged_lines
from balancer.errors import CannotError, ProblemsError
from balancer.files.house.base import HOUSE_FILE, read_file
from balancer.files.log.log_line import entry_line
from balancer.files.reading import is_there
from balancer.files.sheets.parquet import parquet_bytes, read_columns, said_about
from balancer.files.sheets.partitions import (
    all_files,
    any_file,
    house_folder,
    house_lock,
    month_of,
    other_houses,
    refuse_place,
    write_months,
)
from balancer.files.yaml.document import Mapping, Scalar
from balancer.models.log_columns import LOG_COLUMNS, SCHEMA
from balancer.models.names import slug
from balancer.output.data.log_table import LogValue, log_row
from balancer.output.words.export import Export

_FIRST_LINE: Final = "first_line"
_KNOWN_BY: Final = ("event", "brix", "mass_g", "made", "discard", "logged_by", "undo_event", "note")
"""Columns that say what a line says by itself: no other line, file or clock changes them, as the zone of a machine does
the moment of a line without one."""
_LOCK_SECONDS: Final = 10.0


def export_log(desk: Desk, out: Path) -> Export:
    """Write the log into the folder of its house below `out`, a file a month, in place of what it wrote before.

    Raises UsageError and CannotError when the place cannot be meant, holds the log of another bar of that name, or this
    very log under another name, or cannot be written, and when pyarrow is not installed; ProblemsError and CannotError
    when nobody can read what the bar is called.
    """
    _refuse_nameless(desk)
    house = slug(desk.house.name) or "bar"
    refuse_place(out, house, desk.folder)
    lines = logged_lines(desk.bar, desk.entries, desk.lines)
    first_line = _digest(lines[0]) if lines else ""
    rows = [log_row(one) for one in lines]
    about = {"schema": SCHEMA, "house": desk.house.name, "made_by": f"balancer {__version__}", _FIRST_LINE: first_line}
    months: dict[str, list[Sequence[LogValue]]] = {}
    for one, row in zip(lines, rows, strict=True):
        months.setdefault(month_of(one.day), []).append(row)
    files = {month: parquet_bytes(LOG_COLUMNS, listed, about) for month, listed in sorted(months.items())}
    with house_lock(out, house, _LOCK_SECONDS):
        if any_file(out, house) is None:
            _refuse_renamed(out, house, set(map(_digest, lines)))
        else:
            _refuse_another(out, house, desk.house.name, rows)
        write_months(out, house, files)
    counts = {"lines": len(lines), "batches": sum(one.is_making for one in lines), "months": len(files)}
    return Export("log", house_folder(out, house), counts, ())


def _digest(one: LoggedLine) -> str:
    """What a line is known by in another store, or under another name."""
    return sha256(entry_line(one.entry)).hexdigest()


def _refuse_nameless(desk: Desk) -> None:
    """Without a name that is read, the bar would stand there a second time, under that of its folder."""
    path = desk.folder / HOUSE_FILE
    root = read_file(path).root if is_there(path) else None
    said = root.get("house") if isinstance(root, Mapping) else None
    if isinstance(said, Scalar) and slug(said.text) == slug(desk.house.name):
        return
    if desk.loaded.house_problems:
        raise ProblemsError(desk.loaded.house_problems)
    raise CannotError(
        "no-name",
        f'"{path}" does not say what the bar is called',
        "write a line house: NAME into it; under that name the log stands among those of other bars",
    )


def _refuse_another(out: Path, house: str, name: str, rows: Sequence[Sequence[LogValue]]) -> None:
    """Two bars of one name would take each other's place. A log only grows: what is there of it is in it still."""
    places = [place for place, column in enumerate(LOG_COLUMNS) if column.name in _KNOWN_BY]
    ours = {tuple(_plain(row[place]) for place in places) for row in rows}
    lost = 0
    for path in all_files(out, house):
        stored = read_columns(path, [LOG_COLUMNS[place].name for place in places])
        if stored is None:
            told = f'"{path}" is no table of a log'
            raise CannotError("another-log", told, "delete it, then export again")
        lost += sum(tuple(map(_plain, row)) not in ours for row in stored)
    if lost:
        count = f"{lost} line{'s' if lost > 1 else ''} that this one has not"
        raise CannotError(
            "another-log",
            f'"{house_folder(out, house)}" holds another log, with {count}: is another bar called "{name}" too?',
            "give each bar a name of its own (house: in house.yaml); if it is this bar's, see whether a line is broken "
            "(balancer check) or this copy an older one; where it is right, delete that folder first",
        )


def _refuse_renamed(out: Path, house: str, digests: Collection[str]) -> None:
    """The same log under another name would count twice in every question. Looked for where a name is a new one."""
    for other in other_houses(out, house):
        there = any_file(out, other)
        if there is not None and said_about(there, _FIRST_LINE) in digests:
            raise CannotError(
                "renamed",
                f'"{house_folder(out, other)}" holds this very log, of "{said_about(there, "house")}"',
                "was the bar renamed? Delete that folder, then export again; is this a copy of that bar? "
                "Start its own log",
            )


def _plain(value: LogValue) -> str:
    """A value as it is compared: whatever stands in a stored file."""
    return repr(float(value)) if isinstance(value, int | float) else repr(value)
