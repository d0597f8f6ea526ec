"""A syrup's batches as a drawing: strengths above, moving ranges below. For paper: black, white and grey.

Names and ids of a bar enter only as text of XML elements, so that they stay text whatever they hold.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from math import floor, log10
from typing import Final, NamedTuple
from xml.etree.ElementTree import Element, SubElement, tostring

from balancer.engine.prep.chart import Chart, Individuals, Point
from balancer.output.words.chart import sentence
from balancer.output.words.numbers import brix, cut, trim

WIDTH: Final = 960
HEIGHT: Final = 660
LEFT: Final = 84
RIGHT: Final = 790
STRENGTHS: Final = (112, 420)
RANGES: Final = (470, 570)
LINE_COLUMNS: Final = 98
MOST_LABELS: Final = 40

_INK: Final = "#111"
_GREY: Final = "#666"
_BAND: Final = "#e3e3e3"
_DASHES: Final = "9 6"
_GAP: Final = 18.0
_NOT_XML: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 cannot hold even escaped."""

Scale = Callable[[float], float]


class _Mark(NamedTuple):
    """A horizontal line of a panel: its value, what stands beside it, and how it is drawn."""

    value: float
    label: str
    stroke: dict[str, str]


_CENTRE: Final = {"stroke": _INK, "stroke-width": "1.5"}
_LIMIT: Final = {"stroke": _INK, "stroke-width": "1.5", "stroke-dasharray": _DASHES}
_STANDARD: Final = {"stroke": _GREY, "stroke-width": "5"}


def chart_svg(result: Chart) -> str:
    """The drawing as the text of an SVG file."""
    svg = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {WIDTH} {HEIGHT}",
            "width": str(WIDTH),
            "height": str(HEIGHT),
            "role": "img",
            "font-family": "Helvetica, Arial, 'DejaVu Sans', sans-serif",
            "font-size": "14",
            "fill": _INK,
        },
    )
    said = sentence(result)
    SubElement(svg, "title").text = _clean(f"{result.syrup.name}: strength batch by batch")
    SubElement(svg, "desc").text = _clean(said)
    SubElement(svg, "rect", {"width": str(WIDTH), "height": str(HEIGHT), "fill": "#fff"})
    _heading(svg, result, said)
    across = _across(len(result.points))
    _strengths(svg, result, across)
    if result.lines:
        _ranges(svg, result.lines, across)
    _batch_labels(svg, result, across)
    for parent in (svg, *svg.iter("g")):
        for child in parent:
            child.tail = "\n"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{tostring(svg, encoding="unicode")}'


def _heading(svg: Element, result: Chart, said: str) -> None:
    title = SubElement(svg, "text", {"x": str(LEFT), "y": "38", "font-size": "23", "font-weight": "bold"})
    # A name written from right to left keeps its own order and leaves the rest of the line alone.
    name = SubElement(title, "tspan", {"unicode-bidi": "isolate"})
    name.text = _clean(cut(result.syrup.name, 40))
    number = len(result.points)
    name.tail = f": strength of {number} {'batch' if number == 1 else 'batches'}"
    for row, line in enumerate(_lines(said)):
        _text(svg, line, LEFT, 64 + 19 * row, size=15)


def _strengths(svg: Element, result: Chart, across: Scale) -> None:
    target, tolerance, lines = result.target_brix, result.tolerance_brix, result.lines
    values = [point.brix for point in result.points] + [target - tolerance, target + tolerance]
    marks = [_Mark(target, f"standard {trim(target, 1)} ±{trim(tolerance, 1)}", _STANDARD)]
    if lines:
        values += [lines.lower, lines.upper]
        marks += [
            _Mark(lines.upper, f"upper limit {trim(lines.upper, 1)}", _LIMIT),
            _Mark(lines.centre, f"mean {trim(lines.centre, 1)}", _CENTRE),
            _Mark(lines.lower, f"lower limit {trim(lines.lower, 1)}", _LIMIT),
        ]
    panel = SubElement(svg, "g")
    low, high = _padded(values)
    up = _up(low, high, STRENGTHS)
    top, bottom = up(target + tolerance), up(target - tolerance)
    SubElement(
        panel,
        "rect",
        {"x": str(LEFT), "y": _n(top), "width": str(RIGHT - LEFT), "height": _n(bottom - top), "fill": _BAND},
    )
    _axis(panel, low, high, STRENGTHS, "strength, °Bx")
    _marks(panel, marks, up, STRENGTHS)
    since = result.moved.since if result.moved else None
    for place, point in enumerate(result.points):
        if point.batch == since:
            x = _n(across(place - 0.5))
            SubElement(
                panel, "path", {"d": f"M{x} {STRENGTHS[0]}V{STRENGTHS[1]}", "stroke": _GREY, "stroke-dasharray": "2 4"}
            )
    _join(panel, [(across(place), up(point.brix)) for place, point in enumerate(result.points)])
    for place, point in enumerate(result.points):
        _dot(panel, across(place), up(point.brix), point)


def _ranges(svg: Element, lines: Individuals, across: Scale) -> None:
    panel = SubElement(svg, "g")
    high = max(lines.upper_range, *lines.ranges, 0.1) * 1.08
    up = _up(0.0, high, RANGES)
    _axis(panel, 0.0, high, RANGES, "step, °Bx")
    marks = [_Mark(lines.upper_range, f"upper limit {trim(lines.upper_range, 1)}", _LIMIT)]
    marks.append(_Mark(lines.mean_range, f"mean step {trim(lines.mean_range, 1)}", _CENTRE))
    _marks(panel, marks, up, RANGES)
    places = [(across(place + 1), up(distance)) for place, distance in enumerate(lines.ranges)]
    _join(panel, places)
    for (x, y), distance in zip(places, lines.ranges, strict=True):
        far = distance > lines.upper_range + 1e-9
        attributes = {"cx": _n(x), "cy": _n(y), "r": "5.5" if far else "3"}
        SubElement(panel, "circle", attributes | ({"fill": "#fff", "stroke": _INK, "stroke-width": "2"} if far else {}))
    _text(panel, "step from one batch to the next", LEFT, RANGES[0] - 10, size=13, fill=_GREY)


def _batch_labels(svg: Element, result: Chart, across: Scale) -> None:
    every = -(-len(result.points) // MOST_LABELS) or 1
    group = SubElement(svg, "g", {"font-size": "12"})
    bottom = RANGES[1] if result.lines else STRENGTHS[1]
    longest = max((len(point.batch) for point in result.points), default=0)
    crowded = (RIGHT - LEFT) / max(len(result.points), 1) < 7.5 * min(longest, 12)
    for place in range(0, len(result.points), every):
        x, y = across(place), bottom + 20
        attributes = {"x": _n(x), "y": str(y), "text-anchor": "middle"}
        if crowded:
            attributes = {
                "x": _n(x + 4),
                "y": str(y - 4),
                "text-anchor": "end",
                "transform": f"rotate(-60 {_n(x + 4)} {y - 4})",
            }
        SubElement(group, "text", attributes).text = _clean(cut(result.points[place].batch, 12))
    note = "batch, in the order made; each with its first reading"
    note += "; a square lies outside the limits" if result.outside else ""
    if result.points:
        _text(svg, note, LEFT, HEIGHT - 10, size=13, fill=_GREY)


def _axis(panel: Element, low: float, high: float, edges: tuple[int, int], label: str) -> None:
    up = _up(low, high, edges)
    SubElement(panel, "path", {"d": f"M{LEFT} {edges[0]}V{edges[1]}H{RIGHT}", "fill": "none", "stroke": _INK})
    step = _step((high - low) * 45.0 / (edges[1] - edges[0]))
    value = step * -floor(-low / step)
    while value <= high:
        y = up(value)
        SubElement(panel, "path", {"d": f"M{LEFT - 6} {_n(y)}H{LEFT}", "stroke": _INK})
        _text(panel, trim(value, 2), LEFT - 10, y + 4.5, size=13, anchor="end")
        value += step
    middle = (edges[0] + edges[1]) / 2.0
    _text(panel, label, 24, middle, anchor="middle").set("transform", f"rotate(-90 24 {_n(middle)})")


def _marks(panel: Element, marks: list[_Mark], up: Scale, edges: tuple[int, int]) -> None:
    for mark in marks:
        y = _n(up(mark.value))
        SubElement(panel, "path", {"d": f"M{LEFT} {y}H{RIGHT}", "fill": "none", **mark.stroke})
    ordered = sorted(marks, key=lambda mark: up(mark.value))
    for mark, height in zip(ordered, _spread([up(mark.value) for mark in ordered], edges), strict=True):
        _text(panel, mark.label, RIGHT + 10, height + 5)
        SubElement(panel, "path", {"d": f"M{RIGHT} {_n(up(mark.value))}L{RIGHT + 7} {_n(height)}", "stroke": _GREY})


def _dot(panel: Element, x: float, y: float, point: Point) -> None:
    if point.is_outside:
        size = {"x": _n(x - 6.5), "y": _n(y - 6.5), "width": "13", "height": "13"}
        mark = SubElement(panel, "rect", size | {"fill": "#fff", "stroke": _INK, "stroke-width": "2.5"})
    else:
        mark = SubElement(panel, "circle", {"cx": _n(x), "cy": _n(y), "r": "4.5"})
    said = [f"{point.batch}: {brix(point.brix)}"]
    said += [f"made {point.made.isoformat()}"] if point.made else []
    said += [f"by {point.by}"] if point.by else []
    SubElement(mark, "title").text = _clean(", ".join(said))


def _join(panel: Element, places: list[tuple[float, float]]) -> None:
    if len(places) > 1:
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in places)
        SubElement(panel, "polyline", {"points": points, "fill": "none", "stroke": _INK, "stroke-width": "1"})


def _text(
    parent: Element, text: str, x: float, y: float, *, size: int = 14, anchor: str = "start", fill: str = _INK
) -> Element:
    element = SubElement(parent, "text", {"x": _n(x), "y": _n(y), "font-size": str(size)})
    if anchor != "start":
        element.set("text-anchor", anchor)
    if fill != _INK:
        element.set("fill", fill)
    element.text = _clean(text)
    return element


def _across(number: int) -> Scale:
    width = (RIGHT - LEFT) / max(number, 1)
    return lambda place: LEFT + (place + 0.5) * width


def _up(low: float, high: float, edges: tuple[int, int]) -> Scale:
    return lambda value: edges[1] - (value - low) / (high - low) * (edges[1] - edges[0])


def _padded(values: Iterable[float]) -> tuple[float, float]:
    held = list(values)
    pad = 0.06 * (max(held) - min(held))
    return min(held) - pad, max(held) + pad


def _step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below a length."""
    power: float = 10.0 ** floor(log10(least))
    return next(step for step in (power, 2.0 * power, 5.0 * power, 10.0 * power) if step >= least * (1.0 - 1e-9))


def _spread(places: list[float], edges: tuple[int, int]) -> list[float]:
    """Heights for labels, near their lines from top to bottom and never over each other."""
    heights: list[float] = []
    for place in places:
        heights.append(max(place, heights[-1] + _GAP) if heights else place)
    over = max(heights[-1] - edges[1], 0.0)
    for back in range(len(heights) - 1, -1, -1):
        limit = heights[back] - over if back == len(heights) - 1 else heights[back + 1] - _GAP
        heights[back] = min(heights[back], limit)
    return heights


def _lines(text: str) -> list[str]:
    lines = [""]
    for word in text.split(" "):
        if lines[-1] and len(lines[-1]) + 1 + len(word) > LINE_COLUMNS:
            lines.append("")
        lines[-1] += f" {word}" if lines[-1] else word
    return lines


def _clean(text: str) -> str:
    return _NOT_XML.sub("\ufffd", text)


def _n(value: float) -> str:
    return trim(value, 1).replace("\u2212", "-")
