"""A bottled drink as text, JSON and working."""

from __future__ import annotations

from datetime import date
from typing import Any

from balancer.engine.bottle import FREEZER_C, UNSURE_K, Bottle, Line
from balancer.models.house import House
from balancer.output.numbers import MINUS, brix, day_text, trim
from balancer.output.page import ROWS, house_volume, page
from balancer.output.working import amount, grams, ratio, total

EGG_OR_DAIRY = "egg or dairy: bottle the rest, and add it at service"
START_LOW = "start low and taste; bitters do not scale straight"
NO_BREAK = "\N{NO-BREAK SPACE}"
_LITRE = 1000.0


def bottle_text(result: Bottle, house: House, mixed: date, *, logged: bool) -> str:
    """The answer of `bottle`: how much of what strength, the lines to weigh, then what to know and the label."""
    whole = result.whole
    held = f"{_big(whole.volume_ml, house)}, {_mass(whole.mass_g)}, {trim(whole.abv_percent, 1)} % ABV"
    first = f"{_serves(result)} of {result.drink.name}: {held}"
    notes = _notes(result)
    lines = [_line_row(line, house) for line in result.lines]
    if len(lines) > ROWS - 2:  # too many to weigh one below the other
        short = [f"{_weight(line.mass_g)} {line.name}".replace(" g ", f"{NO_BREAK}g ", 1) for line in result.lines]
        lines = [" · ".join(short)]
        bitter = [line.name for line in result.lines if line.is_bitter]
        notes[:0] = [f"{', '.join(bitter)}: {START_LOW}"] * bool(bitter)
    surplus = len(lines) + len(notes) + 1 - ROWS
    if surplus > 0:
        notes[: surplus + 1] = ["; ".join(notes[: surplus + 1])]
    notes.append(f"label: {label(result, house, mixed)}")
    return page(first, [*lines, *notes], _more(result, logged=logged))


def bottle_data(result: Bottle, house: House, mixed: date, *, logged: bool) -> dict[str, Any]:
    """The JSON object of `bottle`."""
    whole, used = result.whole, result.from_batch
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "serves": result.serves,
        "serve_ml": result.serve_ml,
        "vessel_ml": result.vessel_ml,
        "headspace_percent": result.headspace_percent,
        "lines": [
            {
                "ingredient": line.identity,
                "name": line.name,
                "ml": line.volume_ml,
                "g": line.mass_g,
                "start_low": line.is_bitter,
            }
            for line in result.lines
        ],
        "left_out": [{"ingredient": item.identity, "name": item.name, "why": item.why} for item in result.left_out],
        "from": None
        if used is None
        else {
            "batch": used.batch.id,
            "syrup": used.batch.liquid,
            "brix": used.batch.brix,
            "spec_ml": used.spec_ml,
            "exact_ml": used.exact_ml,
            "needs_g": used.needs_g,
            "enough": used.enough,
            "logged": logged,
        },
        "dilution": {
            "percent_of_mix": result.dilution.percent_of_mix,
            "basis": result.dilution.basis,
            "plus_minus_percent": result.dilution.plus_minus_percent,
        },
        "total": {
            "volume_ml": whole.volume_ml,
            "mass_g": whole.mass_g,
            "abv_percent": whole.abv_percent,
            "sugar_g": whole.sugar_g,
            "lower_bound": result.is_lower_bound,
            "acid_g": whole.acid_g,
        },
        "freezing_point_c": result.freezing_c,
        "freezer_c": FREEZER_C,
        "freezes": result.freezes,
        "same_day": list(result.sour),
        "egg_or_dairy": list(result.perishable),
        "cautions": list(result.cautions),
        "last_day": result.last_day.isoformat() if result.last_day else None,
        "allergens": list(result.allergens),
        "allergens_unknown": list(result.allergens_unknown),
        "label": label(result, house, mixed),
    }


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


def label(result: Bottle, house: House, mixed: date) -> str:
    """What goes on the bottle."""
    parts = [result.drink.name, f"{trim(result.whole.abv_percent, 1)} % ABV", f"serve {_pour(result, house)}"]
    parts += [result.from_batch.batch.id] if result.from_batch else []
    parts.append(f"mixed {day_text(mixed)}")
    parts += [f"use by {day_text(result.last_day)}"] if result.last_day else []
    parts += [f"contains {', '.join(result.allergens)}"] if result.allergens else []
    return " · ".join(parts)


def _notes(result: Bottle) -> list[str]:
    notes = []
    used = result.from_batch
    if used is not None:
        pours = f"{trim(used.exact_ml, 1)} ml a serve, not {trim(used.spec_ml, 1)}"
        said = "its pour is fixed, so the sugar moves" if used.fixed else pours
        short = f"; only {_mass(used.batch.mass)} of it are left" if used.enough is False and used.batch.mass else ""
        notes.append(f"{used.batch.id} at {brix(used.batch.brix or 0.0)}: {said}{short}")
    if result.perishable:
        notes.append(f"{', '.join(result.perishable)}: {EGG_OR_DAIRY}")
    if result.sour:
        notes.append(f"{', '.join(result.sour)}: put in on the day of service")
    if result.left_out:
        notes.append(f"at service: {', '.join(f'{item.name} ({item.why})' for item in result.left_out)}")
    notes.append(_freezer(result))
    notes += ["; ".join(guests)] if (guests := _for_guests(result)) else []
    return notes


def _for_guests(result: Bottle) -> list[str]:
    """What somebody may not have: one row, since a bottle has much to say already."""
    said = [f"contains {', '.join(result.allergens)}"] if result.allergens else []
    said += [f"allergens unknown: {', '.join(result.allergens_unknown)}"] if result.allergens_unknown else []
    return said + ([f"caution: {', '.join(result.cautions)}"] if result.cautions else [])


def _freezer(result: Bottle) -> str:
    freezer = f"{trim(FREEZER_C, 0)} °C"
    if result.freezing_c is None:
        return f"stays liquid in the freezer at {freezer}"
    point = f"freezes from {trim(result.freezing_c, 0)} °C"
    if result.freezes == "near":
        return f"{point} ±{trim(UNSURE_K, 1)}: it may or may not freeze in the freezer at {freezer}"
    return f"{point}: {'ice forms' if result.freezes == 'yes' else 'stays liquid'} in the freezer at {freezer}"


def _more(result: Bottle, *, logged: bool) -> str:
    more = [f"vessel of {trim(result.vessel_ml, 0)} ml with {trim(result.headspace_percent, 1)} % left empty"]
    spread = result.dilution.plus_minus_percent
    water = f"water {trim(result.dilution.percent_of_mix or 0.0, 0)} % of mix ({result.dilution.basis})"
    more.append(f"{water}, ±{trim(spread, 0)}: taste before the last of it" if spread else water)
    if result.from_batch is not None:
        more.append(f"logged at {result.from_batch.batch.id}" if logged else "--log notes which batch went in")
    return "; ".join([*more, "--steps shows the working"])


def _line_row(line: Line, house: House) -> str:
    volume = "" if line.volume_ml is None else _volume(line.volume_ml, house)
    aside = ": start low, taste" if line.is_bitter else ""
    return f"{_weight(line.mass_g):>8}  {volume:>8}  {line.name}{aside}"


def _serves(result: Bottle) -> str:
    number = trim(result.serves, 1)
    return f"{number} serve" if number == "1" else f"{number} serves"


def _weight(mass_g: float) -> str:
    return f"{trim(mass_g, 0 if mass_g >= 10.0 else 1)} g"


def _mass(mass_g: float) -> str:
    return f"{trim(mass_g / _LITRE, 2)} kg" if mass_g >= _LITRE else _weight(mass_g)


def _volume(volume_ml: float, house: House) -> str:
    return house_volume(volume_ml, house) if volume_ml >= 10.0 else f"{trim(volume_ml, 1)} ml"


def _big(volume_ml: float, house: House) -> str:
    return (
        f"{trim(volume_ml / _LITRE, 2)} l" if volume_ml >= _LITRE and house.show == "ml" else _volume(volume_ml, house)
    )


def _pour(result: Bottle, house: House) -> str:
    return house_volume(result.serve_ml, house)
