"""The working of `measure`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from balancer.engine.prep.measure import Corrections, Judged, Measurement
from balancer.output.words.numbers import MINUS, seen_text, trim
from balancer.output.words.page import wrap
from balancer.output.words.sums import wrapped
from balancer.output.working.rescale import rescale_steps
from balancer.properties.refractometer import CHECKED_TO_C


def measure_steps(judged: Judged) -> list[str]:
    """The working of `measure`: the reading, its corrections, the dilution in grams, the uncertainty."""
    measured = judged.measurement
    shown, found = measured.readings.shown, measured.corrections
    mean = trim(measured.readings.mean_brix, 2)
    lines = _seen_steps(measured)
    if len(shown) > 1:
        lines.append(f"mean reading: ({' + '.join(trim(one, 2) for one in shown)}) ÷ {len(shown)} = {mean}")
    lines += _correction_steps(measured, found)
    factor = f" × {found.dilution_factor:.4f}" if measured.readings.diluted else ""
    if measured.masses_g and measured.readings.diluted:
        sample, water = (f"{grams:.2f}" for grams in measured.masses_g)
        for name, amount, grams in zip(("sample", "water"), measured.readings.diluted, (sample, water), strict=True):
            if amount.unit == "ml":
                lines.append(f"{name}: {trim(amount.value, 2)} ml weigh {grams} g (density table)")
        lines.append(f"dilution: ({sample} g + {water} g) ÷ {sample} g = {found.dilution_factor:.4f}")
    added = (-found.zero, *found[1:4])
    lines.append(f"strength: {_sum(measured, added)}{factor} = {trim(measured.strength.value, 2)} °Bx")
    if measured.by_mixing:
        added = (-found.zero, found.temperature, measured.by_mixing.acid, found.invert)
        strength = f"{trim(measured.by_mixing.brix, 2)} °Bx"
        lines.append(f"with refractive indices mixed: {_sum(measured, added)}{factor} = {strength}")
        lines.append("  the ± covers both")
    lines += _uncertainty_steps(measured)
    return [*lines, "", *rescale_steps(judged.rescale)] if judged.rescale else lines


_TABLES: Final = {"nD": "refractive index of sucrose, 20 °C, 589 nm", "SG": "density of sucrose over that of water"}


def _seen_steps(measured: Measurement) -> list[str]:
    """What was read on another scale, in °Bx by the published table."""
    readings = measured.readings
    lines = []
    for each, shown in zip(readings.seen, readings.shown, strict=False):
        at = ""
        if readings.by_density:
            at = f" at {20 if readings.temperature_c is None else trim(readings.temperature_c, 1)} °C"
        lines.append(f"{seen_text(*each)} = {trim(shown, 2)} °Bx ({_TABLES[each.scale]}{at})")
    return lines


def _correction_steps(measured: Measurement, found: Corrections) -> list[str]:
    lines = []
    if found.temperature:
        celsius = trim(measured.readings.temperature_c or 0.0, 1)
        lines.append(f"temperature: {_term(found.temperature)} at {celsius} °C (correction to 20 °C)")
        if (measured.readings.temperature_c or 0.0) > CHECKED_TO_C:
            lines.append(f"  above {CHECKED_TO_C:g} °C: from a model and from memory, not checked against a print")
    if found.acid:
        held = trim(measured.acid_percent, 2)
        table = "it weighs in like sugar" if measured.readings.by_density else "citrus table less the acid"
        lines.append(f"acid: {_term(found.acid)} for {held} g in 100 g on the prism ({table})")
    if measured.by_mixing:
        lines.append("  that table is a convention for juice, whatever the strength; by the mixing of")
        lines.append(f"  refractive indices {_term(measured.by_mixing.acid)}")
    if found.invert:
        part = trim(100.0 * measured.readings.inverted_fraction, 0)
        lines.append(f"invert sugar: {_term(found.invert)} for {part} % of the solids as glucose and fructose")
    return lines


def _uncertainty_steps(measured: Measurement) -> list[str]:
    budget = {cause: f"{abs(part):.2f}" for cause, part in measured.strength.budget.items()}
    named = ", ".join(f"{cause} {part}" for cause, part in budget.items())
    squares = " + ".join(f"{part}²" for part in budget.values())
    total = f"{measured.strength.uncertainty:.2f}"
    return [
        *wrap(f"uncertainty in °Bx: {named}", 4),
        *wrapped(f"  √({squares}) = {total}; the ± is twice that"),
    ]


def _sum(measured: Measurement, added: Sequence[float]) -> str:
    """The mean reading and what is added to it, in brackets where the sum is to be multiplied."""
    terms = [trim(measured.readings.mean_brix, 2), *(_term(value) for value in added if value)]
    return f"({' '.join(terms)})" if measured.readings.diluted and len(terms) > 1 else " ".join(terms)


def _term(value: float) -> str:
    return f"{MINUS if value < 0 else '+'} {trim(abs(value), 2)}"
