"""The working of `bottle`."""

from __future__ import annotations

from balancer.engine.service.bottle import Bottle
from balancer.output.words.numbers import MINUS
from balancer.output.words.sums import amount, grams, ratio, total


def bottle_steps(result: Bottle) -> list[str]:
    """The working of `bottle`: each line of one serve (see totals) times the serves."""
    serves, used = _exactly(result.serves), result.from_batch
    lines = ["one serve in grams (its working: totals), times the serves"]
    if used is not None:
        lines.append(
            f"  {used.batch.id}: {amount(used.exact_ml)} ml a serve hold the sugar of {amount(used.spec_ml)} ml"
        )
    for line in result.lines:
        lines.append(f"  {line.name}: {ratio(line.mass_g / result.serves)} g × {serves} = {grams(line.mass_g)} g")
        if line.volume_ml:
            density = ratio(line.mass_g / line.volume_ml)
            lines.append(f"    volume: {grams(line.mass_g)} g ÷ {density} g/ml = {grams(line.volume_ml)} ml")
    lines += total("  all:", [line.mass_g for line in result.lines], result.mass_g)
    lines.append(f"  volume: {grams(result.mass_g)} g fill {grams(result.whole.volume_ml)} ml at 20 °C (volume model)")
    full = f"(100 {MINUS} {amount(result.headspace_percent)}) × 100"
    lines.append(f"  vessel: {grams(result.whole.volume_ml)} ml ÷ {full} = {grams(result.vessel_ml)} ml")
    return lines


def _exactly(serves: float) -> str:
    """As a person gave them, or to four places where a vessel decides."""
    return amount(serves) if abs(serves - round(serves, 3)) < 1e-9 else ratio(serves)
