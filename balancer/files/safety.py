"""The page on safety: inside the package when installed, in docs/ in a checkout. There is one copy of it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

_PACKAGE: Final = Path(__file__).resolve().parents[1]


def safety_page() -> str:
    """The page as it is written, in Markdown."""
    inside = _PACKAGE / "safety.md"
    page = inside if inside.is_file() else _PACKAGE.parent / "docs" / "safety.md"
    return page.read_text(encoding="utf-8")
