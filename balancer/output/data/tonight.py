"""`tonight` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.service.rescale import Rescale
from balancer.engine.service.tonight import BottleTonight, Tonight
from balancer.models.batch import Batch
from balancer.models.specs import Specs
from balancer.output.data.not_on_cards import unsaid_data
from balancer.output.data.rescale import change_data, conversions_data, rescale_data, row_data
from balancer.output.words.tonight import tonight_notes


def tonight_data(result: Tonight, specs: Specs) -> dict[str, Any]:
    """The JSON object of `tonight`."""
    batches = []
    for item in result.batches:
        data = rescale_data(item.rescale)
        del data["drinks"], data["not_pouring"], data["others"]
        batches.append({"batch": item.batch.id, "past": False, **data})
    batches += [_past_data(batch, result) for batch in result.now.past if batch.liquid in specs.syrups]
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
                "conversions": conversions_data(juice.conversions),
                "drinks": [
                    {"drink": row.drink.id, "name": row.drink.name, **change_data(row.written, row.poured)}
                    for row in juice.rows
                ],
            }
            for juice in result.juices
        ],
        "as_written": [drink.id for drink in result.as_written],
        "standard": list(result.standard),
        "assumed": [_assumed_data(item) for item in result.assumed],
        "counting": {liquid: batch.id for liquid, batch in result.now.counting.items()},
        "discard": [batch.id for batch in result.now.past],
        "bottled": [_bottle_data(bottle) for bottle in result.bottled],
        "not_on_cards": [unsaid_data(one) for one in result.unsaid],
        "notes": tonight_notes(result, specs),
    }


def _assumed_data(item: Rescale) -> dict[str, Any]:
    """A syrup at its standard, which nobody read, with the keys of a batch and of its drinks."""
    data = rescale_data(item)
    del data["not_pouring"], data["others"], data["batch_brix"], data["correct"]
    return data


def _past_data(batch: Batch, result: Tonight) -> dict[str, Any]:
    """A batch past its last day of use, with the keys of the others: nothing is poured by it, nothing corrects it."""
    bar = result.menu.bar
    return {
        "batch": batch.id,
        "past": True,
        "syrup": batch.liquid,
        "name": bar.specs.syrups[batch.liquid].name,
        "standard_brix": bar.standard(batch.liquid),
        "batch_brix": batch.brix,
        "advice": "pull",
        "reason": "it is past its last day of use",
        "conversions": [],
        "exceptions": [],
        "correct": {"add": None, "g_per_kg": None},
    }


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
