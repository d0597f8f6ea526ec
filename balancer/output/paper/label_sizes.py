"""What labels are printed on: rolls, single labels, and sheets that are cut already."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final, NamedTuple

from balancer.output.paper.imposition import INCH_MM, PAPERS, Imposition, LabelGrid, PaperSheet, Size, alone, lay


class LabelSize(NamedTuple):
    """What labels are printed on; the scale of their letters, smallest and largest: at 1 the smallest is 8 pt.

    word      as the option has it; name as on the screen
    paper     key of the sheet that many of them are on, cut already; None where every label is a page
    """

    word: str
    name: str
    layout: Imposition
    margin_mm: float
    least: float
    full: float
    paper: str | None = None

    @property
    def is_sheet(self) -> bool:
        """Whether many are on a page."""
        return self.paper is not None


_ROLLS: Final = {"58": 5.0, "62": 4.0, "80": 4.0, "102": 4.0}
"""Width of a roll in mm, and what a printer leaves at either side: of 58 mm it reaches 48, of 80 mm 72 (common
practice; from memory)."""

_FULL_ROLL: Final = {"58": 0.95, "62": 1.06, "80": 1.35, "102": 1.7}


class _SheetOfLabels(NamedTuple):
    paper: str
    name: str
    grid: LabelGrid


def _inches(*sides: float) -> tuple[float, ...]:
    return tuple(INCH_MM * side for side in sides)


_GAP_MM: Final = 2.54
_SHEETS: Final = {
    "70x37": _SheetOfLabels("a4", "70 × 37 mm", LabelGrid(PaperSheet(70.0, 37.0), 3, 8, 0.0, 0.5, 70.0, 37.0)),
    "a4-21": _SheetOfLabels(
        "a4", "63.5 × 38.1 mm", LabelGrid(PaperSheet(63.5, 38.1), 3, 7, 7.21, 15.15, 63.5 + _GAP_MM, 38.1)
    ),
    "a4-14": _SheetOfLabels(
        "a4", "99.1 × 38.1 mm", LabelGrid(PaperSheet(99.1, 38.1), 2, 7, 4.63, 15.15, 99.1 + _GAP_MM, 38.1)
    ),
    "a4-8": _SheetOfLabels(
        "a4", "99.1 × 67.7 mm", LabelGrid(PaperSheet(99.1, 67.7), 2, 4, 4.63, 13.1, 99.1 + _GAP_MM, 67.7)
    ),
    "letter-30": _SheetOfLabels(
        "letter", "2⅝ × 1 in",
        LabelGrid(PaperSheet(*_inches(2.625, 1.0)), 3, 10, *_inches(0.1875, 0.5, 2.75, 1.0)),
    ),
    "letter-10": _SheetOfLabels(
        "letter", "4 × 2 in", LabelGrid(PaperSheet(*_inches(4.0, 2.0)), 2, 5, *_inches(0.15625, 0.5, 4.1875, 2.0))
    ),
    "letter-6": _SheetOfLabels(
        "letter", "4 × 3⅓ in",
        LabelGrid(PaperSheet(*_inches(4.0, 10.0 / 3.0)), 2, 3, *_inches(0.15625, 0.5, 4.1875, 10.0 / 3.0)),
    ),
}  # fmt: skip
"""Sheets of labels by their paper and how many they hold, with margins and gaps as they are commonly sold (common
practice; from memory)."""

SIZES: Final = ("62", "58", "80", "102", "2x1", *_SHEETS)
"""Words of the option, the usual one first."""

SAME: Final = {
    "a4-24": "70x37", "63.5x38.1": "a4-21", "99.1x38.1": "a4-14", "99.1x67.7": "a4-8",
    "2.625x1": "letter-30", "4x2": "letter-10", "4x3.33": "letter-6",
    "58mm": "58", "62mm": "62", "80mm": "80", "102mm": "102",
}  # fmt: skip
"""What else a person may call them: by what stands on the packet."""


def size_of(word: str) -> LabelSize:
    """The size that a word of the option means."""
    if word in _ROLLS:
        roll = alone(Size(float(word), None))
        return LabelSize(word, f"{word} mm roll", roll, _ROLLS[word], _FULL_ROLL[word], _FULL_ROLL[word])
    if word == "2x1":
        return LabelSize(word, "2 × 1 in", alone(Size(2.0 * INCH_MM, INCH_MM)), 1.4, 1.0, 1.6)
    sheet = _SHEETS[word]
    # The outer labels of a sheet without margins reach to where printers print nothing.
    margin = 4.5 if sheet.grid.left < 1.0 else 2.6
    layout = lay(sheet.grid, PAPERS[sheet.paper])
    return LabelSize(word, sheet.name, layout, margin, 1.0, 1.8, sheet.paper)


def larger(size: LabelSize) -> Iterator[LabelSize]:
    """The labels that have more room than those of a given height, the smallest first; of a sheet on its own paper."""
    others = [size_of(word) for word in SIZES if word not in _ROLLS]
    same = [other for other in others if not size.is_sheet or other.paper == size.paper]
    yield from sorted((other for other in same if _area(other) > _area(size)), key=_area)


def _area(size: LabelSize) -> float:
    """mm²; of a roll without end."""
    width, height = size.layout.item
    return inf if height is None else width * height
