"""A syrup's batches as a page to hang up: strengths above, the steps from one to the next below."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from math import floor, log10
from typing import Any, Final

from balancer.engine.prep.chart import Chart, Individuals, Point
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import printed_texts
from balancer.output.paper.sheet import long_day
from balancer.output.paper.typeset import texts
from balancer.output.words.chart import sentence
from balancer.output.words.numbers import brix, cut, trim

LOST: Final = ("labels", "said", "syrup", "house")
"""What the page can do without where the font has no signs for it."""

NAME_LETTERS, ID_LETTERS = 60, 14
_TICKS: Final = 8
_TITLE: Final = "strength batch by batch"


def chart_page(result: Chart, house: House, day: date, words: Words, paper: PaperSheet) -> dict[str, Any]:
    """What the template is given: values in °Bx, which it places, and texts."""
    item = {
        "name": "chart",
        "title": _TITLE,
        "date": long_day(day),
        "running": f"{_TITLE} · {long_day(day)}",
        "house": [cut(house.name, NAME_LETTERS)],
        "syrup": [cut(result.syrup.name, NAME_LETTERS)],
        "said": [sentence(result)],
        "strengths": _strengths(result),
        "steps": _steps(result.lines) if result.lines else None,
        "points": [
            {"value": point.brix, "text": trim(point.brix, 1), "outside": point.is_outside} for point in result.points
        ],
        "labels": [{"at": place, "text": cut(point.batch, ID_LETTERS)} for place, point in enumerate(result.points)],
        "centre": result.lines.centre if result.lines else result.target_brix,
        "causes": _causes(result.points),
        "moved": _place(result),
        "notes": _notes(result),
    }
    return {
        "title": f"{result.syrup.name}: {_TITLE}",
        "alt": alt_text(result),
        "layout": {"page": list(paper.turned)},
        "words": words.section("paper"),
        "items": [printed_texts(item)],
    }


def lost_texts(dropped: Mapping[str, Mapping[str, Sequence[Any]]]) -> list[str]:
    """What the font had no signs for, as the bar wrote it."""
    return [text for key in LOST for part in dropped.get("chart", {}).get(key, ()) for text in texts(part)]


def alt_text(result: Chart) -> str:
    """All that the drawing shows, in words: what the batches say, the lines, and every batch."""
    said = [sentence(result), _standard(result)]
    if result.lines:
        said += [text for _, text, _ in _lines(result.lines)]
    return "; ".join(said + [_point_text(point) for point in result.points])


def _point_text(point: Point) -> str:
    said = [f"{point.batch}: {brix(point.brix)}"]
    said += [f"made {point.made.isoformat()}"] if point.made else []
    said += [f"by {point.by}"] if point.by else []
    said += [f"cause {point.cause}"] if point.cause else []
    return ", ".join(said + ["outside the limits"] * point.is_outside)


def _standard(result: Chart) -> str:
    return f"standard {trim(result.target_brix, 1)} ±{trim(result.tolerance_brix, 1)}"


def _lines(lines: Individuals) -> list[tuple[float, str, str]]:
    """Value, text and kind of the lines that the batches themselves give."""
    return [
        (lines.upper, f"upper limit {trim(lines.upper, 1)}", "limit"),
        (lines.centre, f"mean {trim(lines.centre, 1)}", "centre"),
        (lines.lower, f"lower limit {trim(lines.lower, 1)}", "limit"),
    ]


def _strengths(result: Chart) -> dict[str, Any]:
    low, high = result.target_brix - result.tolerance_brix, result.target_brix + result.tolerance_brix
    marks = [(result.target_brix, _standard(result), "standard"), *(_lines(result.lines) if result.lines else ())]
    values = [*(point.brix for point in result.points), low, high, *(value for value, *_ in marks)]
    # Values that stand out are written beside their points.
    pad = (0.1 if result.outside else 0.06) * (max(values) - min(values))
    return _panel("strength, °Bx", min(values) - pad, max(values) + pad, _TICKS, marks) | {"band": [low, high]}


def _steps(lines: Individuals) -> dict[str, Any]:
    marks = [
        (lines.upper_range, f"upper limit {trim(lines.upper_range, 1)}", "limit"),
        (lines.mean_range, f"mean step {trim(lines.mean_range, 1)}", "centre"),
    ]
    high = 1.08 * max(lines.upper_range, *lines.ranges, 0.1)
    panel = _panel("step from one batch to the next, °Bx", 0.0, high, _TICKS // 2, marks)
    return panel | {
        "points": [{"value": step, "outside": far} for step, far in zip(lines.ranges, lines.far_steps, strict=True)]
    }


def _panel(unit: str, low: float, high: float, ticks: int, marks: Iterable[tuple[float, str, str]]) -> dict[str, Any]:
    """A scale from low to high with about so many ticks, and the lines across it."""
    step = _step((high - low) / ticks)
    first, last = -floor(-low / step), floor(high / step)
    return {
        "unit": unit,
        "low": low,
        "high": high,
        "ticks": [{"value": step * at, "text": trim(step * at, 2)} for at in range(first, last + 1)],
        "marks": [{"value": value, "text": text, "kind": kind} for value, text, kind in marks],
    }


def _step(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below a length."""
    power: float = 10.0 ** floor(log10(least))
    return next(step for step in (power, 2.0 * power, 5.0 * power, 10.0 * power) if step >= least * (1.0 - 1e-9))


def _causes(points: Iterable[Point]) -> list[dict[str, Any]]:
    """Every cause that the log gives, and the places of its batches."""
    found: dict[str, list[int]] = {}
    for place, point in enumerate(points):
        if point.cause:
            found.setdefault(point.cause, []).append(place)
    return [{"text": f"cause: {cause}", "at": places} for cause, places in found.items()]


def _place(result: Chart) -> int | None:
    """Where the batches since the change begin."""
    since = result.moved.since if result.moved else None
    return next((place for place, point in enumerate(result.points) if point.batch == since), None)


def _notes(result: Chart) -> list[str]:
    if not result.points:
        return ["no batch of it has a reading in the log yet"]
    days = [point.made for point in result.points]
    known = [day for day in days if day is not None]
    order = "as logged" if len(known) < len(days) else f"in the order made, {_days(known)}"
    square = "; a square lies outside the limits" * bool(result.outside)
    few = ["mean and limits of so few batches are rough: they do not tell yet which batch stands out"]
    return [f"each batch with its first reading, {order}{square}", *few * (result.word == "too few" and len(days) > 1)]


def _days(days: list[date]) -> str:
    first, last = (f"{day_text(day)} {day.year}" for day in (days[0], days[-1]))
    return first if first == last else f"{first} to {last}"
