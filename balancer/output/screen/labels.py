"""`labels` on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Final

from balancer.engine.batch.read_it import read_again
from balancer.engine.service.labels import Label, Refusal
from balancer.engine.service.opened import OpenedBottle
from balancer.models.days import day_text
from balancer.output.paper.label_print import LabelPrint
from balancer.output.paper.labels import LabelRun
from balancer.output.words.advice import per_kg_text
from balancer.output.words.batches import LOG_ONE, NO_BATCH
from balancer.output.words.numbers import weekday_text
from balancer.output.words.page import ROWS, few, page
from balancer.output.words.problems import missing_rows
from balancer.output.words.safety import MORE

_SAID: Final = {
    "by": "who made it",
    "care": "its care",
    "house": "the house",
    "storage": "its storage",
    "exceptions": "the drinks that pour otherwise",
    "pours": "its pours",
    "heed_how": "how much to correct it with",
}
RULES: Final = f"local food rules decide what a label must say: {MORE}"


def labels_text(run: LabelRun, missing: Sequence[str] = ()) -> str:
    """The answer of `labels`: what was printed, which batches got none, and which label lost what.

    missing  names of drinks that did not load and pour from the bottles
    """
    printed = [label for label in run.result.labels if label.item.batch.id in run.done.printed]
    opened = [bottle for bottle in run.opened if bottle.source.name in run.done.printed]
    rows = missing_rows(missing)
    rows += [refused_text(refusal, run.today) for refusal in run.result.refused]
    rows += [row for label in printed for row in _label_rows(label, run)]
    rows += [row for bottle in opened for row in _opened_rows(bottle, run)]
    unknown = [label.item.batch.id for label in printed if label.brings.unknown]
    unknown += [bottle.source.name for bottle in opened if bottle.allergens is None]
    rows += [f"allergens unknown: {', '.join(unknown)}"] if unknown else []
    shown, more = few(rows, ROWS)
    if not run.done.written:
        first = "no label: none of these may be poured" if rows else f"no label: {NO_BATCH}"
        return page(first, shown, "; ".join([*more, LOG_ONE]))
    return page(f"{run.done.text}: {', '.join(run.done.printed)}", shown, "; ".join([*more, RULES]))


def refused_text(refusal: Refusal, today: date) -> str:
    """Why a batch gets no label."""
    batch, name = refusal.item.batch, refusal.item.name
    if refusal.why == "pull":
        return f"{batch.id} {name}: no label, it is so far off that it is to be discarded"
    if refusal.why == "past" and batch.ends:
        last = day_text(batch.ends, today)
        return f"{batch.id} {name}: no label, past its last day ({last}); balancer batch discard {batch.id}"
    return f"{batch.id} {name}: no label, it is {refusal.why}"


def left_off_rows(done: LabelPrint, key: str) -> list[str]:
    """What a label had no room for."""
    dropped = done.dropped.get(key, {})
    details = " and ".join(f'"{word}"' for word, _ in dropped.get("details", ()))
    lost = [details if what == "details" else _SAID[what] for what in done.left_off(key)]
    return [f"no room on the label of {key} for {' and '.join(lost)}"] if lost else []


def _label_rows(label: Label, run: LabelRun) -> Iterator[str]:
    batch = label.item.batch
    yield from left_off_rows(run.done, batch.id)
    if label.correct is not None:
        when = "before opening" if label.is_unopened else "first"
        yield f"{batch.id}: its label says to correct it {when}, {per_kg_text(label.correct)}"
    missing = [
        *(["last day of use"] if batch.discard is None else []),
        *(["day it was made"] if batch.made is None else []),
    ]
    if missing:
        yield f"{batch.id}: {' and '.join(missing)} unknown; write it on the label"
    if label.is_doubted:
        why = f"{batch.id}: so far off that no pours are on its label; stir and read it again"
        yield read_again(why, label.item.source, batch.id)


def _opened_rows(bottle: OpenedBottle, run: LabelRun) -> Iterator[str]:
    yield from left_off_rows(run.done, bottle.source.name)
    opened = f"{bottle.source.name}: opened {weekday_text(bottle.opened, run.today)}"
    if bottle.use_by is None:
        yield f"{opened}; how long it keeps is not in its file: write its last day on the label"
    else:
        yield f"{opened}, use by {weekday_text(bottle.use_by, run.today)}"
