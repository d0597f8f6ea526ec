"""Corrections of a reading: zeros, shape, joins and second opinions."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.properties.refractometer import (
    citric_correction,
    citric_reading,
    invert_correction,
    temperature_correction,
)


@given(reading=st.floats(0.0, 75.0))
def test_nothing_is_added_at_20_degrees(reading: float) -> None:
    assert temperature_correction(reading, 20.0) == 0.0


def test_nothing_is_added_without_acid_or_invert_sugar() -> None:
    assert citric_correction(0.0) == 0.0
    assert invert_correction(0.0, 1.0) == 0.0
    assert invert_correction(60.0, 0.0) == 0.0


@pytest.mark.parametrize("reading", range(0, 76, 5))
def test_temperature_correction_rises_with_temperature(reading: int) -> None:
    values = [temperature_correction(reading, 5.0 + 0.1 * step) for step in range(351)]

    assert all(left < right for left, right in pairwise(values))


@pytest.mark.parametrize("temperature_c", [5.0, 10.0, 15.0, 25.0, 30.0, 40.0])
def test_corrected_reading_rises_with_the_reading(temperature_c: float) -> None:
    values = [0.25 * step + temperature_correction(0.25 * step, temperature_c) for step in range(301)]

    assert all(left < right for left, right in pairwise(values))


def test_citric_correction_rises_with_acid() -> None:
    values = [citric_correction(38.8 * step / 400.0) for step in range(401)]

    assert all(left < right for left, right in pairwise(values))


@pytest.mark.parametrize("acid_percent", [0.2, 1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 25.0])
def test_citric_correction_agrees_with_the_quadratic(acid_percent: float) -> None:
    """The quadratic in use for the same table, from memory: [CITRUS-QUADRATIC]."""
    quadratic = 0.012 + 0.193 * acid_percent - 0.0004 * acid_percent**2

    assert citric_correction(acid_percent) == pytest.approx(quadratic, abs=0.02)


def test_no_acid_reads_nothing() -> None:
    assert citric_reading(50.0, 0.0) == pytest.approx(0.0, abs=1e-9)


def test_acid_reads_more_in_strong_syrup_than_the_juice_table_says() -> None:
    """By hand: 1 g of acid in 99 g of syrup of 50.505 °Bx, refractions (n² - 1)/(n² + 2) and volumes added.

    [ICUMSA1974] has n = 1.42115 there, [ICUMSA] 1.2324 g/ml: 0.25367 over 80.33 ml is 20.377 ml. With the acid's
    0.1914 and 0.600 ml: 20.568 ÷ 80.93 = 0.25415, so n = 1.42207, which [ICUMSA1974] has at 50.94 °Bx: 0.94 more
    than the 50 of sugar, where the citrus table says 0.80.
    """
    assert citric_reading(50.0, 1.0) == pytest.approx(0.94, abs=0.02)
    assert 1.0 - citric_correction(1.0) == pytest.approx(0.80, abs=0.005)


def test_acid_reads_more_the_stronger_the_syrup_and_the_more_there_is() -> None:
    by_syrup = [citric_reading(float(brix), 1.0) for brix in range(0, 80, 5)]
    by_acid = [citric_reading(50.0, 0.5 * step) for step in range(60)]

    assert all(left < right for left, right in pairwise(by_syrup))
    assert all(left < right for left, right in pairwise(by_acid))


def test_invert_correction_rises_without_a_jump() -> None:
    values = [invert_correction(85.0 * step / 8500.0, 1.0) for step in range(8501)]
    steps = [right - left for left, right in pairwise(values)]

    assert min(steps) > 0.0
    assert max(steps) < 0.01 * 0.038  # the steepest slope, just below the join


@pytest.mark.parametrize("reading", [65.0, 76.0, 85.0])
def test_strong_syrups_follow_the_flat_rule(reading: float) -> None:
    """[AOAC] 932.14, from memory: 0.022 per % of invert sugar."""
    assert invert_correction(reading, 0.5) == pytest.approx(0.022 * 0.5 * reading)


def test_the_two_rules_meet_near_60() -> None:
    below, above = (invert_correction(b, 1.0) / b for b in (59.0, 59.5))

    assert below < 0.022
    assert above == pytest.approx(0.022, rel=1e-15)


@given(reading=st.floats(0.0, 85.0), fraction=st.floats(0.0, 1.0))
def test_invert_correction_is_in_proportion_to_the_inverted_share(reading: float, fraction: float) -> None:
    whole = invert_correction(reading, 1.0)

    assert math.isclose(invert_correction(reading, fraction), fraction * whole, rel_tol=1e-12, abs_tol=1e-300)
