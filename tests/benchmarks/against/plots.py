"""The plots of docs/performance.md: figures placed on scales, and set by typst as SVG with the bundled letters."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from math import log10
from pathlib import Path
from typing import Any, Final, Literal
from xml.sax.saxutils import escape

import typst

from balancer.models.look import BUNDLED_FAMILY
from balancer.output.paper.typeset import FONTS

TEMPLATE: Final = Path(__file__).with_name("plot.typ")
LOOKS: Final = {
    "as written": ("#7f7f7f", "dotted"),
    "ratio": ("#d55e00", "dashed"),
    "workbook": ("#0072b2", "dash-dotted"),
    "workbook by block": ("#56b4e9", "dashed"),
    "balancer": ("#009e73", "solid"),
    "no pour": ("#222222", "dotted"),
}
"""Colours that the colour-blind tell apart, and a dash for whoever prints in black."""
Scale = Callable[[float], float]


def straight(low: float, high: float) -> Scale:
    return lambda value: (value - low) / (high - low)


def in_tens(low: float, high: float) -> Scale:
    return lambda value: log10(value / low) / log10(high / low)


def series(points: Sequence[tuple[float, float]], x: Scale, y: Scale, look: str, label: str) -> dict[str, Any]:
    """A line, and what stands at its end."""
    colour, dash = LOOKS[look]
    placed = [[round(x(one), 4), round(y(other), 4)] for one, other in points]
    return {"points": placed, "colour": colour, "dash": dash, "label": label}


def ticks(values: Mapping[float, str], scale: Scale) -> list[dict[str, Any]]:
    return [{"at": round(scale(value), 4), "text": text} for value, text in values.items()]


def _offsets() -> dict[float, str]:
    return {value: f"{value:+d}".replace("-", "−") if value else "0" for value in range(-12, 13, 4)}


def times(figures: Mapping[str, Any]) -> dict[str, Any]:
    """CPU time against drinks, both in tens."""
    sizes, taken = figures["times"]["sizes"], figures["times"]
    x, y = in_tens(sizes[0], sizes[-1]), in_tens(1e-4, 10.0)

    def line(look: str, of: Callable[[int], float], label: str) -> dict[str, Any]:
        return series([(size, of(size)) for size in sizes], x, y, look, label)

    upward = ticks({1e-4: "0.1 ms", 1e-3: "1 ms", 1e-2: "10 ms", 0.1: "100 ms", 1.0: "1 s", 10.0: "10 s"}, y)
    common = {"along": "drinks", "up": "CPU", "sideways": ticks({size: f"{size:,}" for size in sizes}, x), "dots": True}
    return {
        "width": 190,
        "height": 85,
        "panels": [
            {
                **common,
                "share": 0.5,
                "room": 24,
                "title": "Started cold, to the answer",
                "upward": upward,
                "series": [
                    line("workbook", lambda size: taken["office"][f"whole-{size}"]["command"]["cpu"], "LibreOffice"),
                    line("balancer", lambda size: taken["ours"][str(size)]["command"]["cpu"], "balancer"),
                ],
            },
            {
                **common,
                "share": 0.5,
                "room": 26,
                "title": "All open, one reading typed anew",
                "upward": upward,
                "series": [
                    line("workbook", lambda size: taken["office"][f"whole-{size}"]["reading"]["cpu"], "by name"),
                    line(
                        "workbook by block",
                        lambda size: taken["office"][f"blocks-{size}"]["reading"]["cpu"],
                        "by block",
                    ),
                    line("balancer", lambda size: taken["ours"][str(size)]["reading"]["cpu"], "balancer"),
                ],
            },
        ],
    }


def out_of_tolerance(figures: Mapping[str, Any]) -> dict[str, Any]:
    """Part of the drinks out of tolerance against how far their syrups are off, for one syrup and for several."""
    sweep = figures["sweep"]
    x, y = straight(sweep[0]["off_brix"], sweep[-1]["off_brix"]), straight(0.0, 100.0)
    lines = (
        ("as written", "as written", "as written"),
        ("ratio", "ratio, jigger", "rule of thumb"),
        ("workbook", "workbook, jigger", "workbook"),
        ("balancer", "balancer", "balancer"),
        ("no pour", "no pour", "no pour works"),
    )
    return {
        "width": 190,
        "height": 90,
        "panels": [
            {
                "share": 0.5,
                "room": 28,
                "dots": False,
                "title": title,
                "up": "% of drinks out of tolerance",
                "along": "every syrup off by so many °Bx",
                "upward": ticks({value: f"{value:.0f}" for value in range(0, 101, 20)}, y),
                "sideways": ticks(_offsets(), x),
                "series": [
                    series([(row["off_brix"], row[room][way]["out_percent"]) for row in sweep], x, y, look, label)
                    for look, way, label in lines
                ],
            }
            for room, title in (("one", "Drinks with one syrup"), ("several", "With two or more, all off at once"))
        ],
    }


def grams(figures: Mapping[str, Any]) -> dict[str, Any]:
    """Mean grams of sugar off, poured exactly to the ml, against how far the syrups are off."""
    sweep = figures["sweep"]
    x, y = straight(sweep[0]["off_brix"], sweep[-1]["off_brix"]), straight(0.0, 1.2)
    lines = (("ratio", "ratio, exact", "rule of thumb"), ("workbook", "workbook, exact", "workbook"))
    return {
        "width": 190,
        "height": 80,
        "panels": [
            {
                "share": 0.5,
                "room": 28,
                "dots": False,
                "title": title,
                "up": "g of sugar off, mean, poured to the drop",
                "along": "every syrup off by so many °Bx",
                "upward": ticks({value: f"{value:.1f}" for value in (0.0, 0.4, 0.8, 1.2)}, y),
                "sideways": ticks(_offsets(), x),
                "series": [
                    series([(row["off_brix"], row[room][way]["mean_g"]) for row in sweep], x, y, look, label)
                    for look, way, label in lines
                ],
            }
            for room, title in (("one", "Drinks with one syrup"), ("several", "With two or more, all off at once"))
        ],
    }


def drawn(data: Mapping[str, Any], alt: str) -> str:
    """A plot as SVG, with its description; its letters are shapes, so that it looks the same everywhere."""
    return _set(data, "svg").decode().replace(">", f' role="img"><desc>{escape(alt)}</desc>', 1)


def pixels(data: Mapping[str, Any]) -> bytes:
    """The same as PNG, to look at."""
    return _set(data, "png")


def _set(data: Mapping[str, Any], kind: Literal["svg", "png"]) -> bytes:
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])
    told = {"data": json.dumps({**data, "font": BUNDLED_FAMILY})}
    found = typst.compile(TEMPLATE, format=kind, ppi=150.0, font_paths=fonts, sys_inputs=told)
    if not isinstance(found, bytes):
        raise TypeError("a plot is one page")
    return found
