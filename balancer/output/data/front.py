"""`balancer` alone, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from balancer.engine.batch.notes import BatchNow
from balancer.output.data.batches import list_data


def front_data(folder: Path, night: date, open_ones: Sequence[BatchNow]) -> dict[str, Any]:
    """Where the bar's files are, and what is open."""
    return {"folder": str(folder), "date": night.isoformat(), **list_data(open_ones)}
