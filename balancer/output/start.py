"""What `start` says it wrote."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from balancer.output.numbers import count


def start_text(folder: Path, written: list[Path]) -> str:
    """The folder, its files, and the two commands to try next."""
    lines = [f"{folder} is ready: {count(len(written), 'files')} to read and change"]
    lines += [f"  {path}" for path in written[:8]]
    lines.append(f"more: balancer check --specs {folder}, then balancer totals --specs {folder} DRINK")
    return "\n".join(lines)


def start_data(folder: Path, written: list[Path]) -> dict[str, Any]:
    """The JSON object of `start`."""
    return {"folder": str(folder), "files": [str(path) for path in written]}
