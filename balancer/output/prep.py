"""The day's list for prep: what the page says, row by row, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from math import ceil
from typing import Any, Final

from balancer.engine.batch_notes import BatchNow
from balancer.engine.correct import Correction
from balancer.engine.imposition import Sheet
from balancer.engine.make import Make
from balancer.engine.prep import Addition, Ending, Prep, ToMake, ToRead, Waiting, addition
from balancer.engine.recipe import Item
from balancer.engine.standardise import Task
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.output.make import CAUTION
from balancer.output.numbers import brix, day_text, to_weigh, trim, weekday_text
from balancer.output.sheet import Printed, listed, missing_row, sheet_page, sheet_text
from balancer.units import Quantity, find_unit, format_quantity

READING: Final = "reading"
WEIGHT: Final = "weight, g"
INITIALS: Final = "initials"
_HAIR_BRIX: Final = 0.05

Row = dict[str, Any]


def prep_page(
    result: Prep, house: House, paper: Sheet, missing: Sequence[str], *, drinks: bool = True
) -> dict[str, Any]:
    """What the template is given: rows by what to do, in the order to do it in. drinks: name those that wait."""
    done_first = {task.batch.id: "correct it before it is opened" for task in result.correct}
    done_first |= {item.task.batch.id: "read it before it is opened" for item in result.read}
    rows = [
        *(_row("Throw out", [INITIALS], item, [_out(item)]) for item in result.take_out),
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
            "Readings are what your scale shows at 20 °C. Log what was done: balancer batch, balancer measure --log.",
            "Last days are the house's own; local food rules decide what may be kept and sold.",
        ],
        "leave": ", ".join(f"{task.batch.id} {task.item.name}" for task in result.leave),
        "missing": list(missing),
    }
    return sheet_page("Prep", house, result.today, head, rows, paper)


def prep_text(result: Prep, printed: Printed, missing: Sequence[str]) -> str:
    """The answer of `sheet prep`."""
    sections = {
        "throw out": [_called(item) for item in result.take_out],
        "ask what it is": [batch.id for batch in result.strangers],
        "read": [_called(item.task.item) for item in result.read],
        "correct": [_called(task.item) for task in result.correct],
        "make": [item.syrup.name for item in result.make],
        "waiting": [_called(item.item) for item in result.waiting],
        "last day": [f"{_called(item.item)} {_day_word(item.day, result.today)}" for item in result.ending],
    }
    counted = [f"{len(names)} to {word}" for word, names in sections.items() if names and word in _COUNTED]
    first = f"prep {day_text(result.today)}: {', '.join(counted) or 'nothing to put right'}, on {printed.text}"
    rows = [f"{word}: {listed(names)}" for word, names in sections.items() if names]
    return sheet_text(first, [*missing_row(missing), *rows])


_COUNTED: Final = ("throw out", "read", "correct", "make")


def prep_data(result: Prep, house: House, printed: Printed, missing: Sequence[str]) -> dict[str, Any]:
    """The JSON object of `sheet prep`: a row for everything to do with a batch, and what to make."""
    rows = [_batch("throw out", item) for item in result.take_out]
    rows += [_batch("last day", item.item, no_other=item.last) for item in result.ending]
    rows += [_batch("read", item.task.item, reason=item.task.why, shows=_shown(item.shows)) for item in result.read]
    rows += [
        _batch("correct", task.item, add=_added(extra), shows=_shown(task.corrected.best if task.corrected else None))
        for task in result.correct
        if (extra := addition(task))
    ]
    rows += [
        _batch(
            "open",
            item.item,
            use_up_first=[batch.id for batch in item.before],
            use_up_before=[batch.id for batch in item.overtakes],
        )
        for item in result.waiting
    ]
    rows += [_batch("leave", task.item) for task in result.leave]
    return {
        "sheet": "prep",
        "date": result.today.isoformat(),
        "house": house.name,
        **printed.data,
        "batches": rows,
        "make": [_made(item) for item in result.make],
        "not_known": [batch.id for batch in result.strangers],
        "missing": list(missing),
    }


def _row(
    section: str, fields: list[str], item: BatchNow | None, lines: list[Row], *, batch: Batch | None = None
) -> Row:
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


def _line(text: str, weight: str = "plain") -> Row:
    """A line of a row: big (what to weigh), bold (what nobody should miss) or plain."""
    return {"text": text, "weight": weight}


def _out(item: BatchNow) -> Row:
    day = item.batch.discard
    return _line(f"last day was {weekday_text(day)}: out" if day else "out", "big")


def _stranger() -> Row:
    return _line("its syrup is in no file, or its file did not load: do not use it before you know", "bold")


def _reading(item: ToRead) -> list[Row]:
    shown = _shows_text(item.shows)
    return [_line(item.task.why, "bold"), *([_line(f"at standard {shown}")] if shown else [])]


def _correcting(task: Task, extra: Addition) -> list[Row]:
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
        if best.additive and best.additive.brix == 100.0:
            lines.append(_line("stir until every crystal is gone"))
        shown = _shows_text(best) or "no refractometer can check it: alcohol reads like sugar"
        lines.append(_line(f"{trim(task.batch.brix or 0.0, 1)} → {brix(best.final_brix)}; then {shown}"))
    return lines


def _making(item: ToMake, *, drinks: bool) -> Row:
    syrup, result = item.syrup, item.result
    if result:
        lines = [_line(_part(part), "big") for part in result.items]
    else:
        lines = [_line(f"{format_quantity(part.amount)} {part.of}", "big") for part in syrup.recipe]
        lines.append(_line(item.trouble, "bold"))
    lines += _warnings(item)
    lines += [_line(f"gives {_yield(result)}")] if result else []
    lines += [_line(syrup.note)] if syrup.note else []
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


def _warnings(item: ToMake) -> list[Row]:
    """What nobody should miss while weighing."""
    said = []
    if item.contains:
        said.append(f"contains {', '.join(item.contains)}: keep its tools, bottle and jigger apart")
    if item.unknown:
        said.append(f"allergens unknown: {', '.join(item.unknown)}")
    if item.has_powder:
        said.append(CAUTION)
    said += [text if name == item.syrup.name else f"{name}: {text}" for name, text in item.cautions]
    if item.result and item.result.doubt:
        said.append("the yield in its file is not believed: weigh what comes out")
    if item.result and item.result.saturation.is_over:
        warm = item.result.saturation.clear_from_c
        keep = "make it weaker" if warm is None else f"keep it at {ceil(warm)} °C or warmer"
        said.append(f"crystals may grow in the cold: {keep}")
    return [_line(text, "bold") for text in said]


def _next(item: Waiting, done_first: dict[str, str]) -> Row:
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


def _ending(item: Ending, today: date) -> list[Row]:
    word = _day_word(item.day, today)
    lines = [_line(f"last day {word}: what is left goes out after service {word}", "bold")]
    return [*lines, *([_line("no other batch of it in the house to go on with")] if item.last else [])]


def _day_word(day: date, today: date) -> str:
    return "today" if day == today else "tomorrow"


def _until(batch: Batch) -> str:
    return f"until {weekday_text(batch.discard)}" if batch.discard else "last day unknown"


def _called(item: BatchNow) -> str:
    return f"{item.batch.id} {item.name}"


def _shows_text(best: Correction | None) -> str:
    """What the scale shows, or how to read it where the scale ends before; empty where nothing tells."""
    if best is None:
        return ""
    if best.final_diluted is not None:
        mixed = f"{trim(best.final_diluted.sample_g, 0)} g of it with {trim(best.final_diluted.water_g, 0)} g water"
        return f"{mixed} shows {trim(best.final_diluted.reads_brix, 1)}"
    if best.final_reading_brix is None:
        return ""
    return f"your scale shows {trim(best.final_reading_brix, 1)}"


def _part(item: Item) -> str:
    known = find_unit(item.amount.unit)
    weighed = "" if known is not None and known.kind == "mass" else f" ({to_weigh(item.mass_g)})"
    return f"{format_quantity(item.amount)} {item.liquid.name}{weighed}"


def _yield(result: Make) -> str:
    """How much at what strength; at least, where the sugar of a part is not known."""
    strength = brix(result.brix)
    if result.is_lower_bound:
        strength = f"≥ {strength}"
    elif result.high_brix is not None and result.high_brix - result.brix >= _HAIR_BRIX:
        strength = f"{trim(result.brix, 1)} to {brix(result.high_brix)}"
    return f"{to_weigh(result.mass_g)}, {trim(result.volume_ml, 0)} ml, at {strength}"


def _batch(todo: str, item: BatchNow, **more: Any) -> dict[str, Any]:
    batch = item.batch
    return {
        "todo": todo,
        "batch": batch.id,
        "liquid": batch.liquid,
        "name": item.name,
        "state": batch.state,
        "discard": batch.discard.isoformat() if batch.discard else None,
        "brix": batch.brix,
        "standard_brix": item.standard_brix,
        "reason": None,
        "add": None,
        "shows": None,
        "use_up_first": [],
        "use_up_before": [],
        "no_other": None,
    } | more


def _added(extra: Addition) -> dict[str, Any]:
    return {
        "name": extra.name,
        "g_per_kg": extra.per_kg_g,
        "first_g_per_kg": extra.first_per_kg_g,
        "mass_g": extra.mass_g,
        "all_g": extra.all_g,
        "first_g": extra.first_g,
    }


def _shown(best: Correction | None) -> dict[str, Any]:
    """What the instrument shows undiluted, and the dilution to read instead where its scale ends before."""
    diluted = best.final_diluted if best else None
    return {
        "reading_brix": best.final_reading_brix if best else None,
        "sample_g": diluted.sample_g if diluted else None,
        "water_g": diluted.water_g if diluted else None,
        "diluted_reading_brix": diluted.reads_brix if diluted else None,
    }


def _made(item: ToMake) -> dict[str, Any]:
    syrup, result = item.syrup, item.result
    if result:
        parts = [_part_data(part.liquid.name, part.amount, part.mass_g) for part in result.items]
    else:
        parts = [_part_data(part.of, part.amount, None) for part in syrup.recipe]
    return {
        "syrup": syrup.id,
        "name": syrup.name,
        "drinks": list(item.drinks),
        "parts": parts,
        "reason": item.trouble or None,
        "mass_g": result.mass_g if result else None,
        "volume_ml": result.volume_ml if result else None,
        "brix": result.brix if result else None,
        "high_brix": result.high_brix if result else None,
        "lower_bound": result.is_lower_bound if result else None,
        "shows": _shown(item.shows),
        "discard": item.use_by.isoformat() if item.use_by else None,
        "allergens": list(item.contains),
        "unknown": list(item.unknown),
        "acid_powder": item.has_powder,
        "cautions": [{"name": name, "text": text} for name, text in item.cautions],
        "note": syrup.note,
    }


def _part_data(name: str, amount: Quantity, mass_g: float | None) -> dict[str, Any]:
    return {"name": name, "amount": {"value": amount.value, "unit": amount.unit}, "mass_g": mass_g}
