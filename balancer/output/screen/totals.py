"""`totals` on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from balancer.engine.drink.totals import Totals
from balancer.models.house import House
from balancer.output.words.numbers import cut, trim, width
from balancer.output.words.page import (
    COLUMNS,
    ROWS,
    Labelled,
    house_volume,
    labelled,
    page,
)

if TYPE_CHECKING:
    pass


def totals_text(result: Totals, house: House) -> str:
    """The answer of `totals`."""
    bound = "≥" if result.is_lower_bound else ""
    sugar = f"{bound}{trim(result.sugar_g, 0)} g sugar"
    acid = f", {trim(result.acid_g, 1)} g acid (as citric)" if result.acid_g else ""
    if result.served:
        strength = f"{trim(result.served.abv_percent, 1)} % ABV"
        held = f"{house_volume(result.served.volume_ml, house)} at {strength}, {sugar}{acid}"
    else:
        held = f"dilution unknown; {sugar}{acid}"
    mix = f"{house_volume(result.mix.volume_ml, house)} at {trim(result.mix.abv_percent, 1)} % ABV"
    rows: list[str] = [labelled("before ice", mix), labelled("dilution", _dilution(result))]
    if result.sugar_g_per_100ml is not None and result.acid_g_per_100ml is not None:
        parts = [f"{bound}{trim(result.sugar_g_per_100ml, 1)} g sugar"]
        parts += [f"{trim(result.acid_g_per_100ml, 2)} g acid"] if acid else []
        ratio = f"; sugar to acid {bound}{trim(result.sugar_to_acid, 0)}:1" if result.sugar_to_acid is not None else ""
        rows.append(labelled("in the glass", f"{', '.join(parts)} per 100 ml{ratio}"))
    drinks = trim(result.standard_drinks, 1)
    drinks += f" standard drink{'' if drinks == '1' else 's'} ({house.standard_drink})"
    energy = f"{bound}{trim(result.kcal, 0)} kcal"
    rows.append(labelled("alcohol, energy", f"{trim(result.ethanol_g, 0)} g, {drinks}; {energy}"))
    unsaid = _unknown_row(result, "allergens", "allergens unknown")
    none = f"none listed by the house{' for the rest' if unsaid else ''}"
    rows += [*unsaid, labelled("allergens", ", ".join(result.allergens) or none)]
    if result.cautions:
        rows.append(labelled("caution", "; ".join(f"{liquid.name}: {text}" for liquid, text in result.cautions)))
    if result.alcohol_unknown:
        rows.append(labelled("alcohol unknown", f"{', '.join(result.alcohol_unknown)}: counted as none; add its abv"))
    less = _unknown_row(result, "sugar", "sugar unknown") + _unknown_row(result, "amount", "not counted", "rinse of ")
    if len(rows) + len(less) > ROWS:
        less = [Labelled("; ".join([less[0], *(" ".join(row.split()) for row in less[1:])]))]
    rows += less
    room = COLUMNS - width(f": {held}")
    return page(f"{cut(result.drink.name, room)}: {held}", rows, "--steps shows every pour and the working")


def _dilution(result: Totals) -> str:
    dilution = result.dilution
    if dilution.percent_of_mix is None or dilution.melt_water_g is None:
        return f"unknown: {dilution.note}"
    spread = f" ±{trim(dilution.plus_minus_percent, 0)}" if dilution.plus_minus_percent else ""
    said = f"{trim(dilution.melt_water_g, 0)} g water, {trim(dilution.percent_of_mix, 0)}{spread} % of mix"
    cold = "" if dilution.final_temperature_c is None else f", {trim(dilution.final_temperature_c, 0)} °C"
    return f"{said} ({dilution.basis}{cold})" + (f"; {dilution.note}" if dilution.note else "")


def _unknown_row(result: Totals, what: str, label: str, lead: str = "") -> list[str]:
    """A row that names what is unknown of one kind; no row when nothing is."""
    names = dict.fromkeys(item.name for item in result.unknown if item.what == what)
    return [labelled(label, lead + ", ".join(names))] if names else []
