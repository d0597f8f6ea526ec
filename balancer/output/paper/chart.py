"""A syrup's batches as a page to hang up: strengths above, the steps from one to the next below."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from math import floor, log10
from typing import Any, Final

from balancer.engine.prep.chart import ENOUGH, Chart, Individuals, Point
from balancer.models.house import House
from balancer.output.paper.chart_words import number_text, sentence, standard_text
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import printed_texts
from balancer.output.words.numbers import brix, cut, trim

NAME_LETTERS, ID_LETTERS = 60, 14
_TICKS: Final = 8
_ROOM: Final = 2.5
"""So many tolerances up and down, while there are no limits."""


def chart_page(result: Chart, house: House, day: date, words: Words, paper: PaperSheet) -> dict[str, Any]:
    """What the template is given: values in °Bx, which it places, and texts."""
    kind, date_text = words("chart.kind"), words.long_day(day)
    item = {
        "name": "chart",
        "title": cut(result.syrup.name, NAME_LETTERS),
        "kind": kind,
        "date": date_text,
        "house": cut(house.name, NAME_LETTERS),
        "running": f"{cut(house.name, NAME_LETTERS)} · {kind} · {date_text}",
        "said": sentence(result, words),
        "strengths": strengths_panel(result, words),
        "steps": _steps(result.lines, words) if result.lines else None,
        "points": [
            {"value": point.brix, "text": number_text(point.brix, words), "outside": point.is_outside}
            for point in result.points
        ],
        "labels": [{"at": place, "label": cut(point.batch, ID_LETTERS)} for place, point in enumerate(result.points)],
        "centre": result.lines.centre if result.lines else result.target_brix,
        "causes": _causes(result.points, words),
        "moved": _place(result),
        "notes": notes_text(result, words),
        "left_off": [],
        "instead": {
            "": kind,
            "title": result.syrup.id,
            "house": "",
            "running": f"{kind} · {date_text}",
            "said": words("paper.unshown"),
            "label": "",
            "notes": words("paper.unshown"),
        },
    }
    return {
        "title": f"{result.syrup.name}: {kind}",
        "alt": alt_text(result, words),
        "layout": {"page": list(paper.turned)},
        "words": words.section("paper") | words.section("chart"),
        "items": [printed_texts(item, words.quotes)],
    }


def alt_text(result: Chart, words: Words) -> str:
    """All that the drawing shows, in words: what the batches say, the lines, and every batch."""
    said = [sentence(result, words), standard_text(result, words)]
    if result.lines:
        said += [text for _, text, _ in _lines(result.lines, words)]
    return "; ".join(said + [_point_text(point, words) for point in result.points])


def _point_text(point: Point, words: Words) -> str:
    said = [words("chart.point", batch=point.batch, brix=words.number(brix(point.brix)))]
    said += [words("chart.point-made", day=words.full_date(point.made))] if point.made else []
    said += [words("chart.point-by", by=point.by)] if point.by else []
    said += [_cause(point, words)] if point.cause else []
    return ", ".join(said + [words("chart.point-outside")] * point.is_outside)


def _cause(point: Point, words: Words) -> str:
    return words("chart.cause", cause=words(f"chart.{point.cause}"))


def _lines(lines: Individuals, words: Words) -> list[tuple[float, str, str]]:
    """Value, text and kind of the lines that the batches themselves give."""
    return [
        (lines.upper, words("chart.upper-limit", value=number_text(lines.upper, words)), "limit"),
        (lines.centre, words("chart.mean", value=number_text(lines.centre, words)), "centre"),
        (lines.lower, words("chart.lower-limit", value=number_text(lines.lower, words)), "limit"),
    ]


def strengths_panel(result: Chart, words: Words) -> dict[str, Any]:
    """The scale of the strengths, °Bx: low, high, ticks, the lines across it, and the band that prep lets pass."""
    low, high = result.target_brix - result.tolerance_brix, result.target_brix + result.tolerance_brix
    marks = [
        (result.target_brix, standard_text(result, words), "standard"),
        *(_lines(result.lines, words) if result.lines else ()),
    ]
    values = [*(point.brix for point in result.points), low, high, *(value for value, *_ in marks)]
    if result.lines is None:  # room for those to come, and what is within the tolerance looks near
        reach = _ROOM * result.tolerance_brix
        values += [result.target_brix - reach, result.target_brix + reach]
    # Values that stand out are written beside their points.
    pad = (0.1 if result.outside else 0.06) * (max(values) - min(values))
    panel = _panel(words("chart.strength-axis"), min(values) - pad, max(values) + pad, _TICKS, marks, words)
    return panel | {"band": [low, high]}


def _steps(lines: Individuals, words: Words) -> dict[str, Any]:
    marks = [
        (lines.upper_range, words("chart.upper-limit", value=number_text(lines.upper_range, words)), "limit"),
        (lines.mean_range, words("chart.mean-step", value=number_text(lines.mean_range, words)), "centre"),
    ]
    high = 1.08 * max(lines.upper_range, *lines.ranges, 0.1)
    panel = _panel(words("chart.step-axis"), 0.0, high, _TICKS // 2, marks, words)
    return panel | {
        "points": [{"value": step, "outside": far} for step, far in zip(lines.ranges, lines.far_steps, strict=True)]
    }


def _panel(
    unit: str, low: float, high: float, ticks: int, marks: Iterable[tuple[float, str, str]], words: Words
) -> dict[str, Any]:
    """A scale from low to high with about so many ticks, and the lines across it."""
    step = step_of((high - low) / ticks)
    first, last = -floor(-low / step), floor(high / step)
    return {
        "unit": unit,
        "low": low,
        "high": high,
        "ticks": [{"value": step * at, "text": words.number(trim(step * at, 2))} for at in range(first, last + 1)],
        "marks": [{"value": value, "text": text, "kind": kind} for value, text, kind in marks],
    }


def step_of(least: float) -> float:
    """The smallest of 1, 2, 5 times a power of ten that is not below a length."""
    power: float = 10.0 ** floor(log10(least))
    return next(step for step in (power, 2.0 * power, 5.0 * power, 10.0 * power) if step >= least * (1.0 - 1e-9))


def _causes(points: Iterable[Point], words: Words) -> list[dict[str, Any]]:
    """Every cause that the log gives, and the places of its batches."""
    found: dict[str, list[int]] = {}
    for place, point in enumerate(points):
        if point.cause:
            found.setdefault(_cause(point, words), []).append(place)
    return [{"text": text, "at": places} for text, places in found.items()]


def _place(result: Chart) -> int | None:
    """Where the batches since the change begin."""
    since = result.moved.since if result.moved else None
    return next((place for place, point in enumerate(result.points) if point.batch == since), None)


def notes_text(result: Chart, words: Words) -> list[str]:
    """What stands below the drawing."""
    if not result.points:
        return [words("chart.how-to-log", syrup=result.syrup.id)]
    known = [point.made for point in result.points if point.made is not None]
    if len(known) < len(result.points):
        order = words("chart.order-logged")
    else:
        order = words("chart.order-made", days=_days(known[0], known[-1], words))
    said = [order, *[words("chart.square")] * bool(result.outside)]
    return ["; ".join(said), *[words("chart.few", enough=ENOUGH)] * (result.word == "too few")]


def _days(first: date, last: date, words: Words) -> str:
    ends = words.full_date(first), words.full_date(last)
    return ends[0] if first == last else words("chart.days", first=ends[0], last=ends[1])
