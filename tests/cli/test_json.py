"""The JSON objects: the keys that never go away, whole numbers, null for what is not defined."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.cli.runner import HOUSE, copy_of_house, run

POUR = {"pour": {"spec_ml", "exact_ml", "poured_ml"}, "sugar_as_written_percent": None, "sugar_after_percent": None}
TOTALS = {
    "drink": None,
    "name": None,
    "method": None,
    "mix": {"volume_ml", "abv_percent", "sugar_g", "acid_g", "ethanol_g"},
    "dilution": {"melt_water_g", "percent_of_mix", "basis"},
    "served": {
        "volume_ml",
        "abv_percent",
        "sugar_g",
        "sugar_g_per_100ml",
        "acid_g",
        "acid_g_per_100ml",
        "sugar_to_acid",
        "ethanol_g",
        "kcal",
        "standard_drinks",
    },
    "unknown": None,
}
RESCALE = {
    "syrup": None,
    "standard_brix": None,
    "batch_brix": None,
    "advice": None,
    "reason": None,
    "conversions": None,
    "correct": {"add", "g_per_kg"},
    "drinks": None,
}
DRINK = {
    "drink": None,
    "name": None,
    "verdict": None,
    "pour": {"spec_ml", "exact_ml", "poured_ml"},
    "sugar_as_written_percent": None,
    "sugar_after_percent": None,
    "flavour_percent": {"low", "high"},
    "mix_volume_change_ml": None,
    "served_volume_change_ml": None,
    "could_be": None,
}
PROBLEM = ("path", "line", "column", "code", "message", "remedy")


def lacks(data: dict[str, Any], shape: dict[str, set[str] | None]) -> set[str]:
    """The keys of a shape that the data does not have."""
    missing = shape.keys() - data.keys()
    for key, inner in shape.items():
        if inner is not None:
            missing |= {f"{key}.{name}" for name in inner - data.get(key, {}).keys()}
    return missing


def numbers(data: Any) -> Iterator[float]:
    if isinstance(data, float):
        yield data
    elif isinstance(data, dict | list):
        for value in data.values() if isinstance(data, dict) else data:
            yield from numbers(value)


def is_unrounded(data: Any) -> bool:
    """Whether some number has more digits than anyone would print."""
    return any(not math.isclose(value, round(value, 4), rel_tol=1e-12) for value in numbers(data))


def test_pour() -> None:
    data = run("pour", "22.5ml", "--standard", "50", "--brix", "54", "--json").data
    assert lacks(data, POUR) == set()
    assert is_unrounded(data)


@pytest.mark.parametrize("drink", ["anchor", "breakwater", "foam", "capstan", "dark", "night", "燈台"])
def test_totals(drink: str) -> None:
    data = run("totals", drink, "--json").data
    assert lacks(data, TOTALS) == set()
    assert data["dilution"]["basis"] in ("stated", "weighed", "shaken", "stirred", "energy", "unknown")
    assert is_unrounded(data)


def test_totals_names_and_unknowns() -> None:
    data = run("totals", "dark", "--json").data
    assert (data["drink"], data["name"], data["method"]) == ("dark-pilot", "Dark Pilot", "stirred")
    found = {(item["ingredient"], item["what"]) for item in data["unknown"]}
    assert found == {
        ("anise-spirit", "sugar"),
        ("anise-spirit", "amount"),
        ("herbal-liqueur", "sugar"),
        ("herbal-liqueur", "allergens"),
        ("aromatic-bitters", "sugar"),
        ("aromatic-bitters", "allergens"),
    }


def test_what_is_not_defined_is_null(tmp_path: Path) -> None:
    """No acid, no ratio; above 50 % vol no relation, so no melt and no glass; but what is poured is known."""
    assert run("totals", "capstan", "--json").data["served"]["sugar_to_acid"] is None
    strong = "ingredient: cask rum\nabv: 70 %\nsugar: 0 g/l\nallergens: []\n"
    drink = "drink: Strong Tide\nmethod: stirred\npours:\n  - 60 ml cask rum\n"
    done = run("totals", "strong", "--json", specs=copy_of_house(tmp_path, ingredients__cask=strong, drinks__s=drink))
    assert (done.code, lacks(done.data, TOTALS)) == (0, set())
    assert done.data["dilution"]["melt_water_g"] is None
    assert done.data["dilution"]["percent_of_mix"] is None
    assert done.data["dilution"]["basis"] == "unknown"
    served = done.data["served"]
    undefined = {"volume_ml", "abv_percent", "sugar_g_per_100ml", "acid_g_per_100ml", "sugar_to_acid"}
    assert {key for key, value in served.items() if value is None} == undefined
    assert served["ethanol_g"] == pytest.approx(0.7 * 60 * 0.78924, rel=1e-4)  # OIML R 22: 789.24 kg/m3 at 20 °C


@pytest.mark.parametrize(("syrup", "brix"), [("berry", 54.0), ("plain", 46.0), ("rich", 50.0), ("honey", 50.0)])
def test_rescale(syrup: str, brix: float) -> None:
    data = run("rescale", "--syrup", syrup, "--brix", str(brix), "--json").data
    assert lacks(data, RESCALE) == set()
    assert data["drinks"]
    assert [lacks(row, DRINK) for row in data["drinks"]] == [set()] * len(data["drinks"])
    assert data["batch_brix"] == brix
    assert data["advice"] in ("as written", "change pours", "correct the batch", "read again")
    assert {row["verdict"] for row in data["drinks"]} <= {"as written", "new pour", "out of reach"}


def test_rescale_in_numbers() -> None:
    """One written pour, one conversion; water by the mass balance 1000 g x (54 - 50) / 50 = 80 g."""
    data = run("rescale", "--syrup", "berry", "--brix", "54", "--json").data
    assert (data["syrup"], data["name"], data["standard_brix"]) == ("berry-syrup", "berry syrup", 50.0)
    assert data["conversions"] == [
        {"unit": "ml", "spec_ml": spec, "poured_ml": poured, "spec_g": None, "poured_g": None}
        for spec, poured in [(20.0, 17.5), (22.5, 20.0)]
    ]
    assert data["exceptions"] == []
    assert data["correct"] == {"add": "water", "g_per_kg": pytest.approx(80.0)}
    assert [row["drink"] for row in data["drinks"]] == ["anchor-sour", "breakwater-fizz", "bollard"]
    assert is_unrounded(data)


def test_rescale_at_standard() -> None:
    data = run("rescale", "--syrup", "berry", "--brix", "50", "--json").data
    assert (data["advice"], data["conversions"], data["correct"]["add"]) == ("as written", [], None)
    assert {row["sugar_as_written_percent"] for row in data["drinks"]} == {0.0}


def test_flavour() -> None:
    """A plain syrup has none. Boiled down, it goes with the sugar; with too much sugar, with the pour: 20/22.5."""
    plain = run("rescale", "--syrup", "plain", "--brix", "54", "--json").data["drinks"]
    assert {(row["flavour_percent"]["low"], row["flavour_percent"]["high"]) for row in plain} == {(None, None)}

    def flavour(*options: str) -> tuple[float, float]:
        row = run("rescale", "--syrup", "berry", "--brix", "54", *options, "anchor", "--json").data["drinks"][0]
        return row["flavour_percent"]["low"], row["flavour_percent"]["high"]

    with_pour = 100 * (20 / 22.5 - 1)
    assert flavour("--cause", "sugar") == pytest.approx((with_pour, with_pour))
    low, high = flavour("--cause", "boiled")
    assert low == high
    assert flavour() == pytest.approx((with_pour, high))


def test_could_be() -> None:
    """Within 2 x 1 °Bx of 54 lies 52, where the drink passes as written; without an uncertainty nothing is said."""
    asked = ("rescale", "--syrup", "berry", "--brix", "54", "anchor", "--json")
    assert run(*asked).data["drinks"][0]["could_be"] is None
    assert "as written" in run(*asked, "--uncertainty", "1").data["drinks"][0]["could_be"]
    assert run(*asked, "--uncertainty", "0,1 °Bx").data["drinks"][0]["could_be"] == []


def test_only_the_drinks_asked_for() -> None:
    data = run("rescale", "--syrup", "berry", "--brix", "54", "Bollard", "anchor", "bollard", "--json").data
    assert [row["drink"] for row in data["drinks"]] == ["bollard", "anchor-sour"]
    assert run("rescale", "--syrup", "berry", "--brix", "54", "capstan", "--json").data["drinks"] == []


def test_steps_ride_along() -> None:
    for arguments in (["totals", "anchor"], ["rescale", "--syrup", "berry", "--brix", "54"]):
        plain, worked = run(*arguments, "--json").data, run(*arguments, "--json", "--steps").data
        assert all(isinstance(line, str) for line in worked.pop("steps"))
        assert worked == plain


@pytest.mark.parametrize(
    "arguments",
    [
        ["bogus"],
        ["pour"],
        ["pour", "22.5ml", "--standard", "50"],
        ["totals", "anchor", "--bogus"],
        ["rescale", "--brix", "54"],
        ["rescale", "--syrup", "berry", "--brix", "much"],
        ["rescale", "--syrup", "berry", "--brix", "54", "--cause", "weather"],
        ["rescale", "--syrup", "berry", "--brix", "54", "--uncertainty", ""],
        ["start"],
    ],
)
def test_wrong_usage_is_json_too(arguments: list[str]) -> None:
    done = run(*arguments, "--json", specs=None, env={"BALANCER_SPECS": str(HOUSE)})
    assert (done.code, done.err) == (2, "")
    (problem,) = done.data["problems"]
    assert tuple(problem) == PROBLEM
    assert problem["code"] == "usage"
    assert problem["message"]
    assert problem["remedy"]


def test_help_stays_text() -> None:
    done = run("totals", "--help", "--json", specs=None)
    assert (done.code, done.first) == (0, "Usage: balancer totals [DRINK] [options]")
