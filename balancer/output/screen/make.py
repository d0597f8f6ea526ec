"""`make` on the screen."""

from __future__ import annotations

from math import ceil

from balancer.engine.drink.liquid import Content
from balancer.engine.prep.make import Making
from balancer.engine.prep.recipe import CUP_ML, Item
from balancer.models.house import House
from balancer.models.syrup import Syrup
from balancer.output.words.amounts import large_mass, large_volume
from balancer.output.words.keeping import days_text, weaker_text
from balancer.output.words.known import AT_LEAST
from balancer.output.words.look import most
from balancer.output.words.make import acid_notes, as_read_text, care, finely, is_mass, part_amount
from balancer.output.words.numbers import brix, trim
from balancer.output.words.page import ROWS, allergen_notes, few, page
from balancer.output.words.safety import MORE


def make_text(result: Making, house: House) -> str:
    """The answer of `make`: how much at what strength, the weights in order, then what to know."""
    made = f"{large_mass(result.mass_g)}, {large_volume(result.volume_ml, house)}"
    first = f"{result.source.name}: makes {made} at {_strength(result)}"
    if result.wanted.acid:
        first += f", {result.wanted.acid} acid"
    if result.limited_by:
        first += f"; limited by {result.limited_by}"
    parts = [_part_row(item) for item in result.items]
    must = _must_notes(result, house)
    if len(parts) + len(must) > most(ROWS):
        parts = [" · ".join(f"{part_amount(item)} {item.liquid.name}" for item in result.items)]
    notes, more = few([*must, *_notes(result, house)], max(ROWS - len(parts), len(must)), "notes")
    return page(first, [*parts, *notes], "; ".join([*more, _more(result)]))


def _strength(result: Making) -> str:
    if result.is_lower_bound:
        return f"≥ {brix(result.brix)}"
    if result.upper_brix is not None:
        return f"{trim(result.brix, 1)} to {brix(result.upper_brix)}"
    return brix(result.brix)


def _part_row(item: Item) -> str:
    weighed = "" if is_mass(item.amount.unit) else f" ({finely(item.mass_g)})"
    return f"{part_amount(item):>9}  {item.liquid.name}{weighed}"


def _must_notes(result: Making, house: House) -> list[str]:
    """What nobody should miss."""
    notes = [*(as_read_text(juice) for juice in result.as_read), *acid_notes(result)]
    if result.fits is False and result.wanted.container_ml is not None:
        into, go = large_volume(result.wanted.container_ml, house), large_volume(result.whole.volume_ml, house)
        notes.append(f"does not fit: {go} go in before straining, the container holds {into}")
    if result.unknown:
        names = ", ".join(dict.fromkeys(item.liquid.name for item in result.unknown))
        notes.append(f"sugar unknown: {names}; so it is at least that strong: read the batch")
    if result.doubt and isinstance(result.source, Syrup):
        goes_in = f"{large_mass(result.whole.mass_g)}, {large_volume(result.whole.volume_ml, house)}"
        why = f"only {goes_in} go in" if result.doubt == "too much" else f"{goes_in} go in, and little is strained out"
        notes.append(f"the recipe's yield of {result.source.yields} is not believed: {why}")
    if result.by_weight_brix is not None:
        cups = f"; a US cup is {trim(CUP_ML, 0)} ml" if any("cup" in i.amount.unit for i in result.items) else ""
        notes.append(f"measured by volume; weighed, the same numbers would give {brix(result.by_weight_brix)}{cups}")
    if isinstance(result.source, Syrup):
        notes += allergen_notes(result.source)
    notes += ["; ".join(kept)] if (kept := care(result)) else []
    notes += weaker_text(result.in_store) if result.in_store else []
    saturation = result.saturation
    if saturation.is_over:
        warm = saturation.clear_from_c
        clear = "make it weaker" if warm is None else f"keep it at {ceil(warm)} °C or warmer"
        notes.append(
            f"crystals may grow at {trim(saturation.storage_c, 0)} °C, where {brix(saturation.dissolves_brix)} of "
            f"sucrose dissolves, not {trim(saturation.sucrose_brix, 1)}; {clear}"
        )
    return notes


def _notes(result: Making, house: House) -> list[str]:
    notes = []
    if result.adjusted:
        moves = ", ".join(f"{part.name} {finely(part.was_g)} → {finely(part.now_g)}" for part in result.adjusted)
        notes.append(f"changed, per kg of the recipe: {moves}")
    if result.off_standard_brix is not None and result.standard_brix is not None:
        notes.append(_standing(result, result.standard_brix, result.off_standard_brix))
    sour = _names(result, "acid")
    if result.whole.state.acid_g:
        bound = AT_LEAST if sour else ""
        held = f"{bound}{trim(result.whole.acid_g_per_kg, 1)} g/kg, {bound}{trim(result.whole.acid_g_per_l, 1)} g/l"
        notes.append(f"acid (as citric) {held}" + (f"; that of {sour} is not known" if sour else ""))
    elif sour:
        notes.append(f"acid unknown: {sour}")
    if result.acid_rule is not None and result.acid_rule.falls_short:
        rule = f"{finely(result.acid_rule.powder_g)} powder, which comes to {trim(result.acid_rule.reaches_g_per_l, 0)}"
        notes.append(f"the bar's rule by the litre says {rule} g/l: powder takes up room too")
    if result.loses:
        lost = f"{finely(result.lost_g)} ({trim(result.lost_percent, 0)} %) stay behind, by the stated yield"
        ranged = result.high_brix is not None and not result.is_lower_bound
        pulp = "; the higher strength if it is dry pulp" if ranged else ""
        notes.append(f"{lost}: counted as syrup{pulp}")
    strong = _names(result, "abv")
    if result.whole.state.ethanol_g:
        bound = AT_LEAST if strong else ""
        notes.append(f"{bound}{trim(result.whole.state.abv_percent, 1)} % ABV; read it before the spirit goes in")
    notes += [f"alcohol unknown: {strong}"] if strong else []
    if result.fits and result.wanted.container_ml is not None:
        into, go = large_volume(result.wanted.container_ml, house), large_volume(result.whole.volume_ml, house)
        brim = "; that is to the brim: leave room to stir" if result.fills else ""
        notes.append(f"{go} go into the {into} container before straining{brim}")
    return notes


def _names(result: Making, what: Content) -> str:
    """Names of the parts whose file does not say how much of something they hold."""
    return ", ".join(dict.fromkeys(item.liquid.name for item in result.lacking(what)))


def _standing(result: Making, standard: float, off: float) -> str:
    said, way = f"standard {brix(standard)}", f"{trim(abs(off), 1)} {'over' if off > 0 else 'under'}"
    match result.standing:
        case "unknown":
            return f"{said}: only a reading can tell"
        case "within reach":
            return f"{said}: within reach; what stays behind decides, so read the batch"
        case "at standard":
            return f"{said}: the recipe gives it"
        case "within tolerance":
            return f"{said}: the recipe is {way}, within {trim(result.tolerance_brix, 1)}"
        case "as asked":
            return f"{said}: this is {way}, as asked"
        case _:
            return f"{said}: the recipe is {way}; --strength {trim(standard, 1)} brings it there"


def _more(result: Making) -> str:
    keeps = result.source.keeps if result.in_store is None else result.in_store.days
    said = f"keeps {days_text(keeps)}, the day it is made counted; " if keeps else ""
    return f"{said}{MORE}; --steps shows the working"
