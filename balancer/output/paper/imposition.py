"""Where things stand on a sheet of paper: as many as fit, and where to cut. Everything in millimetres."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, NamedTuple

INCH_MM: Final = 25.4
_EDGE_MM: Final = 5.0
"""Office printers leave about this much of a sheet's edge unprinted (common practice)."""
_MARK_MM: Final = 4.0
_GAP_MM: Final = 1.0
_ROUNDING_MM: Final = 1e-6


class Size(NamedTuple):
    """Width and height in mm. height is None on a roll: as long as the text."""

    width: float
    height: float | None


class PaperSheet(NamedTuple):
    """A sheet of paper, width and height in mm."""

    width: float
    height: float

    @property
    def turned(self) -> PaperSheet:
        """The same sheet on its side."""
        return PaperSheet(self.height, self.width)


PAPERS: Final = {"a4": PaperSheet(210.0, 297.0), "letter": PaperSheet(215.9, 279.4)}
"""ISO 216 A4, and the American Letter, 8.5 × 11 in (ANSI/ASME Y14.1)."""

Mark = tuple[float, float, float, float]
"""A line from x1, y1 to x2, y2, from the top left corner of the page."""


@dataclass(frozen=True, slots=True)
class Imposition:
    """Items on pages.

    places  the top left corner of every item of a page
    marks   short lines along which to cut; none where an item is a page of its own
    inside  the marks stand between the items, because the paper has no room beside them
    """

    item: Size
    page: Size
    places: tuple[tuple[float, float], ...]
    marks: tuple[Mark, ...] = ()
    inside: bool = False

    @property
    def up(self) -> int:
        """How many items a page has room for."""
        return len(self.places)


def alone(item: Size) -> Imposition:
    """Every item a page of its own size."""
    return Imposition(item, item, ((0.0, 0.0),))


class LabelGrid(NamedTuple):
    """Labels as they lie on a sheet that is cut already, in mm.

    label          one label; columns, rows: how many across and down
    left, top      where the first one begins
    across, down   from the left, or top, edge of one label to that of the next
    """

    label: PaperSheet
    columns: int
    rows: int
    left: float
    top: float
    across: float
    down: float


def lay(grid: LabelGrid, paper: PaperSheet) -> Imposition:
    """Items in the places that a sheet has for them. Nothing is to be cut, so there are no marks.

    Raises ValueError for a grid whose labels overlap, or that is larger than the sheet.
    """
    right = grid.left + (grid.columns - 1) * grid.across + grid.label.width
    bottom = grid.top + (grid.rows - 1) * grid.down + grid.label.height
    is_apart = grid.across > grid.label.width - _ROUNDING_MM and grid.down > grid.label.height - _ROUNDING_MM
    is_inside = min(grid.left, grid.top, paper.width - right, paper.height - bottom) > -_ROUNDING_MM
    if not (is_apart and is_inside):
        raise ValueError(f"{grid} is no grid for {paper}")
    places = tuple(
        (grid.left + column * grid.across, grid.top + row * grid.down)
        for row in range(grid.rows)
        for column in range(grid.columns)
    )
    return Imposition(Size(*grid.label), Size(*paper), places)


def impose(item: PaperSheet, paper: PaperSheet) -> Imposition | None:
    """As many items as fit on a sheet, side by side, to be cut; None when not even one does.

    The sheet is turned where that makes room for more.
    """
    pages = [paper, paper.turned]
    page = max(pages, key=lambda page: _columns(item, page) * _rows(item, page))
    columns, rows = _columns(item, page), _rows(item, page)
    if not columns * rows:
        return None
    left, top = _start(page.width - columns * item.width), _start(page.height - rows * item.height)
    xs = [left + column * item.width for column in range(columns + 1)]
    ys = [top + row * item.height for row in range(rows + 1)]
    places = tuple((x, y) for y in ys[:-1] for x in xs[:-1])
    marks = (*_along(xs, ys, page, upright=True), *_along(ys, xs, page, upright=False))
    return Imposition(
        Size(*item), Size(*page), places, tuple(mark for mark, _ in marks), any(inside for _, inside in marks)
    )


def _start(spare: float) -> float:
    """Where the items start: in the middle; at the edge, where only one cut can be marked beside them."""
    return 0.0 if _EDGE_MM <= spare < 2.0 * _EDGE_MM else spare / 2.0


def _columns(item: PaperSheet, page: PaperSheet) -> int:
    return int((page.width + _ROUNDING_MM) / item.width)


def _rows(item: PaperSheet, page: PaperSheet) -> int:
    return int((page.height + _ROUNDING_MM) / item.height)


def _along(cuts: list[float], ends: list[float], page: PaperSheet, *, upright: bool) -> list[tuple[Mark, bool]]:
    """The marks of the cuts in one direction, and whether each stands between the items.

    A cut is marked beyond both its ends. Where the printer cannot print there, it is marked on the cut itself:
    as near to the edge as can be printed, and across every cut of the other direction.
    """
    across = page.width if upright else page.height
    length = page.height if upright else page.width
    room = ends[0] - _EDGE_MM
    found: list[tuple[Mark, bool]] = []
    for at in cuts:
        if not _EDGE_MM <= at <= across - _EDGE_MM:  # the edge of the paper, or out of the printer's reach
            continue
        if room >= _GAP_MM + _MARK_MM:
            stretches = [
                (ends[0] - _GAP_MM - _MARK_MM, ends[0] - _GAP_MM),
                (ends[-1] + _GAP_MM, ends[-1] + _GAP_MM + _MARK_MM),
            ]
            inside = False
        else:
            stretches = [(_EDGE_MM, _EDGE_MM + _MARK_MM), (length - _EDGE_MM - _MARK_MM, length - _EDGE_MM)]
            stretches += [(end - _MARK_MM / 2.0, end + _MARK_MM / 2.0) for end in ends[1:-1]]
            inside = True
        found += [((at, low, at, high) if upright else (low, at, high, at), inside) for low, high in stretches]
    return found
