"""What a syrup should be made to, as text and JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.aim import Aim, AimedDrink
from balancer.models.house import House
from balancer.output.numbers import MINUS, brix, count, cut, percent, trim
from balancer.output.page import ROWS, house_pour, labelled, page
from balancer.output.working import amount, grams, percents, ratio


def aim_text(result: Aim, house: House) -> str:
    """The answer of `aim`: what to make, what goes into a kilogram, what to heed, then the drinks."""
    name, old = cut(result.syrup.name, 30), cut(result.old.name, 30)
    acid = f" and {trim(result.acid_g_per_kg, 1)} g/kg acid" if result.acid_added_g_per_kg > 0.05 else ""
    first = f"make {name} to {brix(result.brix)}{acid}: it pours one for one for {old}"
    drinks = [_drink_row(row, house) for row in result.drinks]
    drinks += [f"{cut(drink.name, 30)}: {error.problems()[0].message}" for drink, error in result.failed]
    warnings = [*_harm(result), first]
    rows = [*warnings[1:], *_making(result), *_cautions(result)]
    room = max(ROWS - len(rows), 0)
    left = len(drinks) - room
    more = [f"{count(left, 'more drinks')} (--json has all)"] if left > 0 else []
    return page(warnings[0], [*rows, *drinks[:room]], "; ".join([*more, "--steps shows the working"]))


def aim_data(result: Aim) -> dict[str, Any]:
    """The JSON object of `aim`."""
    return {
        "syrup": result.syrup.id,
        "name": result.syrup.name,
        "for": result.old.id,
        "brix": result.brix,
        "standard_brix": result.standard_brix,
        "acid_g_per_kg": result.acid_g_per_kg,
        "own_acid_g_per_kg": result.own_acid_g_per_kg,
        "acid_added_g_per_kg": result.acid_added_g_per_kg,
        "acid_over_g_per_kg": result.acid_over_g_per_kg,
        "sugar_g_per_kg": result.sugar_g_per_kg,
        "water_g_per_kg": result.water_g_per_kg,
        "sugar_g_per_ml": result.made.sugar_g_per_ml,
        "from_standard": {"add": result.from_standard.add, "g_per_kg": result.from_standard.g_per_kg},
        "storage_c": result.storage_c,
        "saturated_brix": result.saturated_brix,
        "keeps_less": result.keeps_less,
        "unknown_allergens": result.unknown_allergens,
        "drinks": [
            {
                "drink": row.drink.id,
                "name": row.drink.name,
                "pour_ml": row.pour_ml,
                "sugar_percent": row.moved.sugar_percent,
                "acid_percent": row.moved.acid_percent,
                "acid_added_g": row.acid_g,
                "abv_points": row.moved.abv_points,
                "volume_percent": row.moved.volume_percent,
                "allergens_gained": list(row.gained),
                "alcohol_added_g": row.ethanol_g,
            }
            for row in result.drinks
        ],
        "failed": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message}
            for drink, error in result.failed
        ],
        "poured_already_in": list(result.others),
    }


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
    if add:
        target, standard = trim(result.brix, 2), amount(result.standard_brix)
        water = f"({standard} {MINUS} {target}) ÷ {target}"
        sugar = f"({target} {MINUS} {standard}) ÷ (100 {MINUS} {target})"
        lines.append(f"{add} per kg at standard: 1000 g × {water if add == 'water' else sugar} = {grams(per)} g")
    return lines


def _making(result: Aim) -> list[str]:
    parts = [f"{trim(result.sugar_g_per_kg, 0)} g sugar"]
    others = 10.0 * result.brix - result.sugar_g_per_kg
    parts += [f"{trim(others, 0)} g other solids"] if others >= 0.5 else []
    parts += [f"{trim(result.acid_g_per_kg, 1)} g acid"] if result.acid_g_per_kg >= 0.05 else []
    rows: list[str] = [labelled("grams per kg", ", ".join([*parts, f"{trim(result.water_g_per_kg, 0)} g water"]))]
    add, per = result.from_standard.add, result.from_standard.g_per_kg
    if add and round(per):
        at = brix(result.standard_brix)
        rows.append(labelled("from standard", f"to each kg at {at} add {trim(per, 0)} g {add}"))
    if result.acid_added_g_per_kg > 0.05:
        rows.append(
            labelled("citric acid", f"{trim(result.acid_added_g_per_kg, 1)} g in each kg of the finished syrup")
        )
    elif result.acid_over_g_per_kg > 0.05:
        own, keep = trim(result.own_acid_g_per_kg, 1), trim(result.old_acid_g_per_kg, 1)
        rows.append(labelled("acid", f"its own {own} g/kg is more than the {keep} that keeps a drink's acid"))
    return rows


def _cautions(result: Aim) -> list[str]:
    rows: list[str] = []
    if result.saturated_brix is not None:
        limit, at = brix(result.saturated_brix), trim(result.storage_c, 0)
        rows.append(labelled("crystals", f"its sucrose saturates at {limit} at {at} °C: keep it warmer, or swap"))
    if result.keeps_less:
        days = f"{trim(result.syrup.keeps, 0)} days were" if result.syrup.keeps else "keeping was"
        at = brix(result.standard_brix)
        rows.append(labelled("keeps", f"less long: its {days} set for {at}; local food rules decide"))
    if result.others and not result.is_own_standard:
        names = ", ".join(cut(name, 24) for name in result.others[:2])
        also = f" and {len(result.others) - 2} more" if len(result.others) > 2 else ""
        rows.append(labelled("mark the bottle", f"{names}{also}: poured at {brix(result.standard_brix)}"))
    return rows


def _harm(result: Aim) -> list[str]:
    found = []
    gained = sorted({allergen for row in result.drinks for allergen in row.gained})
    if gained:
        found.append(f"allergen gained: {', '.join(gained)}")
    if result.unknown_allergens:
        found.append(f"allergens of {result.syrup.name} unknown: ask before it is served")
    broken = [row.drink.name for row in result.drinks if row.breaks_zero_proof]
    if broken:
        found.append(f"puts alcohol into a drink without: {', '.join(broken)}")
    return found


def _drink_row(row: AimedDrink, house: House) -> str:
    change = row.moved
    said = [f"sugar {percent(change.sugar_percent)}"] if change.sugar_percent is not None else []
    said += [f"acid {percent(change.acid_percent)}"] if change.acid_percent is not None else []
    if change.acid_percent is None and round(row.acid_g, 2):
        said.append(f"{trim(row.acid_g, 2)} g acid in a drink that had none")
    if change.abv_points is not None and round(change.abv_points, 1):
        sign = "+" if change.abv_points > 0 else ""
        said.append(f"ABV {sign}{trim(change.abv_points, 1)} % vol")
    return f"{cut(row.drink.name, 30)}: {house_pour(row.pour_ml, house)} {house.show} as written; {', '.join(said)}"
