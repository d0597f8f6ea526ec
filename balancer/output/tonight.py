"""Tonight's pours as text and JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.tonight import BatchTonight, BottleTonight, JuiceTonight, Tonight
from balancer.models.batch import Batch
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.data import rescale_data, row_data
from balancer.output.numbers import brix, count, day_text, percent, trim
from balancer.output.page import ROWS, conversions_text, house_volume, page
from balancer.output.steps import rescale_steps
from balancer.output.text import drink_rows

_ORDER = ("pull", "read again", "correct the batch", "change pours", "as written")


def tonight_text(result: Tonight, specs: Specs) -> str:
    """The answer of `tonight`: batches and their conversions, drinks that move, then what to know."""
    batches = sorted(result.pourable, key=lambda item: _ORDER.index(item.rescale.advice.word))
    rows = [_batch_row(item, specs.house) for item in batches if item.rescale.advice.word != "as written"]
    juices = [juice for juice in result.juices if juice.conversions and juice.batch not in result.past]
    rows += [_juice_row(juice, specs.house) for juice in juices]
    warnings = _warnings(result, specs)
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
    more += [f"taken as standard: {_names(result.standard, specs)}"] if result.standard else []
    more += [_in_bottles(result)] if result.bottled else []
    more += ["--steps shows the working"]
    return page(_first(result), rows, "; ".join(more))


def tonight_data(result: Tonight, specs: Specs) -> dict[str, Any]:
    """The JSON object of `tonight`."""
    batches = []
    for item in result.batches:
        data = rescale_data(item.rescale)
        del data["drinks"], data["not_pouring"]
        batches.append({"batch": item.batch.id, "past": item.batch in result.past, **data})
    return {
        "date": result.night.isoformat(),
        "batches": batches,
        "drinks": [{"batch": item.batch.id, "syrup": item.batch.liquid, **row_data(row)} for item, row in result.rows],
        "ingredients": [
            {
                "batch": juice.batch.id,
                "ingredient": juice.ingredient.id,
                "name": juice.ingredient.name,
                "acid_percent": juice.acid_percent,
                "conversions": [{"spec_ml": spec, "poured_ml": poured} for spec, poured in juice.conversions],
            }
            for juice in result.juices
        ],
        "bottled": [_bottle_data(bottle) for bottle in result.bottled],
        "notes": tonight_notes(result, specs),
    }


def tonight_steps(result: Tonight) -> list[str]:
    """The working of `tonight`: that of `rescale`, batch by batch."""
    lines: list[str] = []
    for item in result.batches:
        if item.rescale.batch_brix != item.rescale.standard_brix:
            lines += [f"{item.batch.id} {item.rescale.syrup.name}", *rescale_steps(item.rescale), ""]
    return lines[:-1]


def tonight_notes(result: Tonight, specs: Specs) -> list[str]:
    """Everything to know besides the pours, one sentence each."""
    notes = _warnings(result, specs)
    notes += [f"{juice.ingredient.name} {juice.batch.id}: {_acid(juice)}" for juice in result.juices]
    notes += [f"taken as standard, no open batch with a reading: {_names(result.standard, specs)}"] * bool(
        result.standard
    )
    notes += [_in_bottles(result)] * bool(result.bottled)
    notes += [f"last day of use unknown: {_ids(result.undated)}"] * bool(result.undated)
    return notes


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
    parts += [f"{_ids(result.past)} out of date"] * bool(result.past)
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
    return f"{juice.batch.id} {juice.ingredient.name}, {_acid(juice)}: {conversions_text(juice.conversions, house)}"


def _acid(juice: JuiceTonight) -> str:
    return f"acid {percent(juice.acid_percent)}"


def _in_bottles(result: Tonight) -> str:
    return f"in bottles, so left out: {', '.join(bottle.drink.name for bottle in result.bottled)}"


def _rescue_row(bottle: BottleTonight, house: House) -> str:
    found = bottle.rescue
    if found is None:
        return ""
    add = [
        f"{trim(line.mass_g, 0)} g {line.name}"
        if line.volume_ml is None
        else f"{house_volume(line.volume_ml, house)} {line.name}"
        for line in found.add
    ]
    sugar = f"or stir in {trim(found.dry_sugar_g, 0)} g sugar" if found.dry_sugar_g else ""
    what = ", ".join([*add, *([sugar] if sugar else [])])
    lead = f"bottled {bottle.drink.name} ({bottle.item.batch}): sugar {percent(found.sugar_percent)}"
    return f"{lead}; if {trim(bottle.item.serves, 1)} serves are left in it, add {what}"


def _bottle_data(bottle: BottleTonight) -> dict[str, Any]:
    found = bottle.rescue
    return {
        "drink": bottle.drink.id,
        "name": bottle.drink.name,
        "batch": bottle.item.batch,
        "serves": bottle.item.serves,
        "brix": bottle.item.brix,
        "rescue": None
        if found is None
        else {
            "sugar_percent": found.sugar_percent,
            "add": [
                {"ingredient": line.identity, "name": line.name, "ml": line.volume_ml, "g": line.mass_g}
                for line in found.add
            ],
            "serves": found.serves,
            "dry_sugar_g": found.dry_sugar_g,
        },
    }


def _warnings(result: Tonight, specs: Specs) -> list[str]:
    notes = [
        f"{batch.id} {specs.liquid(batch.liquid).name} is past its last day"
        f" ({day_text(batch.discard, result.night)}): take it out"
        for batch in result.past
        if batch.discard
    ]
    notes += [
        f"{len(group)} bottles of {specs.liquid(group[0].liquid).name} are open: {_ids(group)}; empty one first"
        for group in result.doubled
    ]
    notes += [_rescue_row(bottle, specs.house) for bottle in result.bottled if bottle.rescue]
    notes += [f"{batch.id} is left out: {why}; read it again" for batch, why in result.impossible]
    notes += [f"no strength logged for {_ids(result.unread)}: taken as standard; read it"] * bool(result.unread)
    notes += [f"corrected and not read since: {_ids(result.unverified)}"] * bool(result.unverified)
    return notes


def _names(ids: tuple[str, ...], specs: Specs) -> str:
    return ", ".join(specs.liquid(identity).name for identity in ids)


def _ids(batches: tuple[Batch, ...]) -> str:
    return ", ".join(batch.id for batch in batches)
