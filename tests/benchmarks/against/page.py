"""docs/performance.md and its plots, of the figures that the benchmark stored."""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from balancer.engine.service.decision import SMALL_POUR_ML, SMALL_POUR_PERCENT
from tests.benchmarks.against import menus, page_words, plots
from tests.benchmarks.against.page_words import ROOMS
from tests.benchmarks.menu import CHECKOUT

FIGURES: Final = Path(__file__).with_name("figures.json")
PAGE: Final = CHECKOUT / "docs" / "performance.md"
WIDTH: Final = 118
_HOLDS: Final = "\N{NO-BREAK SPACE}"
_UNIT: Final = re.compile(r"(?<=\d) (?=%|(?:°Bx|ml|g|ms|s)\b)")

PLOTS: Final[dict[str, Callable[[Mapping[str, Any]], dict[str, Any]]]] = {
    "times": plots.times,
    "tolerance": plots.out_of_tolerance,
    "grams": plots.grams,
}
ALTS: Final = {
    "times": "CPU time against drinks: started cold, and one reading typed",
    "tolerance": "Percent of drinks out of tolerance against how far syrups are off",
    "grams": "Grams of sugar off, poured to the drop, against how far syrups are off",
}

TEMPLATE: Final = Path(__file__).with_name("page.txt")
"""The page with places for figures; lines are broken when it is written."""


def read() -> Any:
    """The stored figures."""
    return json.loads(FIGURES.read_text(encoding="utf-8"))


def write(figures: Mapping[str, Any]) -> None:
    """The page and its plots."""
    PAGE.write_text(page(figures), encoding="utf-8")
    for name in PLOTS:
        picture(name).write_text(drawing(name, figures), encoding="utf-8")


def picture(name: str) -> Path:
    """Where a plot stands."""
    return PAGE.with_name(f"performance-{name}.svg")


def drawing(name: str, figures: Mapping[str, Any]) -> str:
    """A plot as SVG."""
    return plots.drawn(PLOTS[name](figures), ALTS[name])


def page(figures: Mapping[str, Any]) -> str:
    """The text of the page."""
    sd = f"{menus.MADE_WITH_SD_BRIX:g}"
    drawn, times = figures["evenings"][sd], figures["times"]
    largest = str(times["sizes"][-1])
    at_4 = next(row for row in figures["sweep"] if row["off_brix"] == 4.0)
    out = {room: {way: row.get("out_percent") for way, row in drawn[room].items()} for room in ROOMS}
    text = TEMPLATE.read_text(encoding="utf-8").format(
        date=figures["date"],
        step=menus.STEP_ML,
        sd=menus.MADE_WITH_SD_BRIX,
        tolerance=figures["tolerance"],
        rounds=figures["rounds"],
        **figures["machine"],
        busy=page_words.busy(figures["load"][0], figures["load"][1], figures["machine"]["cores"]),
        evenings=figures["evenings"]["count"],
        menu=times["sizes"][-1],
        lines_1000=times["lines"][largest],
        evening_table=page_words.evening_table(figures),
        unknown=figures["unknown"]["unknown"],
        ratio_4_one=at_4["one"]["ratio, exact"]["mean_g"],
        ratio_4_several=at_4["several"]["ratio, exact"]["mean_g"],
        ratio_reach=page_words.ratio_reach(figures["sweep"]),
        apart_mean=figures["totals"]["mean_g"],
        apart_worst=abs(figures["totals"]["worst_g"]),
        worst_drink_g=figures["totals"]["worst_drink_g"],
        worst_pour=figures["totals"]["worst_pour"],
        worst_pour_g=abs(figures["totals"]["worst_pour_g"]),
        **{f"ratio_{room}": out[room]["ratio, jigger"] for room in ROOMS},
        **{f"book_{room}": out[room]["workbook, jigger"] for room in ROOMS},
        **{f"ours_{room}": out[room]["balancer"] for room in ROOMS},
        **{f"none_{room}": out[room]["no pour"] for room in ROOMS},
        **{f"alt_{name}": alt for name, alt in ALTS.items()},
        times_table=page_words.times_table(times),
        time_short=page_words.time_short(times),
        time_reading=page_words.time_reading(times),
        grams_table=page_words.grams_table(drawn),
        spread_table=page_words.out_table(figures["evenings"], "{} °Bx"),
        step_table=page_words.out_table(figures["steps"], "{} ml"),
        tolerance_reading=page_words.tolerance_reading(figures, SMALL_POUR_ML, SMALL_POUR_PERCENT),
        weak_side=page_words.weak_side(figures),
        as_good=page_words.as_good(figures, sd),
        versions=", ".join(f"{name} {number}" for name, number in figures["versions"].items()),
    )
    return _wrapped(text)


def _wrapped(text: str) -> str:
    """Paragraphs and points broken at the width of a terminal; points that follow each other stand close."""
    blocks = []
    for block in text.rstrip("\n").split("\n\n"):
        if block[0] in "#|!<":
            blocks.append(block)
            continue
        inner = "  " if block.startswith("- ") else ""
        held = _UNIT.sub(_HOLDS, " ".join(block.split()))
        wide = textwrap.wrap(held, WIDTH, subsequent_indent=inner, break_long_words=False, break_on_hyphens=False)
        wide = [line.replace(_HOLDS, " ") for line in wide]
        if blocks and inner and blocks[-1].startswith("- "):
            blocks[-1] += "\n" + "\n".join(wide)
        else:
            blocks.append("\n".join(wide))
    return "\n\n".join(blocks) + "\n"
