"""The working of `totals`: each pour in grams, then the mix, the melt water and the glass as sums of them."""

from __future__ import annotations

from collections.abc import Mapping

from balancer.components import COMPONENTS, ETHANOL, acid_as_citric_g
from balancer.engine.drink.dilution import SHAKEN, WATER_G_PER_ML, Dilution
from balancer.engine.drink.liquid import CRYSTAL_G_PER_ML, ETHANOL_G_PER_ML
from balancer.engine.drink.totals import Contribution, State, Totals
from balancer.models.house import House
from balancer.models.ingredient import own_unit
from balancer.models.pour import RINSE
from balancer.output.words.numbers import MINUS, trim
from balancer.output.words.sums import amount, grams, percents, ratio, total, wrapped
from balancer.properties.dilution import FREEZER_ICE_C, FREEZER_ICE_POINTS, RELATIONS, SOURCE, VERIFIED, Relation
from balancer.properties.mixture import ACID_ML_PER_G
from balancer.units import find_unit


def totals_steps(result: Totals, house: House) -> list[str]:
    """The working of `totals`, line by line."""
    sizes = dict(house.measures().sizes())
    lines = ["each pour in grams; g/ml, ml/g and shares come from the files and the tables"]
    for part in result.contributions:
        lines += _pour_lines(part, sizes)
    before = [part for part in result.contributions if not part.is_top and not part.liquid.melts]
    lines += ["before ice"]
    lines += total("  mass:", [part.mass_g for part in before if part.mass_g], result.mix.mass_g)
    lines += total("  ethanol:", [part.ethanol_g for part in before if part.ethanol_g], result.mix.ethanol_g)
    lines += _strength_lines(result.mix)
    lines += _dilution_lines(result)
    lines += ["in the glass"]
    lines += _served_lines(result)
    parts = result.contributions
    lines += total("  sugar:", [part.sugar_g for part in parts if part.sugar_g], result.sugar_g)
    lines += total("  acid as citric:", [part.acid_g for part in parts if part.acid_g], result.acid_g)
    lines += _glass_lines(result)
    return lines


def _pour_lines(part: Contribution, sizes: Mapping[str, float]) -> list[str]:
    liquid = part.liquid
    if part.pour.amount.unit == RINSE:
        return [f"  {liquid.name}: a rinse, not counted"]
    terms = _terms(part, sizes)
    said = " × ".join(terms) + (f" = {grams(part.mass_g)} g" if len(terms) > 1 else "")
    lines = [f"  {liquid.name}: {said}{', after the ice' if part.is_top else ''}"]
    shares = (
        ("ethanol", liquid.per_g[ETHANOL], part.ethanol_g),
        ("sugar", liquid.sugar_per_g, part.sugar_g),
        ("acid as citric", acid_as_citric_g(liquid.per_g), part.acid_g),
    )
    lines += [f"    {what}: {grams(part.mass_g)} g × {ratio(share)} = {grams(g)} g" for what, share, g in shares if g]
    for what in liquid.unknown:
        held = {"sugar": part.sugar_g, "acid": part.acid_g, "abv": part.ethanol_g}[what]
        least = "at least this, the rest is unknown" if held else "unknown, counted as none"
        lines.append(f"    {'alcohol' if what == 'abv' else what}: {least}")
    return lines


def _terms(part: Contribution, sizes: Mapping[str, float]) -> list[str]:
    """The amount as written, then what each unit in it holds, down to grams."""
    written, liquid = part.pour.amount, part.liquid
    terms = [f"{amount(written.value)} {str(written).rpartition(' ')[2]}"]
    size = own_unit(liquid.each, written.unit)
    if size is not None:
        terms.append(f"{amount(size.value)} {size.unit}")
    unit = written.unit if size is None else size.unit
    known = find_unit(unit)
    if known is not None and known.kind == "mass":
        return terms if known.factor in (None, 1.0) else [*terms, f"{amount(known.factor)} g"]
    if unit != "ml":
        terms.append(f"{amount(sizes[unit])} ml")
    return [*terms, f"{ratio(liquid.density or 0.0)} g/ml"]


def _strength_lines(state: State) -> list[str]:
    filled = state.filled
    parts = [f"{grams(filled.spirit_g)} g ÷ {ratio(filled.spirit_g_per_ml)} g/ml"]
    if filled.dissolved_g:
        parts.append(f"{grams(filled.dissolved_g)} g × {ratio(filled.dissolved_ml_per_g)} ml/g")
    if filled.acid_g:
        parts.append(f"{grams(filled.acid_g)} g × {ratio(ACID_ML_PER_G)} ml/g")
    if filled.crystals_g:
        parts.append(f"{grams(filled.crystals_g)} g ÷ {ratio(CRYSTAL_G_PER_ML)} g/ml")
    lines = []
    taken = [grams(held) for held in (filled.dissolved_g, filled.acid_g, filled.crystals_g) if held]
    if taken:
        named = (("solids", filled.dissolved_g), ("acids", filled.acid_g), ("crystals", filled.crystals_g))
        lines.append("  shares by weight: " + ", ".join(f"{what} {grams(held)} g" for what, held in named if held))
        left = f" {MINUS} ".join([grams(state.mass_g), *taken])
        lines.append(f"  water and ethanol: {left} = {grams(filled.spirit_g)} g")
    lines += wrapped(f"  volume at 20 °C: {' + '.join(parts)} = {grams(state.volume_ml)} ml")
    if state.ethanol_g:
        held = f"{grams(state.ethanol_g)} g ÷ {trim(ETHANOL_G_PER_ML, 5)} g/ml ÷ {grams(state.volume_ml)} ml"
        lines.append(f"  ABV: {held} = {percents(state.abv_percent, 2)}")
    return lines


def _dilution_lines(result: Totals) -> list[str]:
    dilution, mix, weighed = result.dilution, result.mix, result.drink.weighed
    if dilution.melt_water_g is None or dilution.percent_of_mix is None:
        return [f"dilution: {dilution.note}"]
    lines = [f"dilution, {dilution.basis}"]
    relation = RELATIONS.get(dilution.basis)
    if relation is not None:
        lines += _relation_lines(relation, dilution)
    percent, water = percents(dilution.percent_of_mix, 2), f"{grams(dilution.melt_water_g)} g"
    if dilution.basis == "weighed" and weighed is not None:
        lines.append(f"  water: {amount(weighed.after)} g {MINUS} {amount(weighed.before)} g = {water}")
        lines.append(f"  of mix: {water} ÷ {ratio(WATER_G_PER_ML)} g/ml ÷ {grams(mix.volume_ml)} ml = {percent}")
        return lines
    if dilution.basis == "energy" and dilution.final_temperature_c is not None:
        lines.append(
            f"  energy balance of drink, ice and vessel, down to {trim(dilution.final_temperature_c, 1)} °C: {water}"
        )
        lines.append(f"  of mix: {water} ÷ {ratio(WATER_G_PER_ML)} g/ml ÷ {grams(mix.volume_ml)} ml = {percent}")
        return lines
    if relation is not None:
        abv = percents(mix.abv_percent, 2)
        square = f"{trim(relation.square, 4).lstrip(MINUS)} × {abv} × {abv}"
        worked = f"{trim(relation.constant, 4)} + {trim(relation.linear, 4)} × {abv} {MINUS} {square}"
        lines.append(f"  of mix: {worked} = {percent}")
    lines.append(f"  water: {grams(mix.volume_ml)} ml × {percent} × {ratio(WATER_G_PER_ML)} g/ml = {water}")
    return lines


def _relation_lines(relation: Relation, dilution: Dilution) -> list[str]:
    """Whose relation it is, how far it was verified, and what it does not know."""
    sound = f"{relation.low_percent:g} to {relation.high_percent:g} % vol"
    points = trim(dilution.plus_minus_percent or 0.0, 0)
    lines = [f"  from {SOURCE}", f"  {VERIFIED}"]
    lines.append(f"  judged sound at {sound} before ice; here ±{points} points of mix, judged")
    if relation.method == SHAKEN:
        (tin_g, less), (full_g, least) = FREEZER_ICE_POINTS
        cold = f"{trim(FREEZER_ICE_C, 0)} °C"
        lines.append(f"  for ice at 0 °C; at {cold} {less} points less with {tin_g} g of it, {least} with {full_g} g")
    return lines


def _served_lines(result: Totals) -> list[str]:
    served, melt = result.served, result.dilution.melt_water_g
    if served is None or melt is None:
        return []
    tops = [part for part in result.contributions if part.is_top]
    lines = total("  mass:", [result.mix.mass_g, melt, *(part.mass_g for part in tops)], served.mass_g)
    ethanol = [part.ethanol_g for part in tops if part.ethanol_g]
    if ethanol:
        lines += total("  ethanol:", [result.mix.ethanol_g, *ethanol], served.ethanol_g)
    return lines + _strength_lines(served)


def _glass_lines(result: Totals) -> list[str]:
    lines = []
    sugar, acid = f"{grams(result.sugar_g)} g", f"{grams(result.acid_g)} g"
    if result.served is not None and result.sugar_g_per_100ml is not None and result.acid_g_per_100ml is not None:
        volume = grams(result.served.volume_ml)
        lines.append(f"  sugar in 100 ml: {sugar} ÷ {volume} ml × 100 = {grams(result.sugar_g_per_100ml)} g")
        if result.acid_g:
            lines.append(f"  acid in 100 ml: {acid} ÷ {volume} ml × 100 = {grams(result.acid_g_per_100ml)} g")
    if result.sugar_to_acid is not None:
        divisor = acid if result.acid_g >= 1.0 else f"{ratio(result.acid_g)} g"  # or nobody could follow it
        lines.append(f"  sugar to acid: {sugar} ÷ {divisor} = {trim(result.sugar_to_acid, 0)} to 1")
    if result.ethanol_g:
        ethanol = f"{grams(result.ethanol_g)} g ÷ {amount(result.standard_drink_g)} g"
        lines.append(f"  standard drinks: {ethanol} = {grams(result.standard_drinks)}")
    parts = [
        f"{component.name} {grams(held)} × {trim(component.kcal, 1)}"
        for component, held in zip(COMPONENTS, result.everything, strict=True)
        if held and component.kcal
    ]
    return lines + wrapped(f"  energy, g × kcal/g: {' + '.join(parts) or '0'} = {trim(result.kcal, 0)} kcal")
