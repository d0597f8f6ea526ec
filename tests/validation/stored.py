"""What takes minutes, as data: figures/*.csv, written by `python -m tests.validation --measure` and read by the page.

Of draws and problems the first part is stored beside the whole, so that a slow test can work it out again and compare.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Final

from tests.validation import draws_after, draws_reading
from tests.validation.draws import DRAWS, PART, Case, Found, drawn
from tests.validation.libraries import OPINIONS, Apart, Opinion, apart
from tests.validation.searches import SEARCHES, Gaps, Search, tried

FOLDER: Final = Path(__file__).with_name("figures")
CASES: Final = (*draws_reading.CASES, *draws_after.CASES)
_PART: Final = "first part: "


def draws_of(case: Case, draws: int) -> dict[str, str]:
    """Percents and ratios as they are stored."""
    found = drawn(case, draws)
    return {
        "draws": str(found.draws),
        "within": f"{found.within:.2f}",
        "ratio": f"{found.ratio:.3f}",
        "bias": f"{found.bias:.4f}",
        "shown": f"{found.shown:.4f}",
    }


def gaps_of(search: Search, cases: int) -> dict[str, str]:
    """Counts, and the largest gap to three digits; a rounding of floats is none."""
    found = tried(search, cases)
    return {
        "cases": str(found.cases),
        "passed over": str(found.passed_over),
        "worse": str(found.worse),
        "largest": f"{found.largest:.3g}" if found.worse else "0",
    }


def apart_of(opinion: Opinion) -> dict[str, str]:
    """To two digits."""
    found = apart(opinion)
    return {
        "points": str(found.points),
        "largest": f"{found.largest:.2g}",
        "at": found.at,
        "typical": f"{found.typical:.2g}",
    }


def measure(only: str = "") -> None:
    """Work everything out and store it; only: one of draws, searches, libraries."""
    if only in ("", "draws"):
        _write("draws", ((case.key, _both(draws_of(case, DRAWS), draws_of(case, part_of(DRAWS)))) for case in CASES))
    if only in ("", "searches"):
        _write(
            "searches",
            ((one.key, _both(gaps_of(one, one.cases), gaps_of(one, part_of(one.cases)))) for one in SEARCHES),
        )
    if only in ("", "libraries"):
        _write("libraries", ((opinion.key, apart_of(opinion)) for opinion in OPINIONS))


def part_of(count: int) -> int:
    """How many of so many the slow test works out."""
    return max(1, count // PART)


def stored(name: str) -> dict[str, dict[str, str]]:
    """By key, what is stored."""
    with (FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as lines:
        return {row.pop("key"): row for row in csv.DictReader(lines, strict=True)}


def first_part(row: Mapping[str, str]) -> dict[str, str]:
    """What is stored of the first part."""
    return {name.removeprefix(_PART): text for name, text in row.items() if name.startswith(_PART)}


def found_draws() -> dict[str, Found]:
    """The draws by case."""
    return {
        key: Found(int(row["draws"]), *(float(row[name]) for name in ("within", "ratio", "bias", "shown")))
        for key, row in stored("draws").items()
    }


def found_gaps() -> dict[str, Gaps]:
    """The gaps by search."""
    return {
        key: Gaps(int(row["cases"]), int(row["passed over"]), int(row["worse"]), float(row["largest"]))
        for key, row in stored("searches").items()
    }


def found_apart() -> dict[str, Apart]:
    """The differences by opinion."""
    return {
        key: Apart(int(row["points"]), float(row["largest"]), row["at"], float(row["typical"]))
        for key, row in stored("libraries").items()
    }


def _both(whole: dict[str, str], part: dict[str, str]) -> dict[str, str]:
    return {**whole, **{f"{_PART}{name}": text for name, text in part.items()}}


def _write(name: str, rows: Iterable[tuple[str, dict[str, str]]]) -> None:
    FOLDER.mkdir(exist_ok=True)
    found = []
    for key, row in rows:
        print(f"{name} {key}: {', '.join(f'{what} {text}' for what, text in row.items())}", file=sys.stderr, flush=True)
        found.append({"key": key, **row})
    with (FOLDER / f"{name}.csv").open("w", encoding="utf-8", newline="") as lines:
        writer = csv.DictWriter(lines, found[0], lineterminator="\n")
        writer.writeheader()
        writer.writerows(found)
