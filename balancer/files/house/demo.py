"""The demo house: an invented bar with a log of three months, to look at and to copy."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).resolve().parents[2]

DEMO_EVENING: Final = datetime(2026, 11, 25, 18, 0, tzinfo=timezone(timedelta(hours=1)))
"""The evening on which the demo house's log stops: its batches are fresh then, and on no other."""


def demo_folder() -> Path:
    """The demo house: inside the package when installed, beside it in a checkout."""
    inside = _PACKAGE / "specs"
    return inside if inside.is_dir() else _PACKAGE.parent / "specs"
