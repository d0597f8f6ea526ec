"""Published facts by name: units, acids, sweetness, energy, standard drinks; every row with its source.

A cell is empty when the source gives nothing. Sources are keys in docs/reference/sources.md, or citations.
"""

from __future__ import annotations

import csv
from pathlib import Path

FOLDER = Path(__file__).parent


def facts(name: str) -> list[dict[str, str]]:
    """The rows of a table, as printed."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines, strict=True))


def half_digit(printed: str) -> float:
    """Half of the last printed digit: how far a correct value may be from it."""
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])
