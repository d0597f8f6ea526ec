"""Answers as a bar reads them: the answer first, at most eight rows, then where there is more."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from balancer.engine.advice import IMPLAUSIBLE_PERCENT
from balancer.engine.liquid import Liquid
from balancer.engine.rescale import DrinkRow, Rescale
from balancer.engine.totals import Totals
from balancer.models.house import House
from balancer.output.numbers import brix, cut, fit, percent, trim, weight, width
from balancer.output.page import (
    COLUMNS,
    ROWS,
    Labelled,
    conversions_text,
    house_change,
    house_pour,
    house_volume,
    labelled,
    page,
)

if TYPE_CHECKING:
    from balancer.engine.pour import PourAnswer


def pour_text(answer: PourAnswer, house: House) -> str:
    """The answer of `pour`."""
    rounded = answer.rounded
    spec, poured = house_pour(rounded.spec_ml, house), house_pour(rounded.poured_ml, house)
    written, after = percent(rounded.as_written_percent), percent(rounded.after_percent)
    allowed = f"{trim(answer.tolerance_percent, 1)} %"
    rows = [f"{brix(answer.batch_brix)}, standard {trim(answer.standard_brix, 1)}: sugar {written} as written"]
    if rounded.verdict == "as written":
        first = f"pour {spec} {house.show}, as written"
        small = abs(rounded.as_written_percent) > answer.tolerance_percent
        rows[0] += "; too small a pour to change" if small else f", within {allowed}"
    elif rounded.verdict == "new pour":
        first = f"pour {poured} {house.show}, not {spec}"
        rows[0] += f", {after} with {poured}"
    else:
        first = f"out of reach: no pour keeps the sugar within {allowed}; correct the batch"
        rows[0] += f", {after} with {poured}" if poured != spec else ""
        rows.append(f"the jigger pours in steps of {house_pour(answer.step_ml, house)} {house.show}")
    if abs(rounded.as_written_percent) > IMPLAUSIBLE_PERCENT:
        rows.append("so far from its standard: stir and read again, unless it is another syrup")
    return page(first, rows, "--steps shows the working; percents are of the syrup's own sugar")


def rescale_text(result: Rescale, house: House) -> str:
    """The answer of `rescale`: advice and conversions, then the drinks that move."""
    word, reason = result.advice
    strengths = f"{brix(result.batch_brix)}, standard {trim(result.standard_brix, 1)}"
    if result.conversions and word == "change pours":
        first = f"{word}: {result.syrup.name} {conversions_text(result.conversions, house)}"
        rows = [f"{strengths}: {reason}"]
    else:
        first = f"{word}: {result.syrup.name} at {strengths}"
        rows = [reason]
    moved = [row for row in result.rows if row.rounded.verdict != "as written"]
    if word in ("read again", "pull"):
        return page(first, rows, "no pours on such a reading; --json has them, --steps the working")
    moved.sort(key=lambda row: row.rounded.verdict != "out of reach")
    room = ROWS - 2
    if not result.rows and word != "as written":
        rows.append("none of the drinks asked for pours it")
    rows.extend(drink_rows([(row, result.batch) for row in moved[:room]], house))
    if result.correct.add:
        lead = "to correct it" if word == "correct the batch" else "or correct it"
        grams = f"{trim(result.correct.g_per_kg, 0)} g {result.correct.add} per kg"
        rows.append(f"{lead}: {grams} brings it to {brix(result.standard_brix)}; stir and read again")
    return page(first, rows, "; ".join([*_rescale_more(result, moved, room), "--steps shows the working"]))


def _rescale_more(result: Rescale, moved: list[DrinkRow], room: int) -> list[str]:
    more = []
    if len(moved) > room:
        more.append(f"{len(moved) - room} more change (--json lists them)")
    still = [row for row in result.rows if row.rounded.verdict == "as written"]
    if still and result.advice.word != "as written":
        names = ", ".join(row.drink.name for row in still)
        more.append(f"as written: {names}" if len(still) <= 3 else f"{len(still)} others as written")
    doubtful = [row.drink.name for row in still if row.could_be]
    if doubtful:
        more.append(f"so near the limit that the reading may mislead: {', '.join(doubtful[:3])}")
    if result.not_pouring and result.rows:
        more.append(f"not poured in {', '.join(drink.name for drink in result.not_pouring)}")
    bounded = [row.drink.name for row in moved if row.unknown_sugar]
    if bounded:
        more.append(f"sugar not fully known in {', '.join(bounded[:3])}: they move by less")
    return more


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


def drink_rows(rows: Sequence[tuple[DrinkRow, Liquid]], house: House, leads: Sequence[str] = ()) -> list[str]:
    """Drinks that change and the batch they pour, one a line: what leads it, the name in a column, what to pour.

    A name is cut rather than let a line run on.
    """
    said = [_change(row, batch, house) for row, batch in rows]
    lead = max((width(text) + 2 for text in leads), default=0)
    room = COLUMNS - 4 - lead - max((width(text) for text in said), default=0)
    columns = min(max((width(row.drink.name) for row, _ in rows), default=0), max(room, 8))
    lines = [f"{fit(row.drink.name, columns)}  {text}" for (row, _), text in zip(rows, said, strict=True)]
    return [f"{fit(text, lead)}{line}" for text, line in zip(leads, lines, strict=True)] if leads else lines


def _change(row: DrinkRow, batch: Liquid, house: House) -> str:
    rounded = row.rounded
    spec, poured, unit = house_pour(rounded.spec_ml, house), house_pour(rounded.poured_ml, house), str(house.show)
    if row.by_weight and batch.density:
        spec, poured, unit = weight(rounded.spec_ml, batch.density), weight(rounded.poured_ml, batch.density), "g"
    written, after = percent(rounded.as_written_percent), percent(rounded.after_percent)
    if rounded.verdict == "new pour":
        return f"{spec} → {poured} {unit}  sugar {after}, not {written}{_aside(row, house)}"
    nearest = f", {after} with {poured} {unit}" if poured != spec else ""
    fixed = "; its pour is fixed" if row.pour.fixed else ""
    return f"out of reach: sugar {written}{nearest}{fixed}"


def _aside(row: DrinkRow, house: House) -> str:
    """The one further thing to say of a new pour: what moves with it, a doubt, its flavour, or the glass."""
    if row.companions:
        moves = [f"{name} {house_pour(spec, house)} → {house_pour(to, house)}" for name, spec, to in row.companions]
        return f"; with {', '.join(moves)}"
    if row.could_be:
        return f"; may be {row.could_be[0]}" if len(row.could_be) == 1 else "; too unsure a reading"
    if row.flavour_percent is not None and row.flavour_percent[0] == row.flavour_percent[1]:
        return f"; flavour {percent(row.flavour_percent[0])}"
    return f"; glass {house_change(row.served_change_ml, house)}" if row.served_change_ml is not None else ""
