"""`bottle` as JSON."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from balancer.engine.service.bottle import FREEZER_HEADSPACE_PERCENT, Bottle
from balancer.models.house import House
from balancer.output.data.not_on_cards import unsaid_data
from balancer.output.data.totals import known, unknown_data
from balancer.output.words.bottle import label

if TYPE_CHECKING:
    from balancer.output.paper.label_print import LabelPrint


def bottle_data(
    result: Bottle, house: House, mixed: date, printed: LabelPrint | None = None, *, logged: bool
) -> dict[str, Any]:
    """The JSON object of `bottle`. printed: its label, where one was asked for."""
    whole, used = result.whole, result.from_batch
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "serves": result.serves,
        "serve_ml": result.serve_ml,
        "vessel_ml": result.vessel_ml,
        "headspace_percent": result.headspace_percent,
        "lines": [
            {
                "ingredient": line.identity,
                "name": line.name,
                "ml": line.volume_ml,
                "g": line.mass_g,
                "start_low": line.is_bitter,
            }
            for line in result.lines
        ],
        "left_out": [
            {
                "ingredient": item.identity,
                "name": item.name,
                "why": item.why,
                "amount": {"value": item.amount.value, "unit": item.amount.unit},
                "allergens": None if item.allergens is None else list(item.allergens),
                "allergens_unknown": item.allergens_unknown,
            }
            for item in result.left_out
        ],
        "from": None
        if used is None
        else {
            "batch": used.batch.id,
            "syrup": used.batch.liquid,
            "brix": used.batch.brix,
            "spec_ml": used.spec_ml,
            "exact_ml": used.exact_ml,
            "needs_g": used.needs_g,
            "enough": used.enough,
            "logged": logged,
        },
        "went_in": [batch.id for batch in result.went_in],
        "reads_off": [{"batch": batch.id, "brix": batch.brix} for batch in result.read_off],
        "acid_off": [{"batch": batch.id, "acid_percent": off} for batch, off in result.acid_off],
        "not_on_cards": [unsaid_data(one) for one in result.unsaid],
        "past": [batch.id for batch in result.past],
        "log_read": result.is_log_read,
        "dilution": {
            "percent_of_mix": result.dilution.percent_of_mix,
            "basis": result.dilution.basis,
            "plus_minus_percent": result.dilution.plus_minus_percent,
        },
        "total": {
            "volume_ml": whole.volume_ml,
            "mass_g": whole.mass_g,
            "abv_percent": known(whole.abv_percent, result.is_least("abv")),
            "sugar_g": known(whole.sugar_g, result.is_least("sugar")),
            "lower_bound": result.is_least("sugar"),
            "acid_g": known(whole.acid_g, result.is_least("acid")),
        },
        "unknown": unknown_data(result.unknown),
        "freezing_point_c": result.freezing_c,
        "freezer_c": result.cold_c,
        "freezer_headspace_percent": FREEZER_HEADSPACE_PERCENT,
        "freezes": result.freezes,
        "same_day": list(result.sour),
        "egg_or_dairy": list(result.perishable),
        "cautions": list(result.cautions),
        "last_day": result.last_day.isoformat() if result.last_day else None,
        "allergens": list(result.allergens),
        "allergens_unknown": list(result.allergens_unknown),
        "label": label(result, house, mixed),
        "printed": None if printed is None else printed.data | {"left_off": printed.left_off(result.drink.name)},
    }
