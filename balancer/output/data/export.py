"""`export` as JSON."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any, Final

from balancer.engine.batch.notes import BatchNow
from balancer.engine.drink.totals import Totals
from balancer.models.chill import Chill
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.pour import RINSE, Pour
from balancer.models.specs import Specs
from balancer.output.data.batches import batch_data
from balancer.output.data.totals import totals_data
from balancer.output.words.export import Export
from balancer.output.words.known import unknown_names
from balancer.units import Quantity, format_number, format_quantity

ExportRow = list[str | float]


_OF_DRINK: Final[Mapping[str, Callable[[Drink, Chill], str]]] = {
    "id": lambda drink, _: drink.id,
    "family": lambda drink, _: drink.family or "",
    "method": lambda drink, _: drink.method,
    "time": lambda drink, _: drink.time or "",
    "glass": lambda drink, _: drink.glass or "",
    "ice": lambda drink, _: drink.ice or "",
    "strain": lambda drink, _: drink.strain or "",
    "garnish": lambda drink, _: drink.garnish or "",
    "dilution": lambda drink, _: _amount(drink.dilution, "%"),
    "weighed before": lambda drink, _: _amount(drink.weighed.before if drink.weighed else None, "g"),
    "weighed after": lambda drink, _: _amount(drink.weighed.after if drink.weighed else None, "g"),
    "chill ice": lambda _, chill: _amount(chill.ice, "g"),
    "chill ice temperature": lambda _, chill: _amount(chill.ice_temperature, "°C"),
    "chill start": lambda _, chill: _amount(chill.start, "°C"),
    "chill vessel": lambda _, chill: _amount(chill.vessel, "J/K"),
    "chill stop": lambda _, chill: _amount(chill.stop, "°C"),
    "steps": lambda drink, _: "\n".join(drink.steps),
    "extras": lambda drink, _: "\n".join(drink.extras),
    "zero proof": lambda drink, _: _flag(drink.zero_proof),
    "notes": lambda drink, _: "\n".join(drink.notes),
    "version": lambda drink, _: drink.version or "",
    "date": lambda drink, _: drink.date or "",
    "by": lambda drink, _: drink.by or "",
}


_OF_POUR: Final[Mapping[str, Callable[[Pour, Specs], str]]] = {
    "amount": lambda pour, _: "" if pour.amount.unit == RINSE else format_number(pour.amount.value),
    "unit": lambda pour, _: pour.amount.unit,
    "ingredient": lambda pour, specs: specs.liquid(pour.of).name,
    "fixed": lambda pour, _: _flag(pour.fixed),
    "top": lambda pour, _: _flag(pour.top),
}


_WRITTEN_FOR: Final = "written for"
_DRINK_COLUMNS: Final = (*list(_OF_DRINK)[:8], *_OF_POUR, _WRITTEN_FOR, *list(_OF_DRINK)[8:])


TOTALS_COLUMNS: Final[Mapping[str, str]] = {
    "name": "drink",
    "drink": "id",
    "method": "method",
    "served.volume_ml": "in the glass ml",
    "served.abv_percent": "ABV % vol",
    "served.sugar_g": "sugar g",
    "served.sugar_g_per_100ml": "sugar g/100 ml",
    "served.acid_g": "acid (as citric) g",
    "served.acid_g_per_100ml": "acid (as citric) g/100 ml",
    "served.sugar_to_acid": "sugar to acid",
    "served.ethanol_g": "alcohol g",
    "served.standard_drinks": "standard drinks",
    "served.kcal": "energy kcal",
    "served.kj": "energy kJ",
    "mix.volume_ml": "before ice ml",
    "mix.abv_percent": "before ice ABV % vol",
    "mix.sugar_g": "before ice sugar g",
    "mix.acid_g": "before ice acid (as citric) g",
    "mix.ethanol_g": "before ice alcohol g",
    "dilution.melt_water_g": "dilution water g",
    "dilution.percent_of_mix": "dilution % of mix",
    "dilution.plus_minus_percent": "dilution ± points",
    "dilution.basis": "dilution basis",
    "dilution.note": "dilution note",
    "dilution.final_temperature_c": "strained at °C",
}
"""The heading of every figure in the JSON of `totals`."""


_TOTALS_NOTES: Final = (
    "sugar at least", "sugar unknown", "contains", "allergens unknown", "not counted (rinse)", "cautions",
    "alcohol at least", "alcohol unknown", "acid at least", "acid unknown", "energy at least",
)  # fmt: skip


_OF_BATCH: Final[Mapping[str, str]] = {
    "batch": "batch",
    "name": "name",
    "syrup": "id",
    "state": "state",
    "brix": "strength °Bx",
    "verified": "verified",
    "standard_brix": "standard °Bx",
    "uncertainty_brix": "uncertainty °Bx",
    "readings_brix": "readings °Bx",
    "acid": "acid",
    "cause": "cause",
    "mass_g": "mass g",
    "made": "made",
    "discard": "discard",
    "at_latest": "discard at latest",
    "opened": "opened",
    "parts": "parts",
    "by": "by",
    "note": "note",
}


def drinks_rows(drinks: Iterable[Drink], specs: Specs, chills: Mapping[str, Chill]) -> list[ExportRow]:
    """The menu, a pour in each row; what belongs to the drink as a whole stands in its first row only.

    chills holds what drinks say of their own chill, by id; what they have from the house is not theirs.
    """
    rows: list[ExportRow] = [["drink", *_DRINK_COLUMNS]]
    for drink in drinks:
        chill = chills.get(drink.id, Chill())
        whole = {heading: said(drink, chill) for heading, said in _OF_DRINK.items()}
        strengths = [f"{specs.name_of(syrup)}: {_amount(brix, '°Bx')}" for syrup, brix in drink.written_for.items()]
        whole[_WRITTEN_FOR] = "\n".join(strengths)
        for pour in drink.pours:
            row = whole | {heading: said(pour, specs) for heading, said in _OF_POUR.items()}
            rows.append([drink.name, *(row.get(heading, "") for heading in _DRINK_COLUMNS)])
            whole = {}
    return rows


def totals_rows(results: Iterable[Totals], house: House) -> list[ExportRow]:
    """One drink a row. Where something is not known of every pour, its sums are what is known, and columns say so."""
    headings = dict(TOTALS_COLUMNS)
    headings["served.standard_drinks"] += f" ({house.standard_drink})"
    rows: list[ExportRow] = [[*headings.values(), *_TOTALS_NOTES]]
    for result in results:
        data = totals_data(result)
        if result.is_lower_bound:  # a quotient of a part: neither known nor a sum
            data["served"]["sugar_to_acid"] = None
        rows.append([*(_cell(_at(data, path)) for path in headings), *_totals_notes(result)])
    return rows


def batches_rows(items: Iterable[BatchNow]) -> list[ExportRow]:
    """One batch of the log a row."""
    rows: list[ExportRow] = [list(_OF_BATCH.values())]
    for item in items:
        data = batch_data(item)
        data["opened"] = item.batch.opened and f"{item.batch.opened:%Y-%m-%d %H:%M}"
        data["acid"] = item.batch.acid and format_quantity(item.batch.acid)
        data["name"] = item.name
        rows.append([_cell(data[key]) for key in _OF_BATCH])
    return rows


def export_data(done: Export) -> dict[str, Any]:
    """The JSON object of `export`."""
    return {"export": done.what, "out": str(done.out), **done.counts, "left_out": list(done.left_out)}


def _amount(value: float | None, unit: str) -> str:
    return "" if value is None else format_quantity(Quantity(value, unit))


def _flag(value: bool | None) -> str:
    return "" if value is None else "yes" if value else "no"


def _at(data: dict[str, Any], path: str) -> Any:
    for key in path.split("."):
        data = data[key]
    return data


def _cell(value: Any) -> str | float:
    if isinstance(value, bool):
        return _flag(value)
    if isinstance(value, list):
        return "\n".join(format_number(item) if isinstance(item, float) else str(item) for item in value)
    return "" if value is None else value if isinstance(value, int | float) else str(value)


def _totals_notes(result: Totals) -> list[str]:
    unknown = {
        what: ", ".join(unknown_names(result.unknown, what)) for what in ("sugar", "allergens", "amount", "abv", "acid")
    }
    return [
        _flag(result.is_lower_bound),
        unknown["sugar"],
        _contains(result, unknown["allergens"]),
        unknown["allergens"],
        unknown["amount"],
        "\n".join(f"{said.name}: {said.text}" for said in result.cautions),
        _flag(result.is_least("abv")),
        unknown["abv"],
        _flag(result.is_least("acid")),
        unknown["acid"],
        _flag(result.energy_is_least),
    ]


def _contains(result: Totals, unknown: str) -> str:
    """The allergens the house lists; an empty cell would read as none."""
    if result.allergens:
        return ", ".join(result.allergens)
    if all(part.liquid.allergens_unknown for part in result.contributions):
        return "unknown"
    return f"none listed by the house{' for the rest' if unknown else ''}"
