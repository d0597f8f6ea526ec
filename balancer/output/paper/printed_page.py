"""What every kind of printed page tells its template and the screen: where things stand, and which files it is in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Final, Literal, get_args

from balancer.output.paper.imposition import Imposition

Format = Literal["pdf", "png", "svg"]
FORMATS: Final[tuple[Format, ...]] = get_args(Format)
PAPER_NAMES: Final = {"a4": "A4", "letter": "Letter"}


def layout_data(layout: Imposition, margin_mm: float) -> dict[str, Any]:
    """The layout as press.typ reads it."""
    return {
        "item": list(layout.item),
        "page": list(layout.page),
        "margin": margin_mm,
        "places": [list(place) for place in layout.places],
        "marks": [list(mark) for mark in layout.marks],
    }


def files_text(files: Sequence[Path]) -> str:
    """The files that were written, as one place to look.

    >>> files_text([Path("c-1.png"), Path("c-2.png")])
    'c-1.png to c-2.png'
    """
    return str(files[0]) if len(files) == 1 else f"{files[0]} to {files[-1].name}"
