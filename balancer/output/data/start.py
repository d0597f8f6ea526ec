"""`start` as JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def start_data(folder: Path, written: list[Path]) -> dict[str, Any]:
    """The JSON object of `start`."""
    return {"folder": str(folder), "files": [str(path) for path in written]}
