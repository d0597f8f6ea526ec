"""A syrup's strengths batch by batch as a drawing: where everything stands, in its own units."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final, NamedTuple

from balancer.engine.prep.chart import Chart
from balancer.models.look import ENGLISH
from balancer.output.paper.chart import alt_text, strengths_panel
from balancer.output.paper.language import words_of
from balancer.output.words.numbers import trim

WIDTH: Final = 358
HEIGHT: Final = 260
MOST_POINTS: Final = 20
_FEWEST: Final = 2
_LEFT, _RIGHT, _TOP, _BOTTOM = 34.0, 240.0, 10.0, 232.0
_INSET: Final = 10.0
_LABEL_APART: Final = 15.0


class PlacedPoint(NamedTuple):
    """A batch: from the left and the top; text is its strength where it stands at the point, else empty."""

    x: float
    y: float
    outside: bool
    text: str


class PlacedLine(NamedTuple):
    """A line across: its height, what it is, its text and where that stands, which may be moved aside."""

    y: float
    kind: str
    text: str
    text_y: float


class Plot(NamedTuple):
    """The drawing.

    ticks   of the scale: height and text
    band    what prep lets pass: its top and its height
    moved   where a change that stayed begins; None where there is none among those shown
    ends    the ids under the first and the last batch
    left    batches before those shown
    said    all of it in words
    """

    points: tuple[PlacedPoint, ...]
    lines: tuple[PlacedLine, ...]
    ticks: tuple[tuple[float, str], ...]
    band: tuple[float, float]
    moved: float | None
    ends: tuple[tuple[float, str, str], ...]
    left: int
    said: str

    @property
    def way(self) -> str:
        """The path from batch to batch."""
        return "M" + "L".join(f"{point.x} {point.y}" for point in self.points)


def plot(result: Chart) -> Plot | None:
    """The drawing of the last batches; None for fewer than two, of which nothing is to be seen."""
    if len(result.points) < _FEWEST:
        return None
    words = words_of(ENGLISH)
    panel = strengths_panel(result, words)
    low, high = float(panel["low"]), float(panel["high"])
    shown = result.points[-MOST_POINTS:]
    step = (_RIGHT - _LEFT - 2.0 * _INSET) / (len(shown) - 1)

    def height(value: float) -> float:
        return round(_BOTTOM - (_BOTTOM - _TOP) * (value - low) / (high - low), 1)

    places = [round(_LEFT + _INSET + step * at, 1) for at in range(len(shown))]
    since = result.moved.since if result.moved else None
    marks = sorted(panel["marks"], key=lambda mark: -mark["value"])
    heights = [height(mark["value"]) for mark in marks]
    band = height(panel["band"][1])
    return Plot(
        points=tuple(
            PlacedPoint(
                x, height(point.brix), point.is_outside, _text(point.brix, shown=point.is_outside or point is shown[-1])
            )
            for x, point in zip(places, shown, strict=True)
        ),
        lines=tuple(
            PlacedLine(y, mark["kind"], mark["text"], text_y)
            for mark, y, text_y in zip(marks, heights, apart(heights, _LABEL_APART, _BOTTOM), strict=True)
        ),
        ticks=tuple((height(tick["value"]), tick["text"]) for tick in panel["ticks"]),
        band=(band, round(height(panel["band"][0]) - band, 1)),
        moved=next((x for x, point in zip(places, shown, strict=True) if point.batch == since), None),
        ends=((places[0], shown[0].batch, "start"), (places[-1], shown[-1].batch, "end")),
        left=len(result.points) - len(shown),
        said=alt_text(result, words),
    )


def _text(brix: float, *, shown: bool) -> str:
    return trim(brix, 1) if shown else ""


def apart(heights: Sequence[float], least: float, lowest: float) -> list[float]:
    """Heights from the top, moved as little as need be to stand apart, none below the lowest.

    >>> apart([10.0, 12.0, 100.0], 15.0, 100.0)
    [10.0, 25.0, 100.0]
    >>> apart([90.0, 95.0, 100.0], 15.0, 100.0)
    [70.0, 85.0, 100.0]
    """
    return [*reversed(_pushed((-height for height in reversed(_pushed(heights, least))), least, -lowest))]


def _pushed(heights: Iterable[float], least: float, floor: float | None = None) -> list[float]:
    found: list[float] = []
    for height in heights:
        bound = found[-1] + least if found else (height if floor is None else floor)
        found.append(max(height, bound))
    return found if floor is None else [-height for height in found]
