"""`labels` on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from balancer.engine.batch.read_it import read_again
from balancer.engine.service.labels import Label, Refusal
from balancer.models.days import day_text
from balancer.output.paper.labels import LOST, LabelRun
from balancer.output.paper.printed_page import files_text
from balancer.output.words.numbers import count
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.problems import missing_rows
from balancer.output.words.safety import MORE

_SAID: Final = {
    "by": "who made it",
    "care": "its care",
    "storage": "its storage",
    "exceptions": "the drinks that pour otherwise",
    "pours": "its pours",
}


_NAME = 60


def labels_text(run: LabelRun, missing: Sequence[str] = ()) -> str:
    """The answer of `labels`: what was printed, which batches got none, and which label lost what.

    missing  names of drinks that did not load and pour from the bottles
    """
    rows = missing_rows(missing)
    rows += [refused_text(refusal, run.today) for refusal in run.result.refused]
    rows += [row for label in run.printed for row in _label_rows(label, run)]
    unknown = [label.item.batch.id for label in run.printed if label.brings.unknown]
    rows += [f"allergens unknown: {', '.join(unknown)}"] if unknown else []
    shown, more = few(rows, ROWS)
    return page(_first(run), shown, "; ".join([*more, f"local food rules decide what a label must say: {MORE}"]))


def _first(run: LabelRun) -> str:
    ids = ", ".join(label.item.batch.id for label in run.printed)
    number = count(run.labels, "labels")
    each = f", {run.copies} of each" if run.copies > 1 else ""
    if run.size.is_sheet:
        where = f"on {count(run.pages, 'pages')} of A4"
        return f"{number} of {run.size.name}{each}, {where} → {files_text(run.written)}: {ids}"
    kind = f"for a {run.size.name}" if run.size.layout.item.height is None else f"of {run.size.name}"
    return f"{number} {kind}{each} → {files_text(run.written)}: {ids}"


def refused_text(refusal: Refusal, today: date) -> str:
    """Why a batch gets no label."""
    batch, name = refusal.item.batch, refusal.item.name
    if refusal.why == "pull":
        return f"{batch.id} {name}: no label, it is so far off that it is to be discarded"
    if refusal.why == "past" and batch.ends:
        last = day_text(batch.ends, today)
        return f"{batch.id} {name}: no label, past its last day ({last}); balancer batch discard {batch.id}"
    return f"{batch.id} {name}: no label, it is {refusal.why}"


def _label_rows(label: Label, run: LabelRun) -> Iterator[str]:
    batch = label.item.batch
    lost = run.dropped.get(batch.id, {})
    if lost:
        yield f"no room on the label of {batch.id} for {' and '.join(_SAID[key] for key in LOST if key in lost)}"
    missing = [
        *(["last day of use"] if batch.discard is None else []),
        *(["day it was made"] if batch.made is None else []),
    ]
    if missing:
        yield f"{batch.id}: {' and '.join(missing)} unknown; write it on the label"
    if label.is_doubted:
        why = f"{batch.id}: so far off that no pours are on its label; stir and read it again"
        yield read_again(why, label.item.source, batch.id)
