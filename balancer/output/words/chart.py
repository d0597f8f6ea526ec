"""Words that `chart` says on the screen and in JSON alike."""

from __future__ import annotations

from balancer.engine.prep.chart import ENOUGH, Chart
from balancer.output.words.numbers import brix, some, trim


def sentence(result: Chart) -> str:
    """What the batches say and what to change. It holds no name but batch ids."""
    number, offset = len(result.points), result.offset_brix or 0.0
    if result.word == "too few":
        return f"too few batches to say: {number or 'none'} with a reading, {ENOUGH} are needed"
    if result.word == "moved" and result.moved:
        way = "stronger" if result.moved.change_brix > 0.0 else "weaker"
        return (
            f"moved: since {result.moved.since} about {trim(abs(result.moved.change_brix), 1)} °Bx {way} than before, "
            f"now {off_text(offset)}: ask what changed then"
        )
    if result.word == "up and down":
        return (
            f"up and down: by {trim(result.spread_brix or 0.0, 1)} °Bx around {trim(_centre(result), 1)}: "
            "weigh sugar and water, the same way every time"
        )
    if result.word == "steady":
        near = f"within {trim(result.spread_brix or 0.0, 1)} of {brix(_centre(result))}"
        if result.outside:
            return f"steady: {near}, but for {ids_text(result)}: ask what was different"
        return f"steady: {near}; change nothing"
    word = result.word if result.same_side == number else result.word.replace("always", "mostly")
    who = f"every one of {number}" if result.same_side == number else f"{result.same_side} of {number}"
    return f"{word}: {who} batches, by {trim(abs(offset), 1)} °Bx on average: {_change(result, offset)} per kg of syrup"


def _change(result: Chart, offset: float) -> str:
    """Water where the log blames the water, else sugar; a cause that would work the other way is not believed."""
    water, sugar = result.water_g_per_kg or 0.0, result.sugar_g_per_kg or 0.0
    if result.cause == "boiled" and offset > 0.0:
        return f"keep the lid on, {trim(abs(water), 0)} g more water"
    if result.cause == "watered" and offset < 0.0:
        return f"weigh the water, {trim(abs(water), 0)} g less"
    return f"weigh the sugar, {trim(abs(sugar), 0)} g {'less' if offset > 0.0 else 'more'}"


def ids_text(result: Chart) -> str:
    """Ids of batches in a row."""
    return some((point.batch for point in result.outside), 4)


def off_text(offset_brix: float) -> str:
    """How far off standard, signed, in °Bx."""
    text = trim(abs(offset_brix), 1)
    return "at standard" if text == "0" else f"{text} {'over' if offset_brix > 0.0 else 'under'}"


def _centre(result: Chart) -> float:
    return result.lines.centre if result.lines else result.target_brix
