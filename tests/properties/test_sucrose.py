"""Sucrose: inverses, shape, limits and second opinions. Published values are in test_check_values."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from balancer.properties import sucrose

if TYPE_CHECKING:
    from collections.abc import Callable


def grid(low: float, high: float, steps: int = 400) -> list[float]:
    return [low + (high - low) * step / steps for step in range(steps + 1)]


@given(brix=st.floats(0.0, 85.0), temperature_c=st.floats(0.0, 80.0))
def test_density_and_strength_are_inverse(brix: float, temperature_c: float) -> None:
    there = sucrose.density(brix, temperature_c)

    assert sucrose.brix_from_density(there, temperature_c) == pytest.approx(brix, abs=1e-9)


@given(brix=st.floats(0.0, 85.0))
def test_index_and_strength_are_inverse(brix: float) -> None:
    if (there := sucrose.refractive_index(brix)) <= 1.50398:
        assert sucrose.brix_from_refractive_index(there) == pytest.approx(brix, abs=1e-9)


@pytest.mark.parametrize("n", [1.3330, 1.36384, 1.42009, 1.46546, 1.5039])
def test_strength_from_index_agrees_with_brentq(n: float) -> None:
    theirs = brentq(lambda brix: sucrose.refractive_index(brix) - n, 0.0, 85.0, xtol=1e-12)

    assert sucrose.brix_from_refractive_index(n) == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize("temperature_c", [0.0, 20.0, 80.0])
@pytest.mark.parametrize("density_kg_m3", [1001.0, 1200.0, 1400.0])
def test_strength_from_density_agrees_with_brentq(density_kg_m3: float, temperature_c: float) -> None:
    theirs = brentq(lambda brix: sucrose.density(brix, temperature_c) - density_kg_m3, 0.0, 85.0, xtol=1e-12)

    assert sucrose.brix_from_density(density_kg_m3, temperature_c) == pytest.approx(theirs, abs=1e-9)


RISING: dict[str, tuple[Callable[[float], float], float, float]] = {
    "density at 0 °C": (lambda brix: sucrose.density(brix, 0.0), 0.0, 85.0),
    "density at 20 °C": (sucrose.density, 0.0, 85.0),
    "density at 80 °C": (lambda brix: sucrose.density(brix, 80.0), 0.0, 85.0),
    "expansion": (lambda t: -sucrose.density(50.0, t), 0.0, 80.0),
    "index": (sucrose.refractive_index, 0.0, 85.0),
    "strength from index": (sucrose.brix_from_refractive_index, 1.33299, 1.5039),
    "solubility": (sucrose.solubility, 0.0, 80.0),
    "freezing": (sucrose.freezing_point_depression, 0.0, 42.0),
    "activity": (lambda brix: -sucrose.water_activity(brix), 0.0, 67.0),
    "viscosity": (sucrose.viscosity, 0.0, 70.0),
    "fluidity": (lambda t: -sucrose.viscosity(65.0, t), 10.0, 60.0),
}


@pytest.mark.parametrize("name", RISING)
def test_each_formula_keeps_one_direction_over_its_range(name: str) -> None:
    f, low, high = RISING[name]

    assert all(f(left) < f(right) for left, right in pairwise(grid(low, high)))


def test_pure_water_has_no_freezing_point_depression_and_full_activity() -> None:
    assert sucrose.freezing_point_depression(0.0) == 0.0
    assert sucrose.water_activity(0.0) == 1.0


@pytest.mark.parametrize("brix", [0.0, 30.0, 66.67, 85.0])
def test_leaving_out_the_temperature_terms_at_20_changes_nothing(brix: float) -> None:
    assert sucrose.density(brix, math.nextafter(20.0, 21.0)) == pytest.approx(sucrose.density(brix), rel=1e-14)


@pytest.mark.parametrize("temperature_c", range(0, 81, 10))
def test_solubility_agrees_with_charles(temperature_c: int) -> None:
    """Charles (1960), an independent evaluation, from memory: [CHARLES]."""
    t = float(temperature_c)
    charles = 64.397 + 0.07251 * t + 2.0569e-3 * t**2 - 9.035e-6 * t**3

    assert sucrose.solubility(t) == pytest.approx(charles, abs=0.135)


@pytest.mark.parametrize("brix", range(0, 68, 5))
def test_water_activity_agrees_with_starzak_and_peacock(brix: int) -> None:
    """[STARZAK] at 25 °C; both follow the data within 0.0008."""
    sugar, water = brix / 342.2965, (100.0 - brix) / 18.01528
    x = sugar / (sugar + water)
    ln_gamma = -17638.0 / (8.314462 * 298.15) * x**2 * (1.0 - 1.0038 * x - 0.24653 * x**2)

    assert sucrose.water_activity(brix) == pytest.approx(math.exp(ln_gamma) * (1.0 - x), abs=0.0016)


@pytest.mark.parametrize("brix", range(0, 86, 5))
def test_strength_from_index_agrees_with_the_closed_form(brix: int) -> None:
    """The fifth-degree polynomial [CLOSED-FORM], from memory; it reads up to 0.027 °Bx low."""
    n = sucrose.refractive_index(brix)
    terms = (11758.74 * n**5, -88885.21 * n**4, 270177.93 * n**3, -413145.80 * n**2, 318417.95 * n, -99127.4536)

    assert math.fsum(terms) == pytest.approx(brix, abs=0.03)


def laliberte_density(w: float, t: float) -> float:
    """[LALIBERTE] density of water with a mass fraction w of sucrose, 15 to 55 °C, w up to 0.5066."""
    c0, c1, c2, c3, c4 = 532.919899042424, 13692.5881480438, 12.6127261369233, 0.0266415899284128, 649.049186827162
    terms = (999.83952, 16.945176, -0.0079870401, -4.6170461e-5, 1.0556302e-7, -2.8054253e-10)
    water = math.fsum(c * t**power for power, c in enumerate(terms)) / (1.0 + 0.01687985 * t)
    sugar = (c0 * w + c1) * math.exp(1e-6 * (t + c4) ** 2) / (w + c2 + c3 * t)
    return 1.0 / ((1.0 - w) / water + w / sugar)


def laliberte_viscosity(w: float, t: float) -> float:
    """[LALIBERTE] viscosity, same range."""
    v1, v2, v3, v4 = 16.2391830818804, 1.46930910938613, 3.28485782809427, 0.0102845759149181
    v5, v6 = 33.9389495762169, 2.28172425556793
    water = (t + 246.0) / ((0.05594 * t + 5.2842) * t + 137.37)
    sugar = math.exp((v1 * w**v2 + v3) / (v4 * t + 1.0)) / (v5 * w**v6 + 1.0)
    return float(water ** (1.0 - w) * sugar**w)


@pytest.mark.parametrize("temperature_c", range(15, 56, 5))
@pytest.mark.parametrize("brix", range(0, 51, 10))
def test_density_agrees_with_laliberte(brix: int, temperature_c: int) -> None:
    theirs = laliberte_density(brix / 100.0, temperature_c)

    assert sucrose.density(brix, temperature_c) == pytest.approx(theirs, abs=0.3)


@pytest.mark.parametrize("temperature_c", range(15, 56, 5))
@pytest.mark.parametrize("brix", range(0, 51, 10))
def test_viscosity_agrees_with_laliberte(brix: int, temperature_c: int) -> None:
    theirs = laliberte_viscosity(brix / 100.0, temperature_c)

    assert sucrose.viscosity(brix, temperature_c) == pytest.approx(theirs, rel=0.06)
