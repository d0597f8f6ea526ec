"""`swap` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.engine.swaps.at import At
from balancer.engine.swaps.moved import Fill, Held, Moved, Noticed
from balancer.engine.swaps.slots import SwappedPour
from balancer.engine.swaps.swap import Swap
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.data.taste import taste_data
from balancer.output.data.totals import unknown_data
from balancer.output.words.strengths import strengths_data
from balancer.output.words.swap import obstacle_words, verdict_data


def swap_data(result: Swap, house: House) -> dict[str, Any]:
    """The JSON object of `swap`."""
    found = result.obstacle
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "out": result.out.id,
        "in": result.into.id,
        **strengths_data(result.at, result.concerned),
        "held": list(result.held),
        "feasible": result.feasible,
        "held_misses_percent": dict(result.held_misses),
        **verdict_data(result.reasons, result.into, result.drink, house),
        "pours": [pour_data(pour) | _before_data(pour, result) for pour in result.pours],
        "moved": moved_data(result.moved),
        "moved_exact": moved_data(result.moved_exact),
        "allergens": {"gained": list(result.gained), "lost": list(result.lost), "unknown": list(result.unknown)},
        "cautions": [{"ingredient": result.into.id, "caution": text} for text in result.cautions],
        "alcohol_added_g": result.alcohol_added_g,
        "breaks_zero_proof": result.breaks_zero_proof,
        "brix": result.strength.brix if result.strength else None,
        "batch": result.strength.batch if result.strength else None,
        "also_open": list(result.strength.also_open) if result.strength else [],
        "one_for_one_brix": result.one_for_one_brix,
        "effort": result.effort,
        "obstacle": None
        if found is None
        else {
            "below_zero": [
                {"ingredient": item.liquid.id, "amount": item.amount.value, "unit": item.amount.unit}
                for item in found.below_zero
            ],
            "misses_percent": dict(found.misses),
            "acid_short_g": found.acid_short_g,
            "words": obstacle_words(result, house),
        },
        "noticed": noticed_data(result.noticed),
        **taste_data(result.taste),
        "glass": fill_data(result.fill),
        "unknown": unknown_data(item for item in result.new.unknown if not item.small),
    }


def menu_data(
    at: At,
    out: str, into: str, held: Sequence[Held], found: Sequence[Swap], failed: Sequence[tuple[Drink, BalancerError]],
    house: House,
) -> dict[str, Any]:  # fmt: skip
    """The JSON object of `swap --all`."""
    return {
        "out": out,
        "in": into,
        "at": at.setting,
        "held": list(held),
        "drinks": [swap_data(result, house) for result in found],
        "cannot": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message} for drink, error in failed
        ],
    }


def stand_ins_data(
    drink: Drink, out: str, held: Sequence[Held], found: Sequence[Swap], past: Sequence[str], house: House
) -> dict[str, Any]:
    """The JSON object of `swap` without --in: what is open, the least change first."""
    return {
        "drink": drink.id,
        "name": drink.name,
        "out": out,
        "in": None,
        "at": "tonight",
        "held": list(held),
        "stand_ins": [swap_data(result, house) for result in found],
        "past": list(past),
    }


def pour_data(pour: SwappedPour) -> dict[str, Any]:
    """One pour before and after."""
    liquid, spec = pour.liquid, pour.spec
    return {
        "ingredient": liquid.id,
        "name": liquid.name,
        "unit": pour.poured.unit,
        "spec_ml": spec.ml(liquid) if spec else None,
        "exact_ml": pour.exact.ml(liquid),
        "poured_ml": pour.poured.ml(liquid),
        "spec_g": spec.grams(liquid) if spec else None,
        "exact_g": pour.exact.grams(liquid),
        "poured_g": pour.poured.grams(liquid),
        "written_ml": pour.written.value if pour.written else None,
        "by_weight": pour.poured.unit == "g",
        "measured": {"amount": pour.measured.value, "unit": pour.measured.unit} if pour.measured else None,
    }


def _before_data(pour: SwappedPour, result: Swap) -> dict[str, Any]:
    """How much the drink had before of what comes, where it had some."""
    if not pour.is_new or result.before is None:
        return {}
    return {"before_ml": result.before.ml(pour.liquid)}


def moved_data(change: Moved) -> dict[str, Any]:
    """What changes in the glass."""
    span = change.sweetness
    return {
        "sugar_percent": change.sugar_percent,
        "acid_percent": change.acid_percent,
        "abv_points": change.abv_points,
        "volume_percent": change.volume_percent,
        "sweetness_percent": span.middle if span else None,
        "sweetness_percent_range": {"low": span.low, "high": span.high} if span else None,
        "mix_volume_percent": change.mix_volume_percent,
        "at_most": list(change.at_most),
    }


def noticed_data(found: Sequence[Noticed]) -> list[dict[str, Any]]:
    """What a guest may notice, beside the published band."""
    return [
        {
            "quantity": item.quantity,
            "change": item.change,
            "unit": item.threshold.unit,
            "words": item.words,
            "published": {"low": item.threshold.low, "high": item.threshold.high, "where": item.threshold.where},
            "source": item.threshold.source,
        }
        for item in found
    ]


def fill_data(found: Fill | None) -> dict[str, Any] | None:
    """The glass before and after."""
    if found is None:
        return None
    return {
        "glass": found.glass,
        "glass_ml": found.glass_ml,
        "before_ml": found.before_ml,
        "after_ml": found.after_ml,
        "overflows": found.overflows,
    }
