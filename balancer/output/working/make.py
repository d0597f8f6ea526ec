"""The working of `make`."""

from __future__ import annotations

from balancer.engine.prep.make import Making
from balancer.engine.prep.recipe import CUP_ML, Item
from balancer.models.house import House
from balancer.models.ingredient import own_unit
from balancer.output.words.make import is_mass
from balancer.output.words.numbers import MINUS, trim
from balancer.output.words.sums import amount, grams, total, wrapped


def make_steps(result: Making, house: House) -> list[str]:
    """The working of `make`, line by line."""
    sizes = dict(house.measures().sizes()) | {"cup": CUP_ML, "cups": CUP_ML}
    whole = result.whole
    lines = ["each part in grams; g/ml and shares by weight come from the files and the tables"]
    for item in result.items:
        lines += _part_steps(item, sizes)
    lines += ["all of it, nothing strained out"]
    lines += total("  mass:", [item.mass_g for item in result.items], whole.mass_g)
    lines += total("  solids:", [item.solids_g for item in result.items if item.solids_g], whole.solids_g)
    lines += [f"  strength: {grams(whole.solids_g)} ÷ {grams(whole.mass_g)} × 100 = {trim(whole.brix, 2)} °Bx"]
    if whole.state.acid_g:
        lines += total("  acid as citric:", [item.acid_g for item in result.items if item.acid_g], whole.state.acid_g)
        per_kg = f"{grams(whole.state.acid_g)} ÷ {grams(whole.mass_g)} × 1000 = {grams(whole.acid_g_per_kg)} g/kg"
        lines += [f"    {per_kg}"]
    lines += [f"  volume: {grams(whole.mass_g)} g fill {grams(whole.volume_ml)} ml at 20 °C (volume model)"]
    lines += _solved_steps(result)
    if result.lost_g > 0.0:
        lines += [
            "what stays in strainer and pot changes the mass, not the strength",
            f"  left: {grams(whole.mass_g)} g × {_share(result.kept)} = {grams(result.mass_g)} g",
            f"  volume: {grams(whole.volume_ml)} ml × {_share(result.kept)} = {grams(result.volume_ml)} ml",
        ]
    if result.high_brix is not None:
        strength = f"{grams(whole.solids_g)} ÷ {grams(result.dissolving_g)} × 100 = {trim(result.high_brix, 2)} °Bx"
        lines += [f"if as much as can be of it is dry pulp, {grams(result.dissolving_g)} g dissolve", f"  {strength}"]
    return lines


def _part_steps(item: Item, sizes: dict[str, float]) -> list[str]:
    liquid, unit = item.liquid, item.amount.unit
    terms = [grams(item.mass_g) + " g"] if is_mass(unit) else [f"{amount(item.amount.value)} {unit}"]
    size = own_unit(liquid.each, unit)
    if size is not None:
        terms.append(f"{amount(size.value)} {size.unit}")
    elif unit in sizes:
        terms += [f"{amount(sizes[unit])} ml"] if unit != "ml" else []
        terms.append(f"{_share(item.mass_g / (item.amount.value * sizes[unit]))} g/ml")
    weighed = f" = {grams(item.mass_g)} g" if len(terms) > 1 else ""
    lines = wrapped(f"  {liquid.name}: {' × '.join(terms)}{weighed}")
    acid_per_g = item.acid_g / item.mass_g
    for what, share, held in (
        ("solids", item.solids_per_g, item.solids_g),
        ("acid as citric", acid_per_g, item.acid_g),
    ):
        if held:
            lines.append(f"    {what}: {grams(item.mass_g)} g × {_share(share)} = {grams(held)} g")
    if liquid.sugar_unknown:
        lines.append("    sugar: unknown, counted as none")
    return lines


def _share(value: float) -> str:
    """A share by weight or g/ml, fine enough for a tub of it."""
    return trim(value, 6)


def _solved_steps(result: Making) -> list[str]:
    """How the part that sets the strength was found, from the others as listed above."""
    solved, target = result.solved, trim(result.brix, 2)
    if solved is None:
        return []
    mass, solids = result.whole.mass_g - solved.mass_g, result.whole.solids_g - solved.solids_g
    lines = [f"{solved.liquid.name} for {target} °Bx; the rest is {grams(mass)} g with {grams(solids)} g solids"]
    if solved.solids_g:
        above = f"({target} × {grams(mass)} {MINUS} 100 × {grams(solids)})"
        below = f"(100 × {_share(solved.solids_per_g)} {MINUS} {target})"
        return [*lines, f"  {above} ÷ {below} = {grams(solved.mass_g)} g"]
    return [*lines, f"  100 × {grams(solids)} ÷ {target} {MINUS} {grams(mass)} = {grams(solved.mass_g)} g"]
