"""The day's list for prep: what the page says, row by row."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, Final

from balancer.engine.batch.notes import BatchNow
from balancer.engine.prep.correct import Correction
from balancer.engine.prep.prep_list import Addition, Ending, Prep, Waiting, addition
from balancer.engine.prep.standardise import Task
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.prep_make import making
from balancer.output.paper.prep_row import (
    PrepCautions,
    PrepRow,
    at_standard,
    besides,
    grams,
    line,
    poured,
    prep_row,
    shows_text,
)
from balancer.output.paper.sheet import sheet_page
from balancer.output.words.numbers import brix, to_weigh, trim

_CORRECT: Final = ["reading", "weight", "initials"]
_READ: Final = ["reading", "initials"]
_ONLY: Final = ["initials"]


def prep_page(result: Prep, house: House, words: Words, paper: PaperSheet, missing: Sequence[str]) -> dict[str, Any]:
    """What the template is given: rows by what to do, in the order to do it in."""
    said = PrepCautions(words)
    rows = [*prep_rows(result, words, said)]
    title, day = words("prep.title"), words.long_day(result.today)
    head = {
        "name": "head",
        "cautions": said.listed(),
        "notes": [words("prep.readings-note"), words("prep.days-note")],
        "leave": [f"{task.batch.id} {task.item.name}" for task in result.leave],
        "missing": list(missing),
        "left_off": [],
        "instead": {
            "": words("paper.unshown"),
            "caution": words("prep.caution-unshown"),
            "house": "",
            "running": f"{title} · {day}",
        },
    }
    # A row is known by its place: what stands in it may be what the font has no signs for.
    numbered = [row | {"name": f"row {place}"} for place, row in enumerate(rows)]
    page = sheet_page(title, house, result.today, words, head, numbered, paper)
    page["words"] |= words.section("prep")
    return page


def prep_rows(result: Prep, words: Words, said: PrepCautions) -> Iterable[PrepRow]:
    """The day's rows by what to do, in the order to do it in. said: gathers their cautions."""
    done_first = {task.batch.id: words("prep.correct-first") for task in result.correct}
    done_first |= {item.task.batch.id: words("prep.read-first") for item in result.read}
    for item in result.take_out:
        yield _of_batch("discard", _ONLY, item, words, lines=[_out(item, words)])
    for task in result.far:
        yield _of_batch("discard", _ONLY, task.item, words, lines=[line(_why(task, words), "bold")])
    for ending in result.ending:
        yield _of_batch("last-day", _ONLY, ending.item, words, lines=_ending(ending, result.today, words))
    for stranger in result.strangers:
        lines = [line(words("prep.stranger"), "bold")]
        yield prep_row("ask", _ONLY, words, tag=stranger.id, what=stranger.liquid or "", lines=lines)
    for reading in result.read:
        lines = [line(_why(reading.task, words), "bold")]
        shows = at_standard(reading.shows, words)
        yield _of_batch("read", _READ, reading.task.item, words, said, lines=lines, shows=shows)
    for task in result.correct:
        extra = addition(task)
        if extra:
            yield _correcting(task, extra, words, said)
    for made in result.make:
        yield making(made, words, said)
    for waiting in result.waiting:
        lines = [_next(waiting, done_first, words)]
        yield _of_batch("waiting", _ONLY, waiting.item, words, lines=lines)


def _of_batch(
    section: str, fields: list[str], item: BatchNow, words: Words, said: PrepCautions | None = None, **more: Any
) -> PrepRow:
    """A row about a batch. said: where its cautions are kept, for what is stirred or poured from."""
    batch = item.batch
    state = words("prep.open" if batch.state == "open" else "prep.not-open")
    until = words("prep.use-by", day=words.day(batch.discard)) if batch.discard else words("prep.use-by-unknown")
    row = prep_row(section, fields, words, tag=batch.id, what=item.name, facts=[f"{state}, {until}"], **more)
    if said is not None:
        source = item.source
        listed = (source.allergens or ()) if source else ()
        row |= said.allergens(batch.id, listed, [item.name] if source is None or source.allergens_unknown else [])
        row["cautions"] += said.of(batch.id, [words.caution(text) for text in besides(item.cautions, listed)])
        row["cautions"] = sorted(set(row["cautions"]))
    return row


def _out(item: BatchNow, words: Words) -> PrepRow:
    batch = item.batch
    return line(words("prep.was", day=words.day(batch.discard)) if batch.discard else words("prep.discard-it"), "bold")


def _ending(ending: Ending, today: date, words: Words) -> list[PrepRow]:
    is_today = ending.day == today
    lines = [line(words("prep.ends-today" if is_today else "prep.ends-tomorrow"))]
    if ending.make_more:
        return [line(words("prep.runs-out-today" if is_today else "prep.runs-out-tomorrow"), "bold"), *lines]
    return [*lines, line(words("prep.no-other"))] if ending.last else lines


def _why(task: Task, words: Words) -> str:
    if task.reason in ("far", "far twice"):
        return _far(f"prep.why-{task.reason}".replace(" ", "-"), task.item, words)
    return words(f"prep.why-{task.reason}".replace(" ", "-"), message=task.why)


def _far(key: str, item: BatchNow, words: Words) -> str:
    strength, standard = brix(item.batch.brix or 0.0), trim(item.standard_brix or 0.0, 1)
    return words(key, brix=words.number(strength), standard=words.number(standard))


def _correcting(task: Task, extra: Addition, words: Words, said: PrepCautions) -> PrepRow:
    best = task.corrected.best if task.corrected else None
    known = {key: words(f"prep.{key}") for key in ("water", "sugar")}
    name = known.get(extra.name, extra.name)
    small = []
    if extra.all_g is not None and extra.mass_g is not None:
        about = "prep.in-use" if task.corrected and task.corrected.tub.estimated else "prep.for-all"
        mass = words.number(to_weigh(extra.mass_g))
        small.append(poured(*grams(extra.all_g, words), words(about, mass=mass)))
    lines = []
    if extra.first_per_kg_g:
        text = words("prep.first")
        if extra.first_g is not None:
            text = words("prep.first-of-all", mass=words.number(to_weigh(extra.first_g)))
        small.append(poured(*grams(extra.first_per_kg_g, words), text))
    else:
        lines.append(line(words("prep.read-before"), "bold"))
    shows = words("prep.then-shows", shown=shows_text(best, words) or words("prep.unreadable"))
    big = [poured(*grams(extra.per_kg_g, words), words("prep.per-kg", name=name))]
    row = _of_batch("correct", _CORRECT, task.item, words, said, pours=big, small=small, shows=shows, lines=lines)
    row["facts"] += [_from_to(task, best, words)] if best else []
    row["instead"]["name"] = words("prep.per-kg", name=words("paper.unshown"))
    return row


def _from_to(task: Task, best: Correction, words: Words) -> str:
    before, after = trim(task.batch.brix or 0.0, 1), brix(best.final_brix)
    return words("prep.from-to", before=words.number(before), after=words.number(after))


def _next(item: Waiting, done_first: dict[str, str], words: Words) -> PrepRow:
    said = []
    if item.overtakes:
        said.append(words("prep.overtakes", batches=_ids(item.overtakes)))
    if item.before:
        said.append(words("prep.leave-shut", batches=_ids(item.before)))
    before = done_first.get(item.item.batch.id)
    return line("; ".join([*(said or [words("prep.open-it")]), *([before] if before else [])]), "bold")


def _ids(batches: Sequence[Batch]) -> str:
    return ", ".join(batch.id for batch in batches)
