"""The working of `correct`."""

from __future__ import annotations

from balancer.engine.prep.correct import Additive
from balancer.engine.prep.tub import PER_ML, Corrected
from balancer.output.words.numbers import MINUS, trim
from balancer.output.words.sums import grams


def correct_steps(result: Corrected) -> list[str]:
    """The working of `correct`, in grams."""
    best, additive = result.best, result.best.additive
    if additive is None:
        return [f"{trim(result.tub.brix, 2)} °Bx is the target: nothing to add"]
    mass, batch, target = grams(result.batch.mass.value), trim(result.tub.brix, 2), trim(result.target_brix, 2)
    rich = trim(additive.brix, 2)
    lines = []
    if result.basis != "mass":
        volume = trim(result.tub.volume_ml or PER_ML, 1)
        lines.append(f"batch: {volume} ml × {result.batch.density:.4f} g/ml (density table) = {mass} g")
    lines += [
        "added = mass × (target − batch) ÷ (additive − target)",
        f"  {mass} g × ({target} {MINUS} {batch}) ÷ ({rich} {MINUS} {target}) = {grams(best.add_g)} g {additive.name}",
    ]
    if best.add_ml is not None and additive.density:
        lines.append(f"  {grams(best.add_g)} g ÷ {additive.density:.4f} g/ml = {grams(best.add_ml)} ml")
    lines += _first_steps(result, additive)
    end = grams(best.final_mass_g)
    lines += [
        f"in the end: {mass} g + {grams(best.add_g)} g = {end} g",
        f"  ({mass} × {batch} + {grams(best.add_g)} × {rich}) ÷ {end} = {trim(best.final_brix, 2)} °Bx",
        f"  which fill {grams(best.final_volume_ml)} ml at 20 °C (volume model)",
    ]
    if best.final_reading_brix is not None:
        held = f"{trim(best.acid_g_per_kg[1], 1)} g/kg acid" if best.acid_g_per_kg[1] else "no acid"
        lines.append(f"  and with {held} your refractometer should read {trim(best.final_reading_brix, 2)}")
    return lines


def _first_steps(result: Corrected, additive: Additive) -> list[str]:
    """Two standard uncertainties less: that of the strength and that of the mass, in quadrature."""
    best = result.best
    added, mass, off = grams(best.add_g), grams(result.batch.mass.value), grams(result.batch.mass.uncertainty)
    brix_off, apart = trim(result.batch.brix.uncertainty, 2), trim(abs(additive.brix - result.target_brix), 2)
    by_brix, by_mass = (grams(abs(best.unsure_g.get(cause, 0.0))) for cause in ("brix", "mass"))
    both = f"{added} {MINUS} 2 × √({by_brix}² + {by_mass}²)"
    return [
        f"first: {brix_off} °Bx off is worth {mass} g × {brix_off} ÷ {apart} = {by_brix} g",
        f"  {off} g off in {mass} g is worth {added} g × {off} ÷ {mass} = {by_mass} g",
        f"  {both} = {grams(best.first_add_g)} g" if best.first_add_g else f"  {both} is below zero: nothing at first",
    ]
