"""The batch log of a bar into the table that all bars of a group share."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Final

from balancer import __version__
from balancer.desk.desk import Desk
from balancer.engine.prep.log_table import LoggedLine, logged_lines
from balancer.errors import CannotError
from balancer.files.log.log_line import entry_line
from balancer.files.sheets.parquet import parquet_bytes, said_about
from balancer.files.sheets.partitions import any_file, house_folder, month_of, refuse_place, write_months
from balancer.models.log_columns import LOG_COLUMNS, SCHEMA
from balancer.models.names import slug
from balancer.output.data.log_table import log_row
from balancer.output.words.export import Export

_FIRST_LINE: Final = "first_line"


def export_log(desk: Desk, out: Path) -> Export:
    """Write the log into the folder of its house below `out`, a file a month, in place of what it wrote before.

    Raises UsageError and CannotError when the place cannot be meant, holds the log of another bar of that name, or
    cannot be written, and when pyarrow is not installed.
    """
    house = slug(desk.house.name) or "bar"
    refuse_place(out, house, desk.folder)
    lines = logged_lines(desk.bar, desk.entries, desk.lines)
    first_line = sha256(entry_line(lines[0].entry)).hexdigest() if lines else ""
    _refuse_another(out, house, desk.house.name, first_line)
    about = {"schema": SCHEMA, "house": desk.house.name, "made_by": f"balancer {__version__}", _FIRST_LINE: first_line}
    months: dict[str, list[LoggedLine]] = {}
    for one in lines:
        months.setdefault(month_of(one.day), []).append(one)
    files = {
        month: parquet_bytes(LOG_COLUMNS, [log_row(one) for one in listed], about)
        for month, listed in sorted(months.items())
    }
    write_months(out, house, files)
    counts = {"lines": len(lines), "batches": sum(one.is_making for one in lines), "months": len(files)}
    return Export("log", house_folder(out, house), counts, ())


def _refuse_another(out: Path, house: str, name: str, first_line: str) -> None:
    """Two bars of one name would take each other's place. A log only grows, so its first line tells it."""
    there = any_file(out, house)
    if there is not None and said_about(there, _FIRST_LINE) != first_line:
        raise CannotError(
            "another-log",
            f'"{house_folder(out, house)}" holds another log: is another bar called "{name}" too?',
            "give each bar a name of its own (house: in house.yaml); if that folder is this bar's, delete it first",
        )
