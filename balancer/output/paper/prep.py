"""The day's list for prep: what the page says, row by row, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil
from typing import Any, Final

from balancer.engine.batch.notes import BatchNow
from balancer.engine.prep.correct import Correction
from balancer.engine.prep.make import Making
from balancer.engine.prep.prep_list import Addition, Ending, Prep, ToMake, ToRead, Waiting, addition
from balancer.engine.prep.recipe import Item
from balancer.engine.prep.standardise import Task
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.paper.imposition import PaperSheet
from balancer.output.paper.language import Words
from balancer.output.paper.sheet import listed, sheet_page
from balancer.output.words.advice import READS
from balancer.output.words.make import CAUTION, acid_notes
from balancer.output.words.numbers import brix, to_weigh, trim, weekday_text
from balancer.units import find_unit, format_quantity

READING: Final = "reading"


WEIGHT: Final = "weight, g"


INITIALS: Final = "initials"


PrepRow = dict[str, Any]


def prep_page(
    result: Prep, house: House, words: Words, paper: PaperSheet, missing: Sequence[str], *, drinks: bool = True
) -> dict[str, Any]:
    """What the template is given: rows by what to do, in the order to do it in. drinks: name those that wait."""
    done_first = {task.batch.id: "correct it before it is opened" for task in result.correct}
    done_first |= {item.task.batch.id: "read it before it is opened" for item in result.read}
    rows = [
        *(_row("Discard", [INITIALS], item, [_out(item)]) for item in result.take_out),
        *(
            _row("Last day today or tomorrow", [INITIALS], item.item, _ending(item, result.today))
            for item in result.ending
        ),
        *(_row("Ask what it is", [INITIALS], None, [_stranger()], batch=batch) for batch in result.strangers),
        *(_row("Stir and read", [READING, INITIALS], item.task.item, _reading(item)) for item in result.read),
        *(
            _row("Correct, stir, read", [READING, WEIGHT, INITIALS], task.item, _correcting(task, extra))
            for task in result.correct
            if (extra := addition(task))
        ),
        *(_making(item, drinks=drinks) for item in result.make),
        *(
            _row("Waiting: which goes first", [INITIALS], item.item, [_next(item, done_first)])
            for item in result.waiting
        ),
    ]
    head = {
        "notes": [
            "Readings are those of a refractometer at 20 °C. Log what was done: balancer batch, measure --log.",
            "Last days are the house's own; local food rules decide what may be kept and sold.",
        ],
        "leave": ", ".join(f"{task.batch.id} {task.item.name}" for task in result.leave),
        "missing": list(missing),
    }
    return sheet_page("Prep", house, result.today, words, head, rows, paper)


def _row(
    section: str, fields: list[str], item: BatchNow | None, lines: list[PrepRow], *, batch: Batch | None = None
) -> PrepRow:
    held = item.batch if item else batch
    tag = held.id if held else ""
    name = item.name if item else (held.liquid if held else "")
    facts = []
    if item:
        facts = ["open" if item.batch.state == "open" else "not yet open", _until(item.batch)]
    return {
        "name": f"{tag} {name}".strip(),
        "section": section,
        "fields": fields,
        "id": tag,
        "what": name,
        "facts": facts,
        "lines": lines,
    }


def _line(text: str, weight: str = "plain") -> PrepRow:
    """A line of a row: big (what to weigh), bold (what nobody should miss) or plain."""
    return {"text": text, "weight": weight}


def _out(item: BatchNow) -> PrepRow:
    day = item.batch.discard
    return _line(f"last day was {weekday_text(day)}: discard" if day else "discard", "big")


def _stranger() -> PrepRow:
    return _line("its syrup is in no file, or its file did not load: do not use it before you know", "bold")


def _reading(item: ToRead) -> list[PrepRow]:
    shown = _shows_text(item.shows)
    return [_line(item.task.why, "bold"), *([_line(f"at standard {shown}")] if shown else [])]


def _correcting(task: Task, extra: Addition) -> list[PrepRow]:
    best = task.corrected.best if task.corrected else None
    lines = [_line(f"add {to_weigh(extra.per_kg_g)} {extra.name} per kg", "big")]
    if extra.all_g is not None and extra.mass_g is not None:
        about = "; in use, so weigh it" if task.corrected and task.corrected.tub.estimated else ""
        lines.append(_line(f"{to_weigh(extra.all_g)} for the {to_weigh(extra.mass_g)} logged{about}", "bold"))
    if extra.first_per_kg_g:
        first = f"first {to_weigh(extra.first_per_kg_g)} per kg"
        first += f" ({to_weigh(extra.first_g)})" if extra.first_g is not None else ""
        lines.append(_line(f"{first}, stir, read, then the rest"))
    else:
        lines.append(_line("stir and read again before adding any: it may be right already", "bold"))
    if best:
        if best.additive and best.additive.is_dry:
            lines.append(_line("stir until every crystal is gone"))
        shown = _shows_text(best) or "no refractometer can check it: alcohol reads like sugar"
        lines.append(_line(f"{trim(task.batch.brix or 0.0, 1)} → {brix(best.final_brix)}; then {shown}"))
    return lines


def _making(item: ToMake, *, drinks: bool) -> PrepRow:
    syrup, result = item.syrup, item.result
    if result:
        lines = [_line(_part(part), "big") for part in result.items]
    else:
        lines = [_line(f"{format_quantity(part.amount)} {part.of}", "big") for part in syrup.recipe]
        lines.append(_line(item.trouble, "bold"))
    lines += _warnings(item)
    lines += [_line(f"gives {_yield(result)}")] if result else []
    lines += [_line(syrup.note)] if syrup.note else []
    lines += [_line(", ".join(syrup.care), "bold")] if syrup.care else []
    shown = _shows_text(item.shows)
    lines += [_line(f"at standard {shown}")] if shown else []
    keeps = (
        f"made today, last day {weekday_text(item.use_by)}" if item.use_by else "how long it keeps is not in its file"
    )
    return {
        "name": syrup.name,
        "section": "Make",
        "fields": [READING, WEIGHT, INITIALS],
        "id": "",
        "what": syrup.name,
        "facts": [f"poured in {listed(item.drinks, 4)}"] if drinks and item.drinks else [],
        "lines": [*lines, _line(keeps)],
    }


def _warnings(item: ToMake) -> list[PrepRow]:
    """What nobody should miss while weighing."""
    said = []
    if item.contains:
        said.append(f"contains {', '.join(item.contains)}: keep its tools, bottle and jigger apart")
    if item.unknown:
        said.append(f"allergens unknown: {', '.join(item.unknown)}")
    if item.result is not None:
        said += acid_notes(item.result)
    elif item.has_powder:
        said.append(CAUTION)
    said += [text if name == item.syrup.name else f"{name}: {text}" for name, text in item.cautions]
    if item.result and item.result.doubt:
        said.append("the yield in its file is not believed: weigh what comes out")
    if item.result and item.result.saturation.is_over:
        warm = item.result.saturation.clear_from_c
        keep = "make it weaker" if warm is None else f"keep it at {ceil(warm)} °C or warmer"
        said.append(f"crystals may grow in the cold: {keep}")
    return [_line(text, "bold") for text in said]


def _next(item: Waiting, done_first: dict[str, str]) -> PrepRow:
    said = []
    if item.overtakes:
        said.append(f"its last day is before that of {_ids(item.overtakes)}, in use: use this one up first")
    if item.before:
        said.append(f"leave it shut: first use up {_ids(item.before)}")
    if not said:
        said.append("nothing of it is in use: open this one")
    before = done_first.get(item.item.batch.id)
    return _line("; ".join([*said, *([before] if before else [])]), "bold")


def _ids(batches: Sequence[Batch]) -> str:
    return ", ".join(batch.id for batch in batches)


def _ending(item: Ending, today: date) -> list[PrepRow]:
    word = day_word(item.day, today)
    lines = [_line(f"last day {word}: discard what is left after service {word}", "bold")]
    return [*lines, *([_line("no other batch of it in the house to go on with")] if item.last else [])]


def day_word(day: date, today: date) -> str:
    """Today or tomorrow."""
    return "today" if day == today else "tomorrow"


def _until(batch: Batch) -> str:
    return f"until {weekday_text(batch.discard)}" if batch.discard else "last day unknown"


def _shows_text(best: Correction | None) -> str:
    """What the refractometer should read, diluted where its range ends before; empty where nothing tells."""
    if best is None:
        return ""
    if best.final_diluted is not None:
        mixed = f"{trim(best.final_diluted.sample_g, 0)} g of it with {trim(best.final_diluted.water_g, 0)} g water"
        return f"{mixed} should read {trim(best.final_diluted.reads_brix, 1)}"
    if best.final_reading_brix is None:
        return ""
    return f"{READS} {trim(best.final_reading_brix, 1)}"


def _part(item: Item) -> str:
    known = find_unit(item.amount.unit)
    weighed = "" if known is not None and known.kind == "mass" else f" ({to_weigh(item.mass_g)})"
    return f"{format_quantity(item.amount)} {item.liquid.name}{weighed}"


def _yield(result: Making) -> str:
    """How much at what strength; at least, where the sugar of a part is not known."""
    strength = brix(result.brix)
    if result.is_lower_bound:
        strength = f"≥ {strength}"
    elif result.upper_brix is not None:
        strength = f"{trim(result.brix, 1)} to {brix(result.upper_brix)}"
    return f"{to_weigh(result.mass_g)}, {trim(result.volume_ml, 0)} ml, at {strength}"
