"""figures.json: what the whole campaign counted, and when."""

from __future__ import annotations

import json
import platform
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from tests.campaign.tally import Tally

FILE: Final = Path(__file__).with_name("figures.json")


def store(found: dict[str, Tally]) -> None:
    """Keep the counts of what ran, beside those of what did not."""
    held = read() if FILE.exists() else {}
    for name, tally in found.items():
        held[name] = {
            "made": datetime.now(UTC).date().isoformat(),
            "on": f"{platform.system()}, Python {platform.python_version()}",
            "broken": len(tally.findings),
            "counts": {what: count for what, count in sorted(tally.counts.items()) if count},
        }
    FILE.write_text(json.dumps(held, indent=2, sort_keys=True) + "\n", encoding="utf-8")


def read() -> dict[str, Any]:
    """By name: made, on, broken, counts."""
    held: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
    return held
