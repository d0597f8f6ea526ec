"""`fits` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.engine.drink.liquid import Liquid
from balancer.engine.swaps.at import At
from balancer.engine.swaps.fits import DrinkFits, SweetenerFit
from balancer.engine.swaps.moved import Moved
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.data.taste import taste_data
from balancer.output.words.fits import Failed
from balancer.output.words.strengths import strengths_data
from balancer.output.words.swap import verdict_data


def fits_data(result: DrinkFits, house: House) -> dict[str, Any]:
    """The JSON object of one drink."""
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "out": result.out.id,
        **strengths_data(result.at, result.concerned),
        "fits": [_fit_data(fit, result.drink, house) for fit in result.fits],
        "misfits": [
            {"id": misfit.into.id, "name": misfit.into.name, "message": misfit.why} for misfit in result.misfits
        ],
    }


def menu_fits_data(
    at: At, out: Liquid, found: Sequence[DrinkFits], failed: Sequence[Failed], house: House
) -> dict[str, Any]:
    """The JSON object of the menu."""
    return {
        "out": out.id,
        "at": at.setting,
        "drinks": [fits_data(result, house) for result in found],
        "failed": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message} for drink, error in failed
        ],
    }


def _fit_data(fit: SweetenerFit, drink: Drink, house: House) -> dict[str, Any]:
    return {
        "id": fit.into.id,
        "name": fit.into.name,
        "brix": fit.strength.brix if fit.strength else None,
        "batch": fit.strength.batch if fit.strength else None,
        **verdict_data(fit.reasons, fit.into, drink, house),
        "unit": fit.poured.unit,
        "exact_ml": fit.exact.ml(fit.into),
        "poured_ml": fit.poured.ml(fit.into),
        "before_ml": fit.before.ml(fit.into) if fit.before else None,
        "exact_g": fit.exact.value if fit.exact.unit == "g" else None,
        "measured": {"amount": fit.measured.value, "unit": fit.measured.unit} if fit.measured else None,
        "poured_g": fit.poured.value if fit.poured.unit == "g" else None,
        "moved": _moved_data(fit.moved),
        "moved_exact": _moved_data(fit.moved_exact),
        "unknown": [{"ingredient": fit.into.id, "what": what} for what in fit.into.unknown],
        "likeness": fit.likeness._asdict(),
        "effort": fit.effort,
        "allergens": {"gained": list(fit.gained), "unknown": [fit.into.id] if fit.unknown else []},
        "alcohol_added_g": fit.alcohol_g,
        **taste_data(fit.taste),
    }


def _moved_data(change: Moved) -> dict[str, Any]:
    return {
        "sugar_percent": change.sugar_percent,
        "acid_percent": change.acid_percent,
        "volume_percent": change.volume_percent,
        "mix_volume_percent": change.mix_volume_percent,
        "abv_points": change.abv_points,
        "at_most": list(change.at_most),
    }
