"""A syrup's recipe worked out: the answer as text, as JSON, and its working in grams."""

from __future__ import annotations

from math import ceil
from typing import Any

from balancer.engine.make import Make
from balancer.engine.recipe import CUP_ML, Item
from balancer.models.house import House
from balancer.models.ingredient import own_unit
from balancer.models.syrup import Syrup
from balancer.output.numbers import MINUS, brix, count, trim
from balancer.output.page import ROWS, allergen_notes, house_volume, page
from balancer.output.working import amount, grams, total, wrapped
from balancer.units import Quantity, find_unit, format_quantity

CAUTION = (
    "acid powder hurts eyes and lungs: pour it slowly, add acid to water, never the other way; "
    "label it; your local food rules decide what may be sold"
)
_HAIR_BRIX = 0.05


def make_text(result: Make, house: House) -> str:
    """The answer of `make`: how much at what strength, the weights in order, then what to know."""
    made = f"{_weight(result.mass_g)}, {_volume(result.volume_ml, house)}"
    first = f"makes {made} at {_strength(result)}"
    if result.wanted.acid:
        first += f", {result.wanted.acid} acid"
    if result.limited_by:
        first += f"; limited by {result.limited_by}"
    parts = [_part_row(item) for item in result.items]
    must = _must_notes(result, house)
    if len(parts) + len(must) > ROWS:
        parts = [" · ".join(f"{_amount(item)} {item.liquid.name}" for item in result.items)]
    notes = [*must, *_notes(result, house)][: max(ROWS - len(parts), len(must))]
    return page(first, [*parts, *notes], _more(result))


def _strength(result: Make) -> str:
    if result.is_lower_bound:
        return f"≥ {brix(result.brix)}"
    if result.high_brix is not None and result.high_brix - result.brix >= _HAIR_BRIX:
        return f"{trim(result.brix, 1)} to {brix(result.high_brix)}"
    return brix(result.brix)


def _part_row(item: Item) -> str:
    weighed = "" if _is_mass(item.amount.unit) else f" ({_grams(item.mass_g)})"
    return f"{_amount(item):>9}  {item.liquid.name}{weighed}"


def _must_notes(result: Make, house: House) -> list[str]:
    """What nobody should miss."""
    notes = []
    if result.powders:
        notes.append(CAUTION)
    if result.fits is False and result.wanted.container_ml is not None:
        into, go = _volume(result.wanted.container_ml, house), _volume(result.whole.volume_ml, house)
        notes.append(f"does not fit: {go} go in before straining, the container holds {into}")
    if result.unknown:
        names = ", ".join(dict.fromkeys(item.liquid.name for item in result.unknown))
        notes.append(f"sugar unknown: {names}; so it is at least that strong: read the batch")
    if result.doubt and isinstance(result.source, Syrup):
        goes_in = f"{_weight(result.whole.mass_g)}, {_volume(result.whole.volume_ml, house)}"
        why = f"only {goes_in} go in" if result.doubt == "too much" else f"{goes_in} go in, and little is strained out"
        notes.append(f"the recipe's yield of {result.source.yields} is not believed: {why}")
    if result.by_weight_brix is not None:
        cups = f"; a US cup is {trim(CUP_ML, 0)} ml" if any("cup" in i.amount.unit for i in result.items) else ""
        notes.append(f"measured by volume; weighed, the same numbers would give {brix(result.by_weight_brix)}{cups}")
    if isinstance(result.source, Syrup):
        notes += allergen_notes(result.source.allergens)
    saturation = result.saturation
    if saturation.is_over:
        warm = saturation.clear_from_c
        clear = "make it weaker" if warm is None else f"keep it at {ceil(warm)} °C or warmer"
        notes.append(
            f"crystals may grow at {trim(saturation.storage_c, 0)} °C, where {brix(saturation.dissolves_brix)} of "
            f"sucrose dissolves, not {trim(saturation.sucrose_brix, 1)}; {clear}"
        )
    return notes


def _notes(result: Make, house: House) -> list[str]:
    notes = []
    if result.adjusted:
        moves = ", ".join(f"{part.name} {_grams(part.was_g)} → {_grams(part.now_g)}" for part in result.adjusted)
        notes.append(f"changed, per kg of the recipe: {moves}")
    if result.off_standard_brix is not None and result.standard_brix is not None:
        notes.append(_standard(result, result.standard_brix, result.off_standard_brix))
    if result.whole.state.acid_g:
        held = f"{trim(result.whole.acid_g_per_kg, 1)} g/kg, {trim(result.whole.acid_g_per_l, 1)} g/l"
        notes.append(f"acid (as citric) {held}")
    if result.acid_rule is not None and result.acid_rule.falls_short:
        rule = f"{_grams(result.acid_rule.powder_g)} powder, which comes to {trim(result.acid_rule.reaches_g_per_l, 0)}"
        notes.append(f"the bar's rule by the litre says {rule} g/l: powder takes up room too")
    if result.lost_g > 0.5:
        lost = f"{_grams(result.lost_g)} ({trim(result.lost_percent, 0)} %) stay behind, by the stated yield"
        ranged = result.high_brix is not None and not result.is_lower_bound
        pulp = "; the higher strength if it is dry pulp" if ranged else ""
        notes.append(f"{lost}: counted as syrup{pulp}")
    if result.whole.state.ethanol_g:
        notes.append(f"{trim(result.whole.state.abv_percent, 1)} % ABV; read it before the spirit goes in")
    if result.fits and result.wanted.container_ml is not None:
        into, go = _volume(result.wanted.container_ml, house), _volume(result.whole.volume_ml, house)
        brim = "; that is to the brim: leave room to stir" if result.fills else ""
        notes.append(f"{go} go into the {into} container before straining{brim}")
    return notes


def _standard(result: Make, standard: float, off: float) -> str:
    said = f"standard {brix(standard)}"
    if result.is_lower_bound and off <= 0.0:
        return f"{said}: only a reading can tell"
    if result.high_brix is not None and not off:
        return f"{said}: within reach; what stays behind decides, so read the batch"
    if abs(off) < _HAIR_BRIX:
        return f"{said}: the recipe gives it"
    way = f"{trim(abs(off), 1)} {'over' if off > 0 else 'under'}"
    if abs(off) <= result.tolerance_brix:
        return f"{said}: the recipe is {way}, within {trim(result.tolerance_brix, 1)}"
    if result.wanted.brix is not None:
        return f"{said}: this is {way}, as asked"
    return f"{said}: the recipe is {way}; --strength {trim(standard, 1)} brings it there"


def _more(result: Make) -> str:
    keeps = result.source.keeps
    said = f"keeps {count(round(keeps), 'days')}, the day it is made counted; " if keeps else ""
    return f"{said}--steps shows the working"


def _weight(mass_g: float) -> str:
    return f"{trim(mass_g / 1000.0, 2)} kg" if mass_g >= 999.5 else _grams(mass_g)


def _volume(ml: float, house: House) -> str:
    return f"{trim(ml / 1000.0, 2)} l" if ml >= 999.5 and house.show == "ml" else house_volume(ml, house)


def _grams(mass_g: float) -> str:
    return f"{trim(mass_g, 0 if mass_g >= 99.95 else 1)} g"


def _is_mass(unit: str) -> bool:
    known = find_unit(unit)
    return known is not None and known.kind == "mass"


def _amount(item: Item) -> str:
    """A part's amount in the unit of its recipe, as finely as a kitchen measures."""
    value, unit = item.amount.value, item.amount.unit
    if _is_mass(unit):
        return _grams(item.mass_g)
    if unit in ("ml", "cl", "l"):
        return f"{trim(value, {'ml': 0 if value >= 10 else 1, 'cl': 1, 'l': 2}[unit])} {unit}"
    shown = format_quantity(Quantity(round(value, 2), unit), glyphs=False)
    return f"{shown}s" if unit == "cup" and value > 1.0 else shown


def make_data(result: Make) -> dict[str, Any]:
    """The JSON object of `make`."""
    saturation, whole = result.saturation, result.whole
    return {
        "syrup": result.source.id,
        "name": result.source.name,
        "standard_brix": result.standard_brix,
        "mass_g": result.mass_g,
        "volume_ml": result.volume_ml,
        "brix": result.brix,
        "high_brix": result.high_brix,
        "lower_bound": result.is_lower_bound,
        "unknown": [
            {"ingredient": item.liquid.id, "name": item.liquid.name, "what": "sugar"} for item in result.unknown
        ],
        "acid_g_per_kg": whole.acid_g_per_kg,
        "acid_g_per_l": whole.acid_g_per_l,
        "abv_percent": whole.state.abv_percent,
        "parts": [_part(item) for item in result.items],
        "goes_in": {"mass_g": whole.mass_g, "volume_ml": whole.volume_ml},
        "lost": {"mass_g": result.lost_g, "percent": result.lost_percent},
        "yield": _yield(result),
        "by_weight_brix": result.by_weight_brix,
        "adjusted": [
            {"ingredient": part.liquid, "name": part.name, "was_g_per_kg": part.was_g, "now_g_per_kg": part.now_g}
            for part in result.adjusted
        ],
        "acid_rule": None
        if result.acid_rule is None
        else {"powder_g": result.acid_rule.powder_g, "reaches_g_per_l": result.acid_rule.reaches_g_per_l},
        "saturation": {
            "storage_c": saturation.storage_c,
            "dissolves_brix": saturation.dissolves_brix,
            "sucrose_brix": saturation.sucrose_brix,
            "clear_from_c": saturation.clear_from_c,
            "over": saturation.is_over,
        },
        "limited_by": result.limited_by,
        "container_ml": result.wanted.container_ml,
        "fits": result.fits,
        "keeps_days": result.source.keeps,
        "cautions": [*([CAUTION] if result.powders else []), *result.source.cautions],
    }


def _part(item: Item) -> dict[str, Any]:
    return {
        "ingredient": item.liquid.id,
        "name": item.liquid.name,
        "in_house": item.is_house,
        "amount": {"value": item.amount.value, "unit": item.amount.unit},
        "mass_g": item.mass_g,
        "solids_g": item.solids_g,
        "acid_g": item.acid_g,
    }


def _yield(result: Make) -> dict[str, Any] | None:
    stated = result.source.yields if isinstance(result.source, Syrup) else None
    if stated is None:
        return None
    return {"stated": {"value": stated.value, "unit": stated.unit}, "doubt": result.doubt}


def make_steps(result: Make, house: House) -> list[str]:
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
    terms = [grams(item.mass_g) + " g"] if _is_mass(unit) else [f"{amount(item.amount.value)} {unit}"]
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


def _solved_steps(result: Make) -> list[str]:
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
