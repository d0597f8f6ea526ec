"""Words that `correct` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.engine.batch.read_it import read_again
from balancer.engine.prep.tub import Corrected
from balancer.models.house import House
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


def size_text(ml: float, house: House) -> str:
    """A volume to compare with another; from a litre on in litres, with two decimals each."""
    return f"{ml / 1000.0:.2f} l" if ml >= 999.5 and house.show == "ml" else house_volume(ml, house)
