"""figures.json: what the campaign counted, slice by slice, and when."""

from __future__ import annotations

import json
import platform
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from tests.campaign.tally import Tally

FILE: Final = Path(__file__).with_name("figures.json")


def add(found: dict[str, Tally], *, is_first: bool) -> None:
    """Keep the counts of a slice with those of the slices before, or in place of what is there."""
    held = read() if FILE.exists() else {}
    today = datetime.now(UTC).date().isoformat()
    for name, tally in found.items():
        before = {} if is_first else held[name]
        counts = Counter(before.get("counts", {})) + tally.counts
        held[name] = {
            "slices": before.get("slices", 0) + 1,
            "from": before.get("from", today),
            "to": today,
            "on": f"{platform.system()}, Python {platform.python_version()}",
            "broken": before.get("broken", 0) + len(tally.findings),
            "counts": dict(sorted(counts.items())),
        }
    FILE.write_text(json.dumps(held, indent=2, sort_keys=True) + "\n", encoding="utf-8")


def read() -> dict[str, Any]:
    """By name: slices, from, to, on, broken, counts."""
    held: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return held


def done(name: str) -> int:
    """How many slices are stored."""
    return int(read()[name]["slices"]) if FILE.exists() and name in read() else 0
