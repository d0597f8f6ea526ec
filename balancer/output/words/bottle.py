"""Words that `bottle` says on the screen and in JSON alike."""

from __future__ import annotations

from datetime import date

from balancer.engine.service.bottle import Bottle
from balancer.engine.service.bottle_serve import LeftOut
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.output.words.keeping import BLANK
from balancer.output.words.known import known_sum
from balancer.output.words.numbers import percent, trim
from balancer.output.words.page import house_volume
from balancer.units import format_quantity


def label(result: Bottle, house: House, mixed: date) -> str:
    """What goes on the bottle."""
    abv = known_sum(trim(result.whole.abv_percent, 1), "% ABV", "ABV", least=result.is_least("abv"))
    parts = [result.drink.name, abv, f"serve {_pour(result, house)}"]
    parts += [f"from {', '.join(from_batches(result))}"] if result.went_in else []
    parts.append(f"mixed {day_text(mixed)}")
    parts.append(f"use by {day_text(result.last_day) if result.last_day else BLANK}")
    parts.append("keep cold")
    parts += [f"contains {', '.join(result.allergens)}"] if result.allergens else []
    parts += [f"allergens unknown: {', '.join(result.allergens_unknown)}"] if result.allergens_unknown else []
    parts += [f"add at service: {'; '.join(left_out_text(item) for item in result.left_out)}"] * bool(result.left_out)
    return " · ".join(parts)


def from_batches(result: Bottle) -> list[str]:
    """Ids of what is in it, a part each: "ORG-1 / ORG-2" where either may be."""
    return [" / ".join(batch.id for batch in group) for group in result.either]


def at_service(result: Bottle) -> list[str]:
    """What is made at service, and how egg and dairy go in; no row when all of it is in the bottle."""
    if not result.left_out:
        return []
    shaken = "; shake them in without ice, whose water is in the bottle" if result.perishable else ""
    return [f"add at service: {'; '.join(left_out_text(item) for item in result.left_out)}{shaken}"]


def off_text(result: Bottle) -> str:
    """What goes in otherwise than it is reckoned with; empty where all of it is near enough."""
    reads = [
        f"{batch.id} reads {trim(batch.brix or 0.0, 1)}: --from {batch.id} reckons with it" for batch in result.read_off
    ]
    sour = [f"{batch.id} acid {percent(off)} is not counted" for batch, off in result.acid_off]
    if not (reads or sour):
        return ""
    return "; ".join(["at standard strengths" if result.from_batch is None else "others at standard", *reads, *sour])


def left_out_text(item: LeftOut) -> str:
    """A pour that is not in the bottle, for one serve, and what it brings for guests who may not have it."""
    brings = ", ".join([*(item.allergens or ()), *["allergens unknown"] * item.allergens_unknown])
    if item.why == "egg or dairy":
        return f"{format_quantity(item.amount)} {item.name} a serve" + (f" ({brings})" if brings else "")
    return f"{item.name} ({item.why}{f', {brings}' if brings else ''})"


def _pour(result: Bottle, house: House) -> str:
    return house_volume(result.serve_ml, house)
