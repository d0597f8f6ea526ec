"""The tables of a page: rows of cells, by the heading they stand under."""

from __future__ import annotations

import re
from pathlib import Path
from typing import NamedTuple


class Table(NamedTuple):
    """One table of a page; cells as written."""

    head: list[str]
    rows: list[list[str]]


def _cells(line: str) -> list[str]:
    return [cell.strip() for cell in line.strip().strip("|").split("|")]


def tables(page: Path) -> dict[str, list[Table]]:
    """The tables under each heading."""
    found: dict[str, list[Table]] = {}
    heading, table = "", None
    for line in page.read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            heading = line.lstrip("# ")
        if not line.startswith("|"):
            table = None
        elif table is None:
            table = Table(_cells(line), [])
            found.setdefault(heading, []).append(table)
        elif not re.fullmatch(r"[|:\- ]+", line):
            table.rows.append(_cells(line))
    return found


def ticked(cell: str) -> str | None:
    """What stands in backticks, when that is all of the cell."""
    found = re.fullmatch(r"`([^`]+)`", cell)
    return found[1] if found else None
