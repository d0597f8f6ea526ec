"""`chart` on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from balancer.engine.prep.chart import Chart
from balancer.models.look import ENGLISH
from balancer.output.paper.chart_words import ids_text, off_text, sentence
from balancer.output.paper.language import words_of
from balancer.output.paper.printed_page import files_text
from balancer.output.words.look import columns
from balancer.output.words.numbers import brix, some, trim
from balancer.output.words.page import ROWS, page

LEAST_ROWS: Final = 5


_LABEL: Final = 7


_SIDE: Final = 10


def _most_batches() -> int:
    """So many batches stand side by side."""
    return (columns() - 2 - _LABEL - 2 - _SIDE) // 2


def chart_text(result: Chart, files: Sequence[Path] | None = None, left_off: Sequence[str] = ()) -> str:
    """The answer of `chart`: the sentence, the numbers, and the batches in order, without colour.

    files     the printed page, as written; empty when it could not be, None when nobody asked for one
    left_off  what the font of the printed page has no signs for
    """
    where = f"; page → {files_text(files)}" if files else ""
    first = f"{result.syrup.name}: {sentence(result, words_of(ENGLISH))}{where}"
    rows = numbers_rows(result)
    rows += [f"not on the page, the font cannot show it: {some(left_off, 4)}"] if left_off else []
    if result.points:
        rows += _plot(result, max(ROWS - len(rows), LEAST_ROWS))
    return page(first, rows, _more(result, asked=files is not None))


def numbers_rows(result: Chart) -> list[str]:
    """The mean, the limits and the standard, what stands out, and makers, a row each."""
    standard = f"standard {brix(result.target_brix)} ±{trim(result.tolerance_brix, 1)}"
    if not result.points:
        return [standard]
    out = f"{result.out_of_tolerance} of {len(result.points)} outside it"
    if not result.lines:
        return [f"{standard}, {out}"]
    limits = f"limits {trim(result.lines.lower, 1)} to {trim(result.lines.upper, 1)}"
    rows = [f"mean {trim(result.lines.centre, 1)}, {limits}; {standard}, {out}"]
    if result.outside and result.word not in ("steady", "moved"):
        rows.append(f"stands out, ask what was different: {ids_text(result, words_of(ENGLISH))}")
    if result.makers:
        english = words_of(ENGLISH)
        makers = ", ".join(
            f"{maker.by} {off_text(maker.offset_brix, english)} ({maker.batches})" for maker in result.makers
        )
        rows.append(f"by maker: {makers}")
    return rows


def _plot(result: Chart, height: int) -> list[str]:
    """A row for each level, a column for each batch, the latest at the right; the standard is one of the levels."""
    shown = result.points[-_most_batches() :]
    target, tolerance = result.target_brix, result.tolerance_brix
    limits = [result.lines.upper, result.lines.lower] if result.lines else []
    values = [*(point.brix for point in shown), *limits, target - tolerance, target + tolerance]
    step, above, below = _levels(max(values) - target, target - min(values), height)
    marked = {round((limit - target) / step): (".", "limit") for limit in limits} | {0: ("-", "standard")}
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


def _more(result: Chart, *, asked: bool) -> str:
    if not result.points:
        return "balancer batch add SYRUP --brix 50 logs a batch"
    shown = result.points[-_most_batches() :]
    ends = f"{shown[0].batch} to {shown[-1].batch}, left to right" if len(shown) > 1 else shown[0].batch
    outside = "; X stands out" if result.outside else ""
    offer = "" if asked else "; --out F.pdf prints it"
    last = f"the last {len(shown)} of {len(result.points)}: " if len(shown) < len(result.points) else ""
    return f"{last}{ends}, first readings{outside}{offer}"
