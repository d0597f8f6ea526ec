"""`totals` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.drink.dilution import METHODS_WITH_RELATION
from balancer.engine.drink.liquid import Content
from balancer.engine.drink.totals import State, Totals
from balancer.models.house import House
from balancer.output.words.known import (
    AT_LEAST,
    CONTENT_WORDS,
    known_sum,
    known_volume,
    unknown_contents,
    unknown_names,
)
from balancer.output.words.look import most
from balancer.output.words.numbers import brix, trim
from balancer.output.words.page import ROWS, labelled, page


def totals_text(result: Totals, house: House) -> str:
    """The answer of `totals`."""
    facts = [*content_facts(result, house), *told_facts(result)]
    facts += [*unknown_facts(result, most(ROWS) - len(facts)), *written_for_facts(result)]
    rows = [labelled(*fact) for fact in facts]
    more = "--steps shows every pour and the working"
    if result.dilution.basis in METHODS_WITH_RELATION:
        more += "; the dilution is a published average: weigh one of yours, balancer calibrate"
    return page(f"{result.drink.name}: {held_text(result, house)}", rows, more)


def held_text(result: Totals, house: House) -> str:
    """What a drink holds, in a line: as drunk, or before ice where its dilution is unknown."""
    strength = strength_text(result.as_drunk, result, house, "" if result.served else " before ice")
    return ", ".join([strength, _sugar(result), *_acid(result)])


def content_facts(result: Totals, house: House) -> list[tuple[str, str]]:
    """What it holds before ice and in the glass, its dilution, alcohol and energy."""
    rows: list[tuple[str, str]] = []
    if result.served:
        rows.append(("before ice", strength_text(result.mix, result, house)))
        rows.append(("dilution", _dilution(result)))
        rows += _glass_rows(result)
    else:
        rows.append(("in the glass", f"unknown: {result.dilution.note}"))
    return [*rows, ("alcohol, energy", _alcohol_and_energy(result, house))]


def told_facts(result: Totals) -> list[tuple[str, str]]:
    """What a guest must be told."""
    unsaid = unknown_names(result.unknown, "allergens")
    none = f"none listed by the house{' for the rest' if unsaid else ''}"
    rows = [("allergens unknown", ", ".join(unsaid))] if unsaid else []
    rows.append(("allergens", ", ".join(result.allergens) or none))
    if result.cautions:
        rows.append(("caution", "; ".join(f"{said.name}: {said.text}" for said in result.cautions)))
    return rows


def written_for_facts(result: Totals) -> list[tuple[str, str]]:
    """The strengths that its pours are written for, where those are not the standards."""
    said = [
        f"{each.syrup.name} {brix(each.brix)}, standard {trim(each.standard_brix, 1)}" for each in result.written_for
    ]
    return [("written for", "; ".join(said))] if said else []


def strength_text(state: State, result: Totals, house: House, where: str = "") -> str:
    """A volume and its ABV."""
    least = result.is_least("abv")
    abv = known_sum(trim(state.abv_percent, 1), "% ABV", "ABV", least=least)
    held = f"{known_volume(state.volume_ml, house, exact=result.is_volume_known)}{where}"
    return f"{held}{', ' if abv == 'ABV unknown' else ' at '}{abv}"


def _sugar(result: Totals) -> str:
    return known_sum(trim(result.sugar_g, 0), "g sugar", "sugar", least=result.is_least("sugar"))


def _acid(result: Totals) -> list[str]:
    """Its acid; nothing where there is none."""
    least = result.is_least("acid")
    said = known_sum(trim(result.acid_g, 1), "g acid (as citric)", "acid", least=least)
    return [said] if result.acid_g or least else []


def _glass_rows(result: Totals) -> list[tuple[str, str]]:
    """The taste in the glass, per 100 ml."""
    sugar, acid = result.sugar_g_per_100ml, result.acid_g_per_100ml
    if sugar is None or acid is None:
        return []
    parts = [known_sum(trim(sugar, 1), "g sugar", "sugar", least=result.is_least("sugar"))]
    if result.acid_g or result.is_least("acid"):
        parts.append(known_sum(trim(acid, 2), "g acid", "acid", least=result.is_least("acid")))
    ratio = ""
    if result.sugar_to_acid is not None:
        bound = AT_LEAST if result.is_least("sugar") else ""
        ratio = f"; sugar to acid {bound}{trim(result.sugar_to_acid, 0)}:1"
    return [("in the glass", f"{', '.join(parts)} per 100 ml{ratio}")]


def _alcohol_and_energy(result: Totals, house: House) -> str:
    least = result.is_least("abv")
    grams = known_sum(trim(result.ethanol_g, 0), "g", "alcohol", least=least)
    drinks = trim(result.standard_drinks, 1)
    unit = f"standard drink{'' if drinks == '1' else 's'} ({house.standard_drink})"
    said = [grams] if grams == "alcohol unknown" else [grams, known_sum(drinks, unit, unit, least=least)]
    energy = known_sum(trim(result.kcal, 0), "kcal", "energy", least=result.energy_is_least)
    return f"{', '.join(said)}; {energy}"


def _dilution(result: Totals) -> str:
    dilution = result.dilution
    if dilution.percent_of_mix is None or dilution.melt_water_g is None:
        return f"unknown: {dilution.note}"
    spread = f" ±{trim(dilution.plus_minus_percent, 0)}" if dilution.plus_minus_percent else ""
    said = f"{trim(dilution.melt_water_g, 0)} g water, {trim(dilution.percent_of_mix, 0)}{spread} % of mix"
    cold = "" if dilution.final_temperature_c is None else f", {trim(dilution.final_temperature_c, 0)} °C"
    return f"{said} ({dilution.basis}{cold})" + (f"; {dilution.note}" if dilution.note else "")


def _remedy(what: Content, names: Sequence[str]) -> str:
    wanted = "abv, or kind," if what == "abv" else what  # a juice or mixer that says so has none
    return f"add its {wanted} in its file" if len(names) == 1 else f"add their {wanted} in the files that have them"


def unknown_facts(result: Totals, room: int | None = None) -> list[tuple[str, str]]:
    """What no sum counts, and why: one row a kind, or as one where there is no room; what is small comes last."""
    rows: list[tuple[str, str]] = []
    for what, word in CONTENT_WORDS.items():
        names = unknown_names(result.unknown, what, small=False)
        rows += [(f"{word} unknown", f"{', '.join(names)}: {_remedy(what, names)}")] if names else []
    small = [f"sugar of {name}" for name in unknown_names(result.unknown, "sugar", small=True)]
    rinses = unknown_names(result.unknown, "amount")
    small = [text for text in small if text.removeprefix("sugar of ") not in rinses]
    small += [f"rinse of {name}" for name in rinses]
    last = [("not counted", ", ".join(small))] if small else []
    if room is not None and len(rows) > 1 and len(rows) + len(last) > room:
        rows = [("unknown", "; ".join(unknown_contents(result.unknown)))]
    return rows + last
