"""A correction as text, as JSON, and its working."""

from __future__ import annotations

from typing import Any

from balancer.engine.correct import Additive, Correction
from balancer.engine.tub import PER_ML, Corrected
from balancer.models.house import House
from balancer.output.numbers import MINUS, brix, percent, to_weigh, trim
from balancer.output.page import ROWS, conversions_text, house_volume, page
from balancer.output.working import grams

_OTHERS = 2


def correct_text(result: Corrected, house: House) -> str:
    """The answer of `correct`: what to add, in which order, and how to know that it is right."""
    best = result.best
    if best.additive is None:
        first = f"nothing to add: {_name(result)} is at {brix(result.target_brix)}"
        return page(first, _reading_rows(result), "--steps shows the working")
    rows = [*_staged_rows(result, best.additive), *_must_rows(result, house)]
    tail = [*_reading_rows(result), *_log_rows(result)]
    others = [*_instead_rows(result, house), *_thinned_rows(best), *_fits_rows(result, house)]
    room = ROWS - len(tail)
    hidden = max(len(rows) + len(others) - room, 0)
    more = [f"{hidden} more notes (--json)"] if hidden else []
    rows = [*[*rows, *others][:room], *tail]
    return page(_first(result, best, best.additive, house), rows, "; ".join([*more, "--steps shows the working"]))


def _first(result: Corrected, best: Correction, additive: Additive, house: House) -> str:
    strengths = f"{brix(result.tub.brix)} → {trim(result.target_brix, 1)}"
    if result.basis == "per 100 ml":
        return f"add {_amount(result, best, additive)} to every {trim(PER_ML, 0)} ml of {_name(result)}: {strengths}"
    sizes = (
        f"{to_weigh(result.batch.mass.value)} → {to_weigh(best.final_mass_g)}"
        if result.basis == "mass"
        else f"{_volume(result.tub.volume_ml or 0.0, house)} → {_volume(best.final_volume_ml, house)}"
    )
    return f"add {_amount(result, best, additive)} to {_name(result)}: {strengths}, {sizes}"


def _amount(result: Corrected, way: Correction, additive: Additive) -> str:
    """What to add, weighed or, without a scale or a mass, poured."""
    if result.poured and way.add_ml is not None:
        return f"{_ml(way.add_ml)} {additive.name}"
    return f"{to_weigh(way.add_g)} {additive.name}"


def _staged_rows(result: Corrected, additive: Additive) -> list[str]:
    best = result.best
    poured = result.poured and best.first_add_ml is not None
    first = _ml(best.first_add_ml or 0.0) if poured else to_weigh(best.first_add_g)
    off = f"{trim(result.tub.brix, 1)} may be {trim(result.plus_minus_brix, 1)} off"
    off += "" if result.tub.stirred else " unstirred"
    if best.first_add_g == 0.0:
        rows = [f"stir and read again before adding any: {off}"]
    elif best.first_add_g < best.add_g:
        rows = [f"first {first}, stir, read again, then the rest: {off}"]
    else:
        rows = []
    if result.within:
        rows.append(f"or leave it: within {trim(result.tolerance_brix, 1)} °Bx, which prep lets pass")
    if additive.brix == 100.0:
        rows.append("stir until every crystal is gone before reading")
    return rows


def _reading_rows(result: Corrected) -> list[str]:
    best = result.best
    lead = f"read it in the end: at {brix(best.final_brix)}"
    if best.final_diluted is not None:
        mixed = f"{trim(best.final_diluted.sample_g, 0)} g of it with {trim(best.final_diluted.water_g, 0)} g water"
        return [f"{lead} {mixed} shows {trim(best.final_diluted.reads_brix, 1)}"]
    if best.final_reading_brix is None:
        return ["no refractometer can check it: alcohol reads like sugar"]
    return [f"{lead} your scale shows {trim(best.final_reading_brix, 1)}"]


def _log_rows(result: Corrected) -> list[str]:
    """The line for the log: what is expected after the first addition, until it is read again."""
    best, batch = result.best, result.tub.batch_id
    if batch is None:
        return []
    if not best.first_add_g:
        return [f"then: balancer measure READING --batch {batch} --log"]
    mass = f" --mass {best.first_mass_g:.0f}g" if result.basis == "mass" else ""
    return [f"log the first: balancer batch correct {batch} --brix {best.first_brix:.1f}{mass}"]


def _must_rows(result: Corrected, house: House) -> list[str]:
    """What nobody should miss; the same sentences are the warnings of the JSON."""
    best, additive = result.best, result.best.additive
    rows = [f"{_name(result)} was corrected and not read since: read it first"] if result.tub.unread else []
    if best.fits is False and result.bench.container_ml is not None and result.most_ml is not None:
        rows.append(
            f"does not fit: {_volume(best.final_volume_ml, house)} in {_volume(result.bench.container_ml, house)}; "
            f"correct at most {_volume(result.most_ml, house)} of it there"
        )
    if result.taken_for_g is not None and result.tub.volume_ml is not None:
        grams, ends = result.taken_for_g
        rows.append(
            f"a ml of it is not a gram: taken so, {to_weigh(grams)} would be added and it would end at {brix(ends)}"
        )
    if best.saturated_brix is not None:
        rows.append(
            f"crystals may grow at {trim(result.bench.storage_c, 0)} °C, "
            f"where no more than {brix(best.saturated_brix)} of sucrose dissolves"
        )
    before, after = best.acid_g_per_kg
    if additive and after > before:
        rows.append(f"{additive.name} brings acid: {trim(before, 1)} → {trim(after, 1)} g/kg")
    return rows


def _instead_rows(result: Corrected, house: House) -> list[str]:
    rows = []
    if result.conversions:
        rows.append(f"or leave it and pour {conversions_text(result.conversions, house)}")
    for way in result.others[:_OTHERS]:
        if way.additive is not None:
            acid = f", acid {percent(way.acid_percent)}" if way.acid_percent is not None else ""
            rows.append(f"or add {_amount(result, way, way.additive)}{acid}")
    return rows


def _thinned_rows(best: Correction) -> list[str]:
    parts = []
    if best.flavour_percent is not None:
        parts.append(f"flavour {percent(best.flavour_percent)}")
    if best.acid_percent is not None:
        parts.append(f"acid {percent(best.acid_percent)}")
    return [f"a ml then holds: {', '.join(parts)}"] if parts else []


def _fits_rows(result: Corrected, house: House) -> list[str]:
    if not result.best.fits or result.bench.container_ml is None:
        return []
    return [f"fits: {_volume(result.best.final_volume_ml, house)} in {_volume(result.bench.container_ml, house)}"]


def _name(result: Corrected) -> str:
    return result.tub.batch_id or (result.syrup.name if result.syrup else "the syrup")


def _ml(ml: float) -> str:
    return f"{trim(ml, 0 if ml >= 19.75 else 1)} ml"


def _volume(ml: float, house: House) -> str:
    return f"{ml / 1000.0:.2f} l" if ml >= 999.5 and house.show == "ml" else house_volume(ml, house)


def correct_data(result: Corrected, house: House) -> dict[str, Any]:
    """The JSON object of `correct`. Without mass and volume it is about 100 ml of the batch."""
    best = result.best
    return {
        **_correction_data(best),
        "warnings": _must_rows(result, house),
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
        "conversions": [{"spec_ml": spec, "poured_ml": poured} for spec, poured in result.conversions],
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
        lines.append(f"  and with {held} show as {trim(best.final_reading_brix, 2)} on the scale")
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
