"""`tonight` on the screen."""

from __future__ import annotations

from balancer.engine.service.tonight import BatchTonight, JuiceTonight, Tonight
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.screen.rescale import drink_rows
from balancer.output.words.numbers import brix, count, day_text, trim
from balancer.output.words.page import ROWS, conversions_text, page
from balancer.output.words.tonight import acid_text, ids_text, in_bottles_text, names_text, warning_rows

_ORDER = ("pull", "read again", "correct the batch", "change pours", "as written")


def tonight_text(result: Tonight, specs: Specs) -> str:
    """The answer of `tonight`: batches and their conversions, drinks that move, then what to know."""
    batches = sorted(result.pourable, key=lambda item: _ORDER.index(item.rescale.advice.word))
    rows = [_batch_row(item, specs.house) for item in batches if item.rescale.advice.word != "as written"]
    juices = [juice for juice in result.juices if juice.conversions and juice.batch not in result.past]
    rows += [_juice_row(juice, specs.house) for juice in juices]
    warnings = warning_rows(result, specs)
    moved = [
        (item, row)
        for item in result.pourable
        for row in item.rescale.rows
        if row.rounded.verdict != "as written" and item.rescale.advice.word not in ("read again", "pull")
    ]
    moved.sort(key=lambda pair: (pair[1].rounded.verdict != "out of reach", pair[1].drink.name.casefold()))
    room = max(ROWS - len(rows) - len(warnings), 0)
    shown = moved[:room]
    tags = [item.batch.id for item, _ in shown]
    rows += drink_rows([(row, item.rescale.batch) for item, row in shown], specs.house, tags)
    rows += warnings
    more = [f"{len(moved) - room} more drinks change"] if len(moved) > room else []
    more += [f"{count(len(result.as_written), 'others')} as written"] if result.as_written else []
    more += [f"taken as standard: {names_text(result.standard, specs)}"] if result.standard else []
    more += [in_bottles_text(result)] if result.bottled else []
    more += ["--steps shows the working"]
    return page(_first(result), rows, "; ".join(more))


def _first(result: Tonight) -> str:
    night = f"tonight {day_text(result.night)}"
    ids: dict[str, list[str]] = {}
    for item in result.pourable:
        ids.setdefault(item.rescale.advice.word, []).append(item.batch.id)
    moving = [row for item in result.pourable for row in item.rescale.rows if row.rounded.verdict == "new pour"]
    drinks = len({row.drink.id for row in moving})
    said = {
        "pull": "pull {}",
        "read again": "read {} again",
        "correct the batch": "correct {}",
        "change pours": f"{{}} changes {drinks} drink{'s' if drinks != 1 else ''}",
    }
    if len(ids.get("change pours", [])) > 1:
        said["change pours"] = f"{{}} change {drinks} drinks"
    parts = [text.format(", ".join(ids[word])) for word, text in said.items() if word in ids]
    parts += [f"{ids_text(result.past)} out of date"] * bool(result.past)
    if parts:
        return f"{night}: {'; '.join(parts)}"
    return f"{night}: every drink as written" + ("" if result.batches else "; no open batch has a strength in the log")


def _batch_row(item: BatchTonight, house: House) -> str:
    result = item.rescale
    word, reason = result.advice
    lead = f"{item.batch.id} {result.syrup.name}, {brix(result.batch_brix)} for {trim(result.standard_brix, 1)}"
    if word in ("read again", "pull"):
        return f"{lead}: {reason}"
    pours = conversions_text(result.conversions, house) if result.conversions else ""
    if word == "correct the batch" and result.correct.add:
        until = f"; until then {pours}" if pours else ""
        return f"{lead}: add {trim(result.correct.g_per_kg, 0)} g {result.correct.add} per kg{until}"
    return f"{lead}: {pours or reason}"


def _juice_row(juice: JuiceTonight, house: House) -> str:
    return f"{juice.batch.id} {juice.ingredient.name}, {acid_text(juice)}: {conversions_text(juice.conversions, house)}"
