"""Refractive indices and specific gravities as strengths, against the printed tables of sucrose."""

from __future__ import annotations

import csv
from math import sqrt
from pathlib import Path

import pytest

from balancer.engine.prep.measure import measure
from balancer.engine.prep.readings import readings_of
from balancer.engine.prep.scales import SPANS, ReadScale, Seen, brix_of, division_brix, value_on
from balancer.models.house import Instrument
from balancer.units import Quantity

REFERENCE = Path(__file__).parents[2] / "reference"
WATER_KG_M3 = 998.23
"""As the tables print it at 20 °C."""


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if row["use"] == "check"]


INDICES = [row for row in rows("sucrose_brix_from_refractive_index") if float(row["n"]) >= SPANS["nD"][0]]
DENSITIES = [row for row in rows("sucrose_brix_from_density") if row["temperature_c"] == "20"]


@pytest.mark.parametrize("row", INDICES, ids=lambda row: f"{row['n']} {row['source']}")
def test_a_refractive_index_by_the_tables(row: dict[str, str]) -> None:
    expected, tolerance = float(row["expected"]), float(row["tolerance"]) + 1e-9
    if float(row["n"]) <= SPANS["nD"][1]:
        assert brix_of(Seen(float(row["n"]), "nD", 5)) == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("row", DENSITIES, ids=lambda row: f"{row['density_kg_m3']} {row['source']}")
def test_a_specific_gravity_by_the_tables(row: dict[str, str]) -> None:
    """The printed density over the printed density of water; the last digit of either is worth 0.002 °Bx."""
    gravity = float(row["density_kg_m3"]) / WATER_KG_M3
    assert brix_of(Seen(gravity, "SG", 5)) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) + 0.003)


def test_the_tables_are_there() -> None:
    assert (len(INDICES) > 80, len(DENSITIES) > 40) == (True, True)


@pytest.mark.parametrize("scale", ["nD", "SG"])
@pytest.mark.parametrize("temperature_c", [None, 12.0, 28.0])
def test_there_and_back(scale: ReadScale, temperature_c: float | None) -> None:
    for brix in (1.0, 20.0, 50.0, 66.7, 84.0):
        shown = value_on(brix, scale, temperature_c)
        assert brix_of(Seen(shown, scale, 9), temperature_c) == pytest.approx(brix, abs=1e-7)


def test_the_last_digit_is_the_division() -> None:
    """[ICUMSA1974]: from 49 to 52 °Bx the index grows by 0.00633, so 0.0001 is 0.047 °Bx.

    The ± is twice √(d²/12 + d²/3).
    """
    low, high = (next(float(row["n"]) for row in INDICES if row["expected"] == brix) for brix in ("49", "52"))
    step = 3.0 * 0.0001 / (high - low)
    seen = Seen(1.4201, "nD", 4)
    assert division_brix(seen) == pytest.approx(step, rel=0.01)
    done = measure(readings_of((seen,), None, Instrument()))
    assert done.plus_minus_brix == pytest.approx(2.0 * sqrt(step**2 / 12.0 + step**2 / 3.0), rel=0.01)


def test_a_warm_sample_is_lighter() -> None:
    """A hydrometer in warm syrup stands lower than in the same syrup at 20 °C."""
    warm = brix_of(Seen(1.23, "SG", 3), 30.0)
    assert warm > brix_of(Seen(1.23, "SG", 3)) + 0.5


def test_acid_weighs_in_like_sugar() -> None:
    """Of a hydrometer's strength the acid is taken off: no table of light is asked."""
    readings = readings_of((Seen(1.23, "SG", 3),), 20.0, Instrument())
    plain = measure(readings).strength.value
    sour = measure(readings.__class__(readings.shown, readings.instrument, temperature_c=20.0,
                                      acid=Quantity(20.0, "g/kg"), seen=readings.seen))  # fmt: skip
    assert sour.strength.value == pytest.approx(plain - 2.0)
    assert sour.corrections.invert == 0.0


def test_readings_in_brix_keep_the_instrument() -> None:
    instrument = Instrument()
    readings = readings_of((Seen(50.0, "°Bx", 0),), None, instrument)
    assert (readings.instrument, readings.shown, readings.seen) == (instrument, (50.0,), ())
