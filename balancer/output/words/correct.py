"""Words that `correct` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.engine.batch.read_it import read_again
from balancer.engine.prep.tub import Corrected
from balancer.models.house import House
from balancer.output.words.amounts import to_stir_in
from balancer.output.words.keeping import weaker_text
from balancer.output.words.numbers import brix, to_weigh, trim
from balancer.output.words.page import house_volume


def must_rows(result: Corrected, house: House) -> list[str]:
    """What nobody should miss; the same sentences are the warnings of the JSON."""
    best, additive = result.best, result.best.additive
    rows = [_unread(result)] if result.tub.unread else []
    if best.fits is False and result.bench.container_ml is not None and result.most_ml is not None:
        rows.append(
            f"does not fit: {size_text(best.final_volume_ml, house)} in {size_text(result.bench.container_ml, house)}; "
            f"correct at most {size_text(result.most_ml, house)} of it there"
        )
    if result.taken_for_g is not None and result.tub.volume_ml is not None:
        grams, ends = result.taken_for_g
        rows.append(f"a ml of it is not a gram: reckoned so, you would add {to_weigh(grams)} and end at {brix(ends)}")
    if best.saturated_brix is not None:
        rows.append(
            f"crystals may grow at {trim(result.bench.storage_c, 0)} °C, "
            f"where no more than {brix(best.saturated_brix)} of sucrose dissolves"
        )
    rows += weaker_text(result.in_store) if result.in_store else []
    if additive and best.brings_acid:
        before, after = best.acid_g_per_kg
        rows.append(f"{additive.name} brings acid: {trim(before, 1)} → {trim(after, 1)} g/kg")
    return rows


def _unread(result: Corrected) -> str:
    first = f"{batch_name(result)} was corrected and not read since"
    return read_again(f"{first}: read it first", result.syrup, result.tub.batch_id) if result.tub.batch_id else first


def batch_name(result: Corrected) -> str:
    """The batch by its id, or the syrup."""
    return result.tub.batch_id or (result.syrup.name if result.syrup else "the syrup")


def per_kg_row(result: Corrected, kilogram: Corrected) -> str:
    """What to add to each kilogram of a batch of which nobody knows how much is left.

    kilogram  the same for one kilogram of it
    """
    strengths = f"{brix(result.tub.brix)} → {trim(result.target_brix, 1)}"
    return f"add {_all_in(kilogram)} to each kg of {batch_name(result)}: {strengths}"


def first_per_kg_row(kilogram: Corrected) -> str:
    """What goes into each kilogram before another reading; empty where that is all of it, or nothing."""
    if not kilogram.best.is_staged:
        return ""
    return f"first {to_stir_in(kilogram.first_to_add)} per kg, stir, read again, then the rest"


def all_left_row(result: Corrected) -> str:
    """What that comes to if nothing was poured of it since it was weighed."""
    first = f", first {to_stir_in(result.first_to_add)}" if result.best.is_staged else ""
    return f"if all {to_weigh(result.batch.mass.value)} are left: add {_all_in(result)}{first}"


def _all_in(result: Corrected) -> str:
    name = result.best.additive.name if result.best.additive else ""
    return f"{to_stir_in(result.to_add(result.best))} {name}"


def size_text(ml: float, house: House) -> str:
    """A volume to compare with another; from a litre on in litres, with two decimals each."""
    return f"{ml / 1000.0:.2f} l" if ml >= 999.5 and house.show == "ml" else house_volume(ml, house)
