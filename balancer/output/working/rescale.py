"""The working of an answer, line by line, to follow with a pocket calculator.

Every line stands on numbers that the files or the command give, that are marked as table values, or that
are printed above it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.output.words.numbers import MINUS, weight
from balancer.output.words.sums import amount, grams, percents, ratio

if TYPE_CHECKING:
    pass


def rescale_steps(result: Rescale) -> list[str]:
    """The working of `rescale`: the two strengths, each written pour once, then each drink."""
    standard, batch = result.standard.sugar_g_per_ml, result.batch.sugar_g_per_ml
    share, source = result.syrup.sugar_share, "density table" + (", and its acid" if result.syrup.acid else "")
    lines = [
        *strength_steps("standard", result.standard_brix, result.standard.density or 0.0, standard, share, source),
        *strength_steps("batch", result.batch_brix, result.batch.density or 0.0, batch, share, source),
    ]
    written = {row.rounded.spec_ml: row for row in result.rows if not row.by_weight}
    for spec, row in sorted(written.items()):
        lines += ["", *written_pour_steps(spec, standard, batch, row.rounded.exact_ml, row.rounded.nearest_ml)]
    for row in result.rows:
        lines += ["", *_row_steps(row, result)]
    if result.correct.add:
        target, brix = amount(result.standard_brix), amount(result.batch_brix)
        divisor = target if result.correct.add == "water" else f"(100 {MINUS} {target})"
        difference = f"({brix} {MINUS} {target})" if result.correct.add == "water" else f"({target} {MINUS} {brix})"
        lines += [
            "",
            f"{result.correct.add} per kg: 1000 g × {difference} ÷ {divisor} = {grams(result.correct.g_per_kg)} g",
        ]
    return lines


def _row_steps(row: DrinkRow, result: Rescale) -> list[str]:
    rounded, per = row.rounded, ratio(result.batch.sugar_g_per_ml)
    spec, poured = amount(rounded.spec_ml), amount(rounded.poured_ml)
    designed = f"{spec} × {ratio(result.standard.sugar_g_per_ml)}"
    lines = [f"{row.drink.name}: {grams(row.drink_sugar_g)} g sugar in the whole drink as designed (see totals)"]
    if row.by_weight and result.batch.density:
        density, share = result.batch.density, result.syrup.sugar_share
        spec, poured = weight(rounded.spec_ml, density), weight(rounded.poured_ml, density)
        per, designed = _sugar_share(result.batch_brix, share), grams(rounded.exact_ml * result.batch.sugar_g_per_ml)
        lines.append(f"  {spec} g × {_sugar_share(result.standard_brix, share)} = {designed} g sugar as designed")
        lines.append(f"  of the batch: {designed} ÷ ({per}) = {grams(rounded.exact_ml * density)} g")
    pours = {"as written": (spec, rounded.as_written_percent)}
    if poured != spec:
        pours[f"poured {poured}"] = (poured, rounded.after_percent)
    for label, (pour, change) in pours.items():
        moved = f"({pour} × {per} {MINUS} {designed}) ÷ {grams(row.drink_sugar_g)}"
        lines.append(f"  {label}: {moved} = {percents(change)}")
    return lines


def strength_steps(
    label: str, brix: float, density: float, sugar: float, share: float = 100.0, source: str = "density table"
) -> list[str]:
    """Sugar in a millilitre at a strength."""
    return [
        f"{label}: a ml at {amount(brix)} °Bx weighs {ratio(density)} g ({source})",
        f"  {ratio(density)} g × {_sugar_share(brix, share)} = {ratio(sugar)} g sugar in a ml",
    ]


def _sugar_share(brix: float, share: float) -> str:
    return f"{amount(brix)} ÷ 100" + (f" × {percents(share, 3)}" if share != 100.0 else "")


def written_pour_steps(spec: float, standard: float, batch: float, exact: float, poured: float) -> list[str]:
    """A written pour in grams of sugar, and the pour that restores it."""
    wanted = spec * standard
    return [
        f"{amount(spec)} ml as designed: {amount(spec)} × {ratio(standard)} = {grams(wanted)} g sugar",
        f"  of the batch: {grams(wanted)} ÷ {ratio(batch)} = {grams(exact)} ml; nearest pour {amount(poured)} ml",
    ]
