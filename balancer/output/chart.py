"""A syrup's batches on a chart: the sentence, a small chart in characters, JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from balancer.engine.chart import ENOUGH, Chart, Individuals
from balancer.output.numbers import brix, cut, trim
from balancer.output.page import COLUMNS, ROWS, page

LEAST_ROWS: Final = 5
_LABEL: Final = 7
_SIDE: Final = 10
_MOST_BATCHES: Final = (COLUMNS - 2 - _LABEL - 2 - _SIDE) // 2


def sentence(result: Chart) -> str:
    """What the batches say and what to change. It holds no name but batch ids."""
    number, offset = len(result.points), result.offset_brix or 0.0
    if result.word == "too few":
        return f"too few batches to say: {number or 'none'} with a reading, {ENOUGH} are needed"
    if result.word == "moved" and result.moved:
        way = "stronger" if result.moved.change_brix > 0.0 else "weaker"
        return (
            f"moved: since {result.moved.since} about {trim(abs(result.moved.change_brix), 1)} °Bx {way} than before, "
            f"now {_off(offset)}: ask what changed then"
        )
    if result.word == "up and down":
        return (
            f"up and down: by {trim(result.spread_brix or 0.0, 1)} °Bx around {trim(_centre(result), 1)}: "
            "weigh sugar and water, the same way every time"
        )
    if result.word == "steady":
        near = f"within {trim(result.spread_brix or 0.0, 1)} of {brix(_centre(result))}"
        if result.outside:
            return f"steady: {near}, but for {_ids(result)}: ask what was different"
        return f"steady: {near}; change nothing"
    word = result.word if result.same_side == number else result.word.replace("always", "mostly")
    who = f"every one of {number}" if result.same_side == number else f"{result.same_side} of {number}"
    return f"{word}: {who} batches, by {trim(abs(offset), 1)} °Bx on average: {_change(result, offset)} per kg of syrup"


def _change(result: Chart, offset: float) -> str:
    """Water where the log blames the water, else sugar; a cause that would work the other way is not believed."""
    water, sugar = result.water_g_per_kg or 0.0, result.sugar_g_per_kg or 0.0
    if result.cause == "boiled" and offset > 0.0:
        return f"keep the lid on, {trim(abs(water), 0)} g more water"
    if result.cause == "watered" and offset < 0.0:
        return f"weigh the water, {trim(abs(water), 0)} g less"
    return f"weigh the sugar, {trim(abs(sugar), 0)} g {'less' if offset > 0.0 else 'more'}"


def chart_text(result: Chart) -> str:
    """The answer of `chart`: the sentence, the numbers, and the batches in order, without colour."""
    first = f"{result.syrup.name}: {sentence(result)}"
    rows = _numbers(result)
    if result.lines:
        rows += _plot(result, result.lines, max(ROWS - len(rows), LEAST_ROWS))
    return page(first, rows, _more(result))


def _numbers(result: Chart) -> list[str]:
    standard = f"standard {brix(result.target_brix)} ±{trim(result.tolerance_brix, 1)}"
    if not result.lines:
        return [standard]
    limits = f"limits {trim(result.lines.lower, 1)} to {trim(result.lines.upper, 1)}"
    out = f"{result.out_of_tolerance} of {len(result.points)} outside it"
    rows = [f"mean {trim(result.lines.centre, 1)}, {limits}; {standard}, {out}"]
    if result.outside and result.word not in ("steady", "moved"):
        rows.append(f"stands out, ask what was different: {_ids(result)}")
    if result.makers:
        makers = ", ".join(f"{maker.by} {_off(maker.offset_brix)} ({maker.batches})" for maker in result.makers)
        rows.append(f"by maker: {makers}")
    return rows


def _plot(result: Chart, lines: Individuals, height: int) -> list[str]:
    """A row for each level, a column for each batch, the latest at the right; the standard is one of the levels."""
    shown = result.points[-_MOST_BATCHES:]
    target, tolerance = result.target_brix, result.tolerance_brix
    values = [*(point.brix for point in shown), lines.lower, lines.upper, target - tolerance, target + tolerance]
    step, above, below = _levels(max(values) - target, target - min(values), height)
    marked = {
        round((lines.upper - target) / step): (".", "limit"),
        round((lines.lower - target) / step): (".", "limit"),
        0: ("-", "standard"),
    }
    rows = []
    for level in range(above, -below - 1, -1):
        line, label = marked.get(level, (" ", ""))
        marks = ["X" if point.is_outside else "o" for point in shown]
        levels = [round((point.brix - target) / step) for point in shown]
        places = "".join(line + (mark if at == level else line) for mark, at in zip(marks, levels, strict=True))
        rows.append(f"{trim(target + level * step, 1):>{_LABEL - 1}} |{places}{line} {label}".rstrip())
    return rows


def _levels(up: float, down: float, height: int) -> tuple[float, int, int]:
    """The least handy step with which so many rows reach up and down from the standard, and rows each way."""
    for step in (0.2, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 10.0, 20.0):
        above, below = round(up / step), round(down / step)
        if above + below + 1 <= height:
            return step, above, below
    return 50.0, round(up / 50.0), round(down / 50.0)


def _more(result: Chart) -> str:
    if not result.points:
        return "balancer batch add SYRUP --brix 50 logs a batch"
    shown = result.points[-_MOST_BATCHES:]
    ends = f"{shown[0].batch} to {shown[-1].batch}, left to right" if len(shown) > 1 else shown[0].batch
    outside = "; X stands out" if result.outside else ""
    return f"{ends}, first readings{outside}; --out F.svg draws it"


def _ids(result: Chart) -> str:
    ids = [point.batch for point in result.outside]
    more = f" and {len(ids) - 4} more" if len(ids) > 4 else ""
    return cut(", ".join(ids[:4]), 50) + more


def _off(offset_brix: float) -> str:
    text = trim(abs(offset_brix), 1)
    return "at standard" if text == "0" else f"{text} {'over' if offset_brix > 0.0 else 'under'}"


def _centre(result: Chart) -> float:
    return result.lines.centre if result.lines else result.target_brix


def chart_data(result: Chart, svg: Path | None = None) -> dict[str, Any]:
    """The JSON object of `chart`."""
    lines = result.lines
    ranges: tuple[float | None, ...] = (None, *lines.ranges) if lines else (None,) * len(result.points)
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "says": result.word,
        "sentence": sentence(result),
        "standard_brix": result.target_brix,
        "tolerance_brix": result.tolerance_brix,
        "centre_brix": lines.centre if lines else None,
        "lower_brix": lines.lower if lines else None,
        "upper_brix": lines.upper if lines else None,
        "mean_range_brix": lines.mean_range if lines else None,
        "upper_range_brix": lines.upper_range if lines else None,
        "sigma_brix": lines.sigma if lines else None,
        "offset_brix": result.offset_brix,
        "sugar_g_per_kg": result.sugar_g_per_kg,
        "water_g_per_kg": result.water_g_per_kg,
        "moved": {"since": result.moved.since, "change_brix": result.moved.change_brix} if result.moved else None,
        "same_side": result.same_side,
        "out_of_tolerance": result.out_of_tolerance,
        "cause": result.cause,
        "makers": [
            {"by": maker.by, "batches": maker.batches, "offset_brix": maker.offset_brix} for maker in result.makers
        ],
        "batches": [
            {
                "batch": point.batch,
                "brix": point.brix,
                "range_brix": distance,
                "made": point.made.isoformat() if point.made else None,
                "by": point.by,
                "cause": point.cause,
                "outside": point.is_outside,
            }
            for point, distance in zip(result.points, ranges, strict=True)
        ],
        "svg": str(svg) if svg else None,
    }
