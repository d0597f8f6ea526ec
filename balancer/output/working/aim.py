"""The working of `aim`."""

from __future__ import annotations

from balancer.engine.swaps.aim import Aim
from balancer.output.words.numbers import MINUS, trim
from balancer.output.words.sums import amount, grams, percents, ratio


def aim_steps(result: Aim) -> list[str]:
    """The working of `aim`, to follow with a pocket calculator."""
    old, made = result.old, result.made
    share = result.syrup.sugar_share
    of_it = f" × {percents(share, 3)}" if share != 100.0 else ""
    strength = f"{trim(result.brix, 2)} ÷ 100{of_it}"
    density = ratio(made.density or 0.0)
    lines = [
        f"{old.name}: a ml weighs {ratio(old.density or 0.0)} g, of it {ratio(old.sugar_per_g)} sugar",
        f"  {ratio(old.density or 0.0)} × {ratio(old.sugar_per_g)} = {ratio(old.sugar_g_per_ml)} g sugar in a ml",
        f"{result.syrup.name} at {trim(result.brix, 2)} °Bx: a ml weighs {density} g (volume model)",
        f"  {density} × {strength} = {ratio(made.sugar_g_per_ml)} g sugar in a ml, the same",
    ]
    if old.acid_g_per_ml or result.own_acid_g_per_kg:
        lines += [
            f"acid of a ml of {old.name}: {ratio(old.acid_g_per_ml)} g as citric",
            f"  ÷ {density} × 1000 = {grams(result.old_acid_g_per_kg)} g/kg wanted",
            f"  its own at this strength: {grams(result.own_acid_g_per_kg)} g/kg",
        ]
    add, per = result.from_standard.add, result.from_standard.g_per_kg
    target, standard = amount(result.brix), amount(result.standard_brix)
    if add and target != standard:
        water = f"({standard} {MINUS} {target}) ÷ {target}"
        sugar = f"({target} {MINUS} {standard}) ÷ (100 {MINUS} {target})"
        lines.append(f"{add} per kg at standard: 1000 g × {water if add == 'water' else sugar} = {grams(per)} g")
    return lines
