"""Heat of ice and of liquid mixtures: the parts against each other, limits and shape."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from balancer.properties import enthalpy


@given(fraction=st.floats(0.0, 0.45), start=st.floats(-15.0, 30.0), end=st.floats(-15.0, 30.0))
def test_warming_takes_the_heat_capacity_integrated(fraction: float, start: float, end: float) -> None:
    by_quadrature, _ = quad(lambda t: enthalpy.heat_capacity(fraction, t), start, end)
    warmed = enthalpy.liquid_enthalpy(fraction, end) - enthalpy.liquid_enthalpy(fraction, start)

    assert warmed == pytest.approx(by_quadrature, abs=1e-7)


def test_the_pure_liquids_hold_nothing_at_25_degrees() -> None:
    assert enthalpy.mixing_enthalpy(0.0) == 0.0
    assert enthalpy.mixing_enthalpy(1.0) == 0.0
    assert enthalpy.liquid_enthalpy(0.0, 25.0) == 0.0


@pytest.mark.parametrize("fraction", [0.01, 0.2, 0.5, 0.8, 0.99])
def test_mixing_gives_off_heat_at_every_strength(fraction: float) -> None:
    assert -40.0 < enthalpy.mixing_enthalpy(fraction) < 0.0


@pytest.mark.parametrize(
    ("fraction", "printed"), [(0.1, -26.90), (0.2, -36.12), (0.3, -36.77), (0.4, -32.58), (0.5, -26.74)]
)
def test_mixing_agrees_with_a_polynomial_fitted_to_the_same_equation(fraction: float, printed: float) -> None:
    """w (1 - w) (-416.47 + 1496.7 w - 3794.2 w² + 6275.5 w³ - 4395.7 w⁴), within 0.3 J/g of [LARKIN]."""
    assert enthalpy.mixing_enthalpy(fraction) == pytest.approx(printed, abs=0.3)


def test_ice_holds_less_the_colder_it_is() -> None:
    held = [enthalpy.ice_enthalpy(-30.0 + 0.5 * step) for step in range(61)]

    assert all(left < right for left, right in pairwise(held))


@pytest.mark.parametrize(("temperature_c", "expected"), [(0.0, 2.0967), (-20.0, 1.951)])
def test_ice_warms_with_the_heat_capacity_of_ice(temperature_c: float, expected: float) -> None:
    """[IAPWS06] 2.0967 J/(g K) at 0 °C, from memory; 1.95 at -20 °C."""
    step = 0.01
    slope = (enthalpy.ice_enthalpy(temperature_c) - enthalpy.ice_enthalpy(temperature_c - step)) / step

    assert slope == pytest.approx(expected, abs=0.002)


def test_melting_takes_less_heat_in_the_cold() -> None:
    """By the difference of the heat capacities of water and ice, about 2.1 J/(g K)."""
    assert enthalpy.latent_heat(0.0) - enthalpy.latent_heat(-5.0) == pytest.approx(10.7, abs=0.2)
