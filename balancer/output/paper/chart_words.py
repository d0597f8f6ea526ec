"""What a chart says in words: on the page in its language; on the screen and in JSON in English."""

from __future__ import annotations

from balancer.engine.prep.chart import ENOUGH, Chart
from balancer.output.paper.language import Words
from balancer.output.words.numbers import brix, trim

_NAMED = 4


def sentence(result: Chart, words: Words) -> str:
    """What the batches say and what to change. It holds no name but batch ids."""
    number, offset = len(result.points), result.offset_brix or 0.0
    if not number:
        return words("chart.none-read", enough=ENOUGH)
    if result.word == "too few" or result.lines is None:
        return words("chart.too-few", number=number, enough=ENOUGH)
    if result.word == "moved" and result.moved:
        change = number_text(abs(result.moved.change_brix), words)
        way = "chart.moved-stronger" if result.moved.change_brix > 0.0 else "chart.moved-weaker"
        return words(way, batch=result.moved.since, change=change, off=off_text(offset, words))
    spread = number_text(result.spread_brix or 0.0, words)
    if result.word == "up and down":
        return words("chart.up-and-down", spread=spread, centre=number_text(result.lines.centre, words))
    if result.word == "steady":
        centre = words.number(brix(result.lines.centre))
        if result.outside:
            return words("chart.steady-but", spread=spread, centre=centre, batches=ids_text(result, words))
        return words("chart.steady", spread=spread, centre=centre)
    every = "always" if result.same_side == number else "mostly"
    return words(
        f"chart.{every}-{'strong' if offset > 0.0 else 'weak'}",
        number=number,
        same=result.same_side,
        off=number_text(abs(offset), words),
        change=_change(result, offset, words),
    )


def number_text(value: float, words: Words) -> str:
    """A strength or a step, without its unit."""
    return words.number(trim(value, 1))


def ids_text(result: Chart, words: Words) -> str:
    """Ids of batches that stand out, in a row."""
    ids = [point.batch for point in result.outside]
    left = len(ids) - _NAMED
    named = ", ".join(ids[:_NAMED])
    return f"{named} {words('paper.and-more', number=left)}" if left > 0 else named


def off_text(offset_brix: float, words: Words) -> str:
    """How far off standard, in °Bx.

    >>> from balancer.output.paper.language import words_of
    >>> off_text(3.21, words_of("en")), off_text(-0.5, words_of("en")), off_text(0.01, words_of("en"))
    ('3.2 over', '0.5 under', 'at standard')
    """
    text = number_text(abs(offset_brix), words)
    if text == "0":
        return words("chart.at-standard")
    return words("chart.over" if offset_brix > 0.0 else "chart.under", off=text)


def standard_text(result: Chart, words: Words) -> str:
    """The standard and what prep lets pass."""
    standard, tolerance = number_text(result.target_brix, words), number_text(result.tolerance_brix, words)
    return words("chart.standard", standard=standard, tolerance=tolerance)


def _change(result: Chart, offset: float, words: Words) -> str:
    """Water where the log blames the water, else sugar; a cause that would work the other way is not believed."""
    water, sugar = result.water_g_per_kg or 0.0, result.sugar_g_per_kg or 0.0
    if result.cause == "boiled" and offset > 0.0:
        return words("chart.more-water", mass=trim(abs(water), 0))
    if result.cause == "watered" and offset < 0.0:
        return words("chart.less-water", mass=trim(abs(water), 0))
    return words("chart.less-sugar" if offset > 0.0 else "chart.more-sugar", mass=trim(abs(sugar), 0))
