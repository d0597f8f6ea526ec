"""Rows for a spreadsheet: every field of the models has its column, and what is unknown says so."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from balancer.engine.batch.notes import describe
from balancer.engine.drink.totals import totals
from balancer.models.batch import Batch
from balancer.models.chill import Chill
from balancer.models.drink import Drink, Weighed
from balancer.models.pour import Pour
from balancer.output.data.export import TOTALS_COLUMNS, ExportRow, batches_rows, drinks_rows, totals_rows
from balancer.output.data.totals import totals_data
from balancer.units import Quantity
from tests.engine.builders import BERRY, LIME, RUM, bar, drink, ingredient

POUR = Pour(pour=Quantity(22.5, "ml"), of="gold-rum", fixed=True, top=True)
CHILL = {"ice": "150 g", "ice temperature": "-18 °C", "start": "8 °C", "vessel": "64 J/K", "stop": "-2 °C"}
FULL = Drink.model_validate(
    {
        "drink": "Slip", "id": "slip-1", "family": "sour", "method": "shaken", "pours": [POUR], "dilution": "45 %",
        "written for": {"berry-syrup": "48.5 °Bx"},
        "weighed": {"before": "118 g", "after": "172 g"}, "chill": CHILL, "glass": "coupe", "ice": "cubes",
        "strain": "double", "time": "12 s", "garnish": "lime", "steps": ["shake", "strain"], "extras": ["mint"],
        "zero proof": "true", "notes": ["a", "b"], "version": "3", "date": "2026-03-14", "by": "Runa",
    }
)  # fmt: skip
"""A drink that says everything there is to say."""
OTHER: dict[str, Any] = {
    "written_for": {},
    "id": "other",
    "name": "Other",
    "method": "stirred",
    "zero_proof": False,
    "fixed": False,
}
OTHER |= {"amount": Quantity(20.0, "ml"), "of": "lime-juice", "before": 117.0, "after": 171.0}
BAR = bar(RUM, LIME, BERRY)


def rows(one: Drink) -> list[ExportRow]:
    """Its rows; what it has of a chill is its own."""
    return drinks_rows([one], BAR.specs, {one.id: one.chill} if one.chill else {})


def column(table: list[ExportRow], heading: str) -> list[str | float]:
    return [row[table[0].index(heading)] for row in table[1:]]


def test_the_whole_drink() -> None:
    head, row = rows(FULL)
    assert dict(zip(head, row, strict=True)) == {
        "drink": "Slip", "id": "slip-1", "family": "sour", "method": "shaken", "time": "12 s", "glass": "coupe",
        "ice": "cubes", "strain": "double", "garnish": "lime", "amount": "22.5", "unit": "ml", "ingredient": "gold rum",
        "fixed": "yes", "top": "yes", "written for": "berry syrup: 48.5 °Bx",
        "dilution": "45 %", "weighed before": "118 g", "weighed after": "172 g",
        "chill ice": "150 g", "chill ice temperature": "-18 °C", "chill start": "8 °C", "chill vessel": "64 J/K",
        "chill stop": "-2 °C", "steps": "shake\nstrain", "extras": "mint", "zero proof": "yes",
        "notes": "a\nb", "version": "3", "date": "2026-03-14", "by": "Runa",
    }  # fmt: skip


@pytest.mark.parametrize("field", Drink.model_fields)
def test_every_field_of_a_drink_has_a_column(field: str) -> None:
    """Another value, or none, shows: a field that the models gain fails here until it has its column."""
    assert getattr(FULL, field) not in (None, (), False), "give the full drink a value for it"
    value = OTHER.get(field, () if isinstance(getattr(FULL, field), tuple) else None)
    if field == "pours":
        value = (POUR.model_copy(update={"amount": Quantity(1.0, "ml")}),)
    assert rows(FULL.model_copy(update={field: value})) != rows(FULL)


@pytest.mark.parametrize("field", Pour.model_fields)
def test_every_field_of_a_pour_has_a_column(field: str) -> None:
    pour = POUR.model_copy(update={field: OTHER.get(field)})
    assert rows(FULL.model_copy(update={"pours": (pour,)})) != rows(FULL)


@pytest.mark.parametrize("field", Weighed.model_fields)
def test_every_field_of_a_weighing_has_a_column(field: str) -> None:
    assert FULL.weighed is not None
    weighed = FULL.weighed.model_copy(update={field: OTHER[field]})
    assert rows(FULL.model_copy(update={"weighed": weighed})) != rows(FULL)


@pytest.mark.parametrize("field", Chill.model_fields)
def test_every_field_of_a_chill_has_a_column(field: str) -> None:
    assert FULL.chill is not None
    chill = FULL.chill.model_copy(update={field: None})
    assert rows(FULL.model_copy(update={"chill": chill})) != rows(FULL)


def test_a_pour_in_each_row_and_the_drink_in_the_first() -> None:
    table = rows(drink("Slip", "60 ml gold rum", "1 1/2 oz lime juice", "rinse berry syrup", glass="coupe"))
    assert column(table, "drink") == ["Slip", "Slip", "Slip"]
    assert column(table, "glass") == ["coupe", "", ""]
    assert column(table, "amount") == ["60", "1.5", ""]
    assert column(table, "unit") == ["ml", "oz", "rinse"]
    assert column(table, "ingredient") == ["gold rum", "lime juice", "berry syrup"]
    assert (column(table, "fixed"), column(table, "top")) == (["no"] * 3, [""] * 3)


def test_what_comes_from_the_house_is_not_the_drinks_own() -> None:
    assert column(drinks_rows([FULL], BAR.specs, {}), "chill ice") == [""]


def leaves(data: dict[str, Any], prefix: str = "") -> set[str]:
    found = set()
    for key, value in data.items():
        found |= leaves(value, f"{prefix}{key}.") if isinstance(value, dict) else {f"{prefix}{key}"}
    return found


def test_every_figure_of_the_totals_has_a_column() -> None:
    apart = {"pours", "allergens", "cautions", "lower_bound", "lower_bounds", "unknown"}
    apart |= {"written_for", "dilution.by_ice"}  # its note tells it
    assert leaves(totals_data(totals(BAR, drink("Slip", "60 ml gold rum")))) == {*TOTALS_COLUMNS} | apart


AMARO = ingredient("amaro", abv="28 %", cautions=["bitter bark"])
NUTS = ingredient("nut liqueur", abv="20 %", sugar="100 g/kg", allergens=["tree nuts"])


def totals_row(*pours: str, method: str = "shaken", **keys: Any) -> dict[str, str | float]:
    one = drink("Slip", *pours, method=method, **keys)
    here = bar(RUM, LIME, BERRY, AMARO, NUTS, one)
    head, row = totals_rows([totals(here, one)], here.specs.house)
    return dict(zip(map(str, head), row, strict=True))


def test_known_totals() -> None:
    """20 g at 50 °Bx are 10 g of sugar, by the definition of °Bx."""
    row = totals_row("20 g berry syrup", "60 g lime juice")
    assert row["sugar g"] == pytest.approx(10 + 60 * 0.0169)
    assert (row["sugar at least"], row["sugar unknown"]) == ("no", "")
    assert (row["contains"], row["allergens unknown"]) == ("none listed by the house", "")


def test_a_sum_with_an_unknown_part_is_a_minimum() -> None:
    row = totals_row("20 g berry syrup", "30 ml amaro")
    assert row["sugar g"] == pytest.approx(10)
    assert (row["sugar at least"], row["sugar unknown"]) == ("yes", "amaro")
    assert (row["contains"], row["allergens unknown"]) == ("none listed by the house for the rest", "amaro")
    assert row["cautions"] == "amaro: bitter bark"


def test_nothing_known_is_no_zero_and_no_none() -> None:
    row = totals_row("30 ml amaro")
    assert [row[heading] for heading in ("sugar g", "sugar g/100 ml", "sugar to acid", "before ice sugar g")] == [
        ""
    ] * 4
    assert (row["sugar at least"], row["contains"]) == ("yes", "unknown")


def test_what_is_not_defined_is_empty() -> None:
    row = totals_row("60 ml gold rum", method="built")
    assert (row["in the glass ml"], row["dilution % of mix"], row["sugar to acid"]) == ("", "", "")
    assert (row["dilution basis"], row["sugar g"]) == ("unknown", 0.0)


def test_allergens_rinses_and_extras() -> None:
    row = totals_row("20 ml nut liqueur", "rinse amaro", extras=["8 mint leaves"])
    assert (row["contains"], row["allergens unknown"]) == ("tree nuts", "amaro, 8 mint leaves")
    assert (row["not counted (rinse)"], row["sugar at least"]) == ("amaro", "no")


def test_the_country_of_a_standard_drink_stands_in_the_heading() -> None:
    here = bar(RUM, standard_drink="uk")
    assert "standard drinks (uk)" in totals_rows([], here.specs.house)[0]


BATCH = Batch(
    "BER-1", "berry-syrup", "open", 50.7, 0.3, "boiled", 1450.0, date(2026, 11, 23), date(2026, 11, 29), "Runa",
    datetime(2026, 11, 23, 17, 35, tzinfo=UTC), (51.0, 50.7), True, ("BER-0",), Quantity(52.0, "g/l"), "rested",
    date(2026, 12, 20),
)  # fmt: skip


def batch_rows(batch: Batch) -> list[ExportRow]:
    return batches_rows([describe(BAR, batch, date(2026, 11, 25))])


def test_a_batch() -> None:
    head, row = batch_rows(BATCH)
    assert dict(zip(head, row, strict=True)) == {
        "batch": "BER-1", "name": "berry syrup", "id": "berry-syrup", "state": "open", "strength °Bx": 50.7,
        "verified": "yes", "standard °Bx": 50.0, "uncertainty °Bx": 0.3, "readings °Bx": "51\n50.7", "acid": "52 g/l",
        "cause": "boiled", "mass g": 1450.0, "made": "2026-11-23", "discard": "2026-11-29",
        "discard at latest": "2026-12-20",
        "opened": "2026-11-23 17:35",
        "parts": "BER-0", "by": "Runa", "note": "rested",
    }  # fmt: skip


@pytest.mark.parametrize("field", [field.name for field in fields(Batch)])
def test_every_field_of_a_batch_has_a_column(field: str) -> None:
    other: dict[str, Any] = {"id": "BER-2", "liquid": "gold-rum", "state": "empty", "verified": False}
    other |= {"readings": (), "parts": ()}
    change: dict[str, Any] = {field: other.get(field)}
    assert batch_rows(replace(BATCH, **change)) != batch_rows(BATCH)


def test_an_unknown_batch_is_empty_not_zero() -> None:
    bare = Batch("X-1", "", "made", None, None, None, None, None, None, None, None, (), False, (), None, None)
    head, row = batch_rows(bare)
    said = {heading: cell for heading, cell in zip(head, row, strict=True) if cell != ""}
    assert said == {"batch": "X-1", "name": "unknown syrup", "state": "made", "verified": "no"}
