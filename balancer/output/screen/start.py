"""`start` on the screen."""

from __future__ import annotations

from pathlib import Path

from balancer.output.words.numbers import count


def start_text(folder: Path, written: list[Path]) -> str:
    """The folder, its files, and the two commands to try next."""
    lines = [f"{folder} is ready: {count(len(written), 'files')} to read and change"]
    lines += [f"  {path}" for path in written[:8]]
    lines.append(f"more: balancer check --specs {folder}, then balancer totals --specs {folder} DRINK")
    return "\n".join(lines)
