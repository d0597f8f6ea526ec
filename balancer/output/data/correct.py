"""`correct` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.prep.correct import Correction
from balancer.engine.prep.tub import Corrected
from balancer.models.house import House
from balancer.output.data.rescale import conversions_data, exceptions_data
from balancer.output.words.correct import must_rows


def correct_data(result: Corrected, house: House) -> dict[str, Any]:
    """The JSON object of `correct`. Without mass and volume it is about 100 ml of the batch."""
    best = result.best
    return {
        **_correction_data(best),
        "warnings": must_rows(result, house),
        "basis": result.basis,
        "batch": result.tub.batch_id,
        "syrup": result.syrup.id if result.syrup else None,
        "batch_brix": result.tub.brix,
        "target_brix": result.target_brix,
        "mass_g": result.batch.mass.value,
        "standard_uncertainty_brix": result.batch.brix.uncertainty,
        "standard_uncertainty_g": result.batch.mass.uncertainty,
        "first_brix": best.first_brix,
        "first_mass_g": best.first_mass_g,
        "final_diluted": best.final_diluted._asdict() if best.final_diluted else None,
        "within_tolerance": result.within,
        "most_ml": result.most_ml,
        "alternatives": [_correction_data(way) for way in result.others],
        "conversions": conversions_data(result.lines.conversions),
        **exceptions_data(result.lines),
        "after": {"conversions": conversions_data(result.after.conversions), **exceptions_data(result.after)},
    }


def _correction_data(way: Correction) -> dict[str, Any]:
    return {
        "add": way.additive.id if way.additive else None,
        "name": way.additive.name if way.additive else None,
        "add_brix": way.additive.brix if way.additive else None,
        "add_g": way.add_g,
        "add_ml": way.add_ml,
        "first_add_g": way.first_add_g,
        "first_add_ml": way.first_add_ml,
        "final_mass_g": way.final_mass_g,
        "final_volume_ml": way.final_volume_ml,
        "final_brix": way.final_brix,
        "final_reading_brix": way.final_reading_brix,
        "fits": way.fits,
        "acid_g_per_kg": {"before": way.acid_g_per_kg[0], "after": way.acid_g_per_kg[1]},
        "acid_percent": way.acid_percent,
        "flavour_percent": way.flavour_percent,
    }
