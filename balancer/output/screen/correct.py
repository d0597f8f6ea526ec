"""`correct` on the screen."""

from __future__ import annotations

from balancer.engine.batch.read_it import line_to_read
from balancer.engine.prep.correct import Additive, Correction
from balancer.engine.prep.tub import PER_ML, Corrected
from balancer.models.house import House
from balancer.output.words.advice import READS, less_or_more
from balancer.output.words.amounts import to_stir_in
from balancer.output.words.correct import batch_name, must_rows, size_text
from balancer.output.words.look import most
from balancer.output.words.numbers import brix, percent, to_weigh, trim
from balancer.output.words.page import ROWS, act, few, page
from balancer.output.words.tonight import asked_text, lines_text

_OTHERS = 2


def correct_text(result: Corrected, house: House) -> str:
    """The answer of `correct`: what to add, in which order, and how to know that it is right."""
    best = result.best
    if best.additive is None:
        first = f"nothing to add: {batch_name(result)} is at {brix(result.target_brix)}"
        musts = map(act, must_rows(result, house))
        return page(first, [*musts, *check_rows(result)], "--steps shows the working")
    rows = [*staged_rows(result, best.additive), *map(act, must_rows(result, house))]
    tail = [*check_rows(result), *_log_rows(result)]
    others = [*_instead_rows(result, house), *_thinned_rows(best), *_fits_rows(result, house)]
    shown, more = few([*rows, *others], ROWS - len(tail), "notes")
    return page(
        add_text(result, best, best.additive, house), [*shown, *tail], "; ".join([*more, "--steps shows the working"])
    )


def add_text(result: Corrected, best: Correction, additive: Additive, house: House) -> str:
    """What to add, and what that brings it to."""
    strengths = f"{brix(result.tub.brix)} → {trim(result.target_brix, 1)}"
    if result.basis == "per 100 ml":
        return (
            f"add {_amount(result, best, additive)} to every {trim(PER_ML, 0)} ml of {batch_name(result)}: {strengths}"
        )
    sizes = (
        f"{to_weigh(result.batch.mass.value)} → {to_weigh(best.final_mass_g)}"
        if result.basis == "mass"
        else f"{size_text(result.tub.volume_ml or 0.0, house)} → {size_text(best.final_volume_ml, house)}"
    )
    return f"add {_amount(result, best, additive)} to {batch_name(result)}: {strengths}, {sizes}"


def _amount(result: Corrected, way: Correction, additive: Additive) -> str:
    return f"{to_stir_in(result.to_add(way))} {additive.name}"


def staged_rows(result: Corrected, additive: Additive) -> list[str]:
    """In which order it is added, and why."""
    best = result.best
    first = to_stir_in(result.first_to_add)
    off = f"{trim(result.tub.brix, 1)} may be {trim(result.plus_minus_brix, 1)} off"
    off += "" if result.tub.stirred else " unstirred"
    if best.reads_first:
        rows = [f"stir and read again before adding any: {off}"]
    elif best.is_staged:
        rows = [f"first {first}, stir, read again, then the rest: {off}"]
    else:
        rows = []
    if result.within:
        rows.append(f"or leave it: within {trim(result.tolerance_brix, 1)} °Bx, which prep lets pass")
    if additive.is_dry:
        rows.append("stir until every crystal is gone before reading")
    return rows


def check_rows(result: Corrected) -> list[str]:
    """What the refractometer should read in the end."""
    best = result.best
    lead = f"final check: at {brix(best.final_brix)}"
    if best.final_diluted is not None:
        mixed = f"{trim(best.final_diluted.sample_g, 0)} g of it with {trim(best.final_diluted.water_g, 0)} g water"
        return [f"{lead} {mixed} should read {trim(best.final_diluted.reads_brix, 1)}"]
    if best.final_reading_brix is None:
        return ["no refractometer can check it: alcohol reads like sugar"]
    return [f"{lead} {READS} {trim(best.final_reading_brix, 1)}"]


def _log_rows(result: Corrected) -> list[str]:
    """The line for the log: what is expected after the first addition, until it is read again."""
    best, batch = result.best, result.tub.batch_id
    if batch is None:
        return []
    line = line_to_read(result.syrup, batch)
    if best.reads_first:
        return [f"then: {line}"]
    strength, grams = expected_first(result)
    mass = f" --mass {grams}" if grams else ""
    log = f"balancer batch correct {batch} --brix {strength}{mass}"
    return [f"log {'the first' if best.is_staged else 'it'}: {log}", f"read it then: {line}"]


def expected_first(result: Corrected) -> tuple[str, str]:
    """What to log once the first addition is in: the strength in °Bx, and the mass; empty where nobody weighed it."""
    best = result.best
    return f"{best.first_brix:.1f}", f"{best.first_mass_g:.0f}g" if result.basis == "mass" else ""


def _instead_rows(result: Corrected, house: House) -> list[str]:
    rows = []
    if result.lines.moves:
        said = [*lines_text(result.lines, house), *asked_text(result.lines, house)]
        rows.append(f"or leave it and pour {'; '.join(said)}")
    if result.after.moves:
        rows.append(
            f"corrected, pour {'; '.join([*lines_text(result.after, house), *asked_text(result.after, house)])}"
        )
    for way in result.others[: most(_OTHERS)]:
        if way.additive is not None:
            acid = f", acid {percent(way.acid_percent)}" if way.acid_percent is not None else ""
            rows.append(f"or add {_amount(result, way, way.additive)}{acid}")
    return rows


def _thinned_rows(best: Correction) -> list[str]:
    parts = []
    if best.flavour_percent is not None:
        parts.append(less_or_more(best.flavour_percent, "flavour"))
    if best.acid_percent is not None:
        parts.append(less_or_more(best.acid_percent, "acid"))
    return [f"per ml: {', '.join(parts)}"] if parts else []


def _fits_rows(result: Corrected, house: House) -> list[str]:
    if not result.best.fits or result.bench.container_ml is None:
        return []
    return [f"fits: {size_text(result.best.final_volume_ml, house)} in {size_text(result.bench.container_ml, house)}"]
