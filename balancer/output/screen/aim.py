"""`aim` on the screen."""

from __future__ import annotations

from balancer.engine.drink.cautions import ACID_POWDER
from balancer.engine.swaps.aim import Aim, AimedDrink
from balancer.models.house import House
from balancer.output.words.amounts import amount_text, change_text
from balancer.output.words.keeping import weaker_text
from balancer.output.words.known import known_change
from balancer.output.words.numbers import brix, some, trim
from balancer.output.words.page import ROWS, act, few, labelled, page
from balancer.output.words.safety import MORE
from balancer.output.words.strengths import assumed, for_what, open_too


def aim_text(result: Aim, house: House) -> str:
    """The answer of `aim`: what to make, what goes into a kilogram, what to heed, then the drinks."""
    name, old = result.syrup.name, result.old.name
    acid = f" and {trim(result.acid_g_per_kg, 1)} g/kg acid" if result.adds_acid else ""
    made_for = for_what(result.at, [each for each in result.concerned if each[0].id == result.old.id])
    first = f"make {name} to {brix(result.brix)}{acid} {made_for}: it pours one for one for {old}"
    drinks = [_drink_row(row, house) for row in result.drinks]
    drinks += [f"{drink.name}: {error.problems()[0].message}" for drink, error in result.failed]
    warnings = _harm(result)
    first = act("; ".join([*warnings, first])) if warnings else first
    rows = [*_making(result), *_cautions(result)]
    shown, more = few(drinks, max(ROWS - len(rows), 0), "drinks")
    more += [MORE] if result.adds_acid else []
    more += [*assumed(result.at, result.concerned), *open_too(result.concerned)]
    return page(first, [*rows, *shown], "; ".join([*more, "--steps shows the working"]))


def _making(result: Aim) -> list[str]:
    parts = [f"{trim(result.sugar_g_per_kg, 0)} g sugar"]
    others = result.other_solids_g_per_kg
    parts += [f"{trim(others, 0)} g other solids"] if others else []
    parts += [f"{trim(result.acid_g_per_kg, 1)} g acid"] if result.has_acid else []
    rows: list[str] = [labelled("grams per kg", ", ".join([*parts, f"{trim(result.water_g_per_kg, 0)} g water"]))]
    add, per = result.from_standard.add, result.from_standard.g_per_kg
    if add and round(per):
        at = brix(result.standard_brix)
        rows.append(labelled("from standard", f"to each kg at {at} add {trim(per, 0)} g {add}"))
    if result.adds_acid:
        rows.append(
            labelled("citric acid", f"{trim(result.acid_added_g_per_kg, 1)} g in each kg of the finished syrup")
        )
        rows.append(labelled("caution", ACID_POWDER))
    elif result.is_too_sour:
        own, keep = trim(result.own_acid_g_per_kg, 1), trim(result.old_acid_g_per_kg, 1)
        rows.append(labelled("acid", f"its own {own} g/kg is more than the {keep} that keeps a drink's acid"))
    return rows


def _cautions(result: Aim) -> list[str]:
    rows: list[str] = []
    if result.saturated_brix is not None:
        limit, at = brix(result.saturated_brix), trim(result.storage_c, 0)
        rows.append(labelled("crystals", f"its sucrose saturates at {limit} at {at} °C: keep it warmer, or swap"))
    rows += [labelled("keeps", f"{text}; local food rules decide") for text in weaker_text(result.kept)]
    if result.others and not result.is_own_standard:
        for own in dict.fromkeys(each.brix for each in result.others):
            names = some([each.name for each in result.others if each.brix == own], 2)
            rows.append(labelled("mark the bottle", f"{names}: written for {brix(own)}"))
    return rows


def _harm(result: Aim) -> list[str]:
    found = []
    if result.gained:
        found.append(f"allergen gained: {', '.join(result.gained)}")
    if result.unknown_allergens:
        found.append(f"allergens of {result.syrup.name} unknown: ask before it is served")
    broken = [row.drink.name for row in result.drinks if row.breaks_zero_proof]
    if broken:
        found.append(f"puts alcohol into a drink without: {', '.join(broken)}")
    return found


def _drink_row(row: AimedDrink, house: House) -> str:
    change = row.moved
    parts = known_change("sugar", change.sugar_percent, change), known_change("acid", change.acid_percent, change)
    said = [part for part in parts if part]
    if change.acid_percent is None and "acid" not in change.unknown and round(row.acid_g, 2):
        said.append(f"{trim(row.acid_g, 2)} g acid in a drink that had none")
    if change.abv_points is not None and round(change.abv_points, 1):
        sign = "+" if change.abv_points > 0 else ""
        said.append(f"ABV {sign}{trim(change.abv_points, 1)} % vol")
    stays = row.poured.is_same(row.spec)
    pour = f"{amount_text(row.spec, house)} as written" if stays else change_text(row.spec, row.poured, house)
    return f"{row.drink.name}: {pour}; {', '.join(said)}"
