"""Ethanol and water: inverses, shape, limits, the ice line and second opinions."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from balancer.errors import OutOfRangeError
from balancer.properties import ethanol


def literal_density(p: float, t: float) -> float:
    """[OIML] as it is printed, term by term, with the same coefficients."""
    u = t - 20.0
    terms = [a * p ** (k - 1) for k, a in enumerate(ethanol._A, start=1)]
    terms += [b * u**k for k, b in enumerate(ethanol._B)]
    terms += [c * p**k * u**i for i, row in enumerate(ethanol._C, start=1) for k, c in enumerate(row)]
    return math.fsum(terms)


def test_coefficients_are_as_many_as_the_standard_has() -> None:
    assert (len(ethanol._A), len(ethanol._B) - 1, [len(row) - 1 for row in ethanol._C]) == (12, 6, [11, 10, 9, 4, 2])


@given(p=st.floats(0.3, 1.0), t=st.floats(-20.0, 40.0))
def test_density_is_the_printed_sum(p: float, t: float) -> None:
    assert ethanol.density(p, t) == pytest.approx(literal_density(p, t), rel=1e-12)


@given(fraction=st.floats(0.0, 1.0))
def test_strength_by_mass_and_by_volume_are_inverse(fraction: float) -> None:
    assert ethanol.mass_fraction(ethanol.abv_percent(fraction)) == pytest.approx(fraction, abs=1e-9)


@given(abv=st.floats(0.0, 100.0))
def test_strength_by_volume_and_by_mass_are_inverse(abv: float) -> None:
    assert ethanol.abv_percent(ethanol.mass_fraction(abv)) == pytest.approx(abv, abs=1e-9)


@pytest.mark.parametrize("abv", [0.5, 12.0, 40.0, 57.1, 96.0, 99.9])
def test_strength_by_mass_agrees_with_brentq(abv: float) -> None:
    theirs = brentq(lambda p: ethanol.abv_percent(p) - abv, 0.0, 1.0, xtol=1e-14)

    assert ethanol.mass_fraction(abv) == pytest.approx(theirs, abs=1e-9)


def test_pure_water_and_pure_ethanol_are_exact() -> None:
    assert (ethanol.abv_percent(0.0), ethanol.abv_percent(1.0)) == (0.0, 100.0)
    assert (ethanol.mass_fraction(0.0), ethanol.mass_fraction(100.0)) == (0.0, 1.0)
    assert ethanol.freezing_point(0.0) == 0.0
    assert ethanol.density(1.0) == ethanol.ETHANOL_KG_M3


@pytest.mark.parametrize("temperature_c", [0.0, 20.0, 40.0])
def test_density_falls_with_strength(temperature_c: float) -> None:
    densities = [ethanol.density(step / 500.0, temperature_c) for step in range(501)]

    assert all(left > right for left, right in pairwise(densities))


def test_strength_by_volume_rises_with_strength_by_mass() -> None:
    strengths = [ethanol.abv_percent(step / 1000.0) for step in range(1001)]

    assert all(left < right for left, right in pairwise(strengths))


@pytest.mark.parametrize("fraction", [0.0, 0.2, 0.5, 0.9])
def test_leaving_out_the_temperature_terms_at_20_changes_nothing(fraction: float) -> None:
    assert ethanol.density(fraction, math.nextafter(20.0, 21.0)) == pytest.approx(ethanol.density(fraction), rel=1e-13)


def test_freezing_point_falls_with_strength_to_the_end_of_the_density_formula() -> None:
    points = [ethanol.freezing_point(step / 1000.0) for step in range(301)]

    assert all(left > right for left, right in pairwise(points))
    assert points[-1] < -20.0  # stronger mixtures are liquid wherever the density formula holds


@pytest.mark.parametrize("fraction", [0.0, 0.05, 0.15, 0.25])
def test_density_is_given_down_to_the_ice_line_and_refused_below(fraction: float) -> None:
    line = ethanol.freezing_point(fraction)
    assert ethanol.density(fraction, line) > 900.0

    with pytest.raises(OutOfRangeError, match="ice") as caught:
        ethanol.density(fraction, line - 0.5)

    assert caught.value.low == pytest.approx(line - 0.4)
