"""What is stuck on bottles: strips and labels; a syrup's chart, and what measuring is worth."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from balancer.desk.desk import Desk
from balancer.engine.prep.chart import Chart
from balancer.engine.service.bottled import bottled
from balancer.engine.service.labels import Labels, labels
from balancer.engine.service.strips import Strips, strips
from balancer.engine.service.tonight import tonight
from balancer.engine.simulate.result import Simulation
from balancer.models.batch import Batch
from balancer.output.paper import label_print
from balancer.output.paper import strips as strip_paper
from balancer.output.paper.chart import chart_page
from balancer.output.paper.dots import PNG_DPI
from balancer.output.paper.fitting import Fitted, StoodIn, typeset_fitting, typeset_standing_in
from balancer.output.paper.imposition import PAPERS
from balancer.output.paper.label_print import LabelPrint, LabelText, labels_page
from balancer.output.paper.label_sizes import larger
from balancer.output.paper.printed_page import Format
from balancer.output.paper.simulate import simulate_page
from balancer.output.paper.strips import StripPaper, strips_page
from balancer.output.paper.typeset import TEMPLATES


def night_strips(desk: Desk, night: date, only: Iterable[Batch] | None = None) -> Strips:
    """The strips of a night; only: of these batches."""
    entries, known = desk.until(night)
    return strips(desk.bar, tonight(desk.bar, known, night, bottled(entries)), known, entries, only)


def set_strips(
    desk: Desk, found: Strips, night: date, paper: StripPaper, by: str | None, kind: Format, dpi: int = PNG_DPI
) -> Fitted:
    """Strips as pages, none where no bottle needs one; why one cannot be printed is noticed."""
    if not found.strips:
        return Fitted([], {}, {})
    data = strips_page(found.strips, night, desk.specs, paper, by, desk.words)
    fitted = typeset_fitting(TEMPLATES / "strip.typ", data, kind, desk.at, strip_paper.LOST, desk.look, dpi)
    desk.noticed += fitted.unfit.values()
    return fitted


def batch_labels(desk: Desk, wanted: Sequence[Batch]) -> Labels:
    """The labels of batches, as the night has their pours."""
    if not wanted:
        return Labels((), ())
    night = tonight(desk.bar, desk.batches, desk.today, bottled(desk.entries))
    return labels(desk.bar, night, desk.batches, wanted, desk.at.tzinfo)


def set_labels(
    desk: Desk, asked: LabelPrint, texts: Sequence[LabelText], kind: Format, dpi: int = PNG_DPI
) -> tuple[LabelPrint, list[bytes]]:
    """Labels as pages, none where no label can be printed; why one cannot be is noticed."""
    keyed = replace(asked, keys=tuple(label.key for label in texts))
    title = desk.words("label.title", house=desk.house.name, day=desk.words.full_date(desk.today))

    def fitted(on: LabelPrint, texts: Sequence[LabelText]) -> Fitted:
        data = labels_page(on, texts, title, desk.house, desk.words)
        return typeset_fitting(TEMPLATES / "label.typ", data, kind, desk.at, label_print.LOST, desk.look, dpi)

    def remedy(text: LabelText) -> str:
        """Where a label has room that has none here."""
        sizes = (size.word for size in larger(asked.size) if fitted(LabelPrint(size, 1, 0, ()), [text]).pages)
        sheet = next(sizes, None)
        return "print it on a roll: --size 62" if sheet is None else f"it fits on --size {sheet}, or a roll: --size 62"

    done = fitted(keyed, texts)
    for text in texts:
        problem = done.unfit.get(text.key)
        if problem is not None:
            has_no_room = problem.code == "no-room"
            desk.noticed.append(replace(problem, remedy=remedy(text)) if has_no_room else problem)
    return replace(keyed, dropped=done.dropped, unfit=tuple(done.unfit)), done.pages


def set_chart(desk: Desk, result: Chart, paper: str, kind: Format, dpi: int = PNG_DPI) -> StoodIn:
    """A syrup's chart as a page, and the texts that the font could not show. paper: a key of PAPERS."""
    page = chart_page(result, desk.house, desk.today, desk.words, PAPERS[paper])
    told = partial(desk.words.count, "paper.left-off")
    return typeset_standing_in(TEMPLATES / "chart.typ", page, kind, desk.at, told, desk.look, dpi)


def set_simulation(
    desk: Desk, result: Simulation, lost: Sequence[str], paper: str, kind: Format, dpi: int = PNG_DPI
) -> StoodIn:
    """What measuring is worth as a page, and the texts that the font could not show; else as `set_chart`."""
    page = simulate_page(result, lost, desk.house, desk.today, desk.words, PAPERS[paper])
    told = partial(desk.words.count, "paper.left-off")
    return typeset_standing_in(TEMPLATES / "simulate.typ", page, kind, desk.at, told, desk.look, dpi)
