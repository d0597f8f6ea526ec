"""Words that `bottle` says on the screen and in JSON alike."""

from __future__ import annotations

from datetime import date

from balancer.engine.service.bottle import Bottle
from balancer.models.house import House
from balancer.output.words.known import known_sum
from balancer.output.words.numbers import day_text, trim
from balancer.output.words.page import house_volume


def label(result: Bottle, house: House, mixed: date) -> str:
    """What goes on the bottle."""
    abv = known_sum(trim(result.whole.abv_percent, 1), "% ABV", "ABV", least=result.is_least("abv"))
    parts = [result.drink.name, abv, f"serve {_pour(result, house)}"]
    parts += [result.from_batch.batch.id] if result.from_batch else []
    parts.append(f"mixed {day_text(mixed)}")
    parts += [f"use by {day_text(result.last_day)}"] if result.last_day else []
    parts += [f"contains {', '.join(result.allergens)}"] if result.allergens else []
    return " · ".join(parts)


def _pour(result: Bottle, house: House) -> str:
    return house_volume(result.serve_ml, house)
