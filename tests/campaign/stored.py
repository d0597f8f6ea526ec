"""figures.json: what the campaign counted, slice by slice, and when."""

from __future__ import annotations

import json
import platform
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from tests.campaign.tally import Tally

FILE: Final = Path(__file__).with_name("figures.json")


@dataclass(frozen=True, slots=True)
class Figures:
    """What all slices of a name counted together.

    first, last  the days of the first and the last of them
    on           the systems and versions of Python they ran with
    broken       how many promises were
    """

    slices: int
    first: str
    last: str
    on: frozenset[str]
    broken: int
    counts: Counter[str]


def keep(found: Mapping[str, Tally], place: int) -> None:
    """Store a slice of some names, in place of what was stored of it."""
    held = _held()
    for name, tally in found.items():
        held.setdefault(name, {})[str(place)] = {
            "made": datetime.now(UTC).date().isoformat(),
            "on": f"{platform.system()}, Python {platform.python_version()}",
            "broken": len(tally.findings),
            "counts": {what: count for what, count in sorted(tally.counts.items()) if count},
        }
    FILE.write_text(json.dumps(held, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def forget(name: str) -> None:
    """Store nothing of a name."""
    held = _held()
    held.pop(name, None)
    FILE.write_text(json.dumps(held, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def sound(name: str) -> set[int]:
    """The slices of a name that are stored and broke no promise."""
    return {int(place) for place, one in _held().get(name, {}).items() if not one["broken"]}


def figures() -> dict[str, Figures]:
    """All that is stored, by name."""
    return {name: _together(list(slices.values())) for name, slices in _held().items()}


def _together(slices: list[dict[str, Any]]) -> Figures:
    days = sorted(one["made"] for one in slices)
    counts: Counter[str] = Counter()
    for one in slices:
        counts.update(one["counts"])
    on = frozenset(one["on"] for one in slices)
    return Figures(len(slices), days[0], days[-1], on, sum(one["broken"] for one in slices), counts)


def _held() -> dict[str, Any]:
    held: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8")) if FILE.exists() else {}
    return held
