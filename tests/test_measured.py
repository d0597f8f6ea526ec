"""Uncertainty: published examples, hand calculations, and a library's derivatives."""

from __future__ import annotations

from math import inf, nan, sqrt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.differentiate import derivative

from balancer.errors import CannotError
from balancer.measured import Measured, of_division, of_limit, propagate

numbers = st.floats(min_value=-1e3, max_value=1e3)
small = st.floats(min_value=0.001, max_value=10.0)


def test_the_end_gauge_of_the_guide() -> None:
    """JCGM 100:2008, H.1 (from memory): 50 000 838 nm with a standard uncertainty of 32 nm, 31.66 before rounding.

    The expansion and the mean temperature deviation have slope zero, so they contribute nothing at first order.
    """
    inputs = {
        "standard": Measured(50_000_623.0, {"standard": 25.0}),
        "difference": Measured(215.0, {"difference": 9.7}),
        "d_alpha": Measured(0.0, {"d_alpha": 0.58e-6}),
        "theta": Measured(-0.1, {"theta": 0.41}),
        "alpha": Measured(11.5e-6, {"alpha": 1.2e-6}),
        "d_theta": Measured(0.0, {"d_theta": 0.029}),
    }

    def length(standard: float, difference: float, d_alpha: float, theta: float, alpha: float, d_theta: float) -> float:
        return standard + difference - standard * (d_alpha * theta + alpha * d_theta)

    found = propagate(length, inputs)
    assert found.value == pytest.approx(50_000_838.0, abs=0.5)
    assert found.uncertainty == pytest.approx(32.0, abs=0.5)
    assert abs(found.budget["d_alpha"]) == pytest.approx(2.9, abs=0.05)
    assert abs(found.budget["d_theta"]) == pytest.approx(16.6, abs=0.15)
    assert abs(found.budget["theta"]) < 1e-6
    assert abs(found.budget["alpha"]) < 1e-6


def test_the_calibration_standard_of_the_chemists() -> None:
    """Eurachem/CITAC CG 4 (2012), example A1 (from memory): 1002.7 mg/l of cadmium, standard uncertainty 0.9."""
    inputs = {
        "mass": Measured(100.28, {"mass": 0.05}),
        "purity": Measured(0.9999, {"purity": of_limit(0.0001)}),
        "volume": Measured(100.0, {"volume": 0.07}),
    }
    found = propagate(lambda mass, purity, volume: 1000.0 * mass * purity / volume, inputs)
    assert found.value == pytest.approx(1002.7, abs=0.05)
    assert found.uncertainty == pytest.approx(0.9, abs=0.05)


def test_a_division_and_a_limit() -> None:
    """JCGM 100:2008 (from memory): F.2.2.1, 0.29 of a division; 4.3.8, copper's expansion within 0.52 is 0.15."""
    assert of_division(1.0) == pytest.approx(0.29, abs=0.005)
    assert of_division(0.52) == pytest.approx(0.15, abs=0.005)
    assert of_limit(0.26) == pytest.approx(0.15, abs=0.005)


def test_causes_add_in_quadrature() -> None:
    assert Measured(50.0, {"division": 3.0, "accuracy": -4.0}).uncertainty == 5.0


def test_without_causes_there_is_no_uncertainty() -> None:
    assert Measured(50.0).uncertainty == 0.0
    assert propagate(lambda x: x * x, {"x": Measured(3.0)}) == Measured(9.0)
    assert propagate(lambda x: x * x, {"x": Measured(3.0, {"nothing": 0.0})}) == Measured(9.0)


def test_a_shared_cause_is_one_cause() -> None:
    """Two readings of one instrument: what its maker leaves open cancels in their difference, what is read does not."""
    before = Measured(54.0, {"accuracy": 0.3, "first": 0.1})
    after = Measured(50.0, {"accuracy": 0.3, "second": 0.1})
    found = propagate(lambda before, after: before - after, {"before": before, "after": after})
    assert found.budget["accuracy"] == pytest.approx(0.0, abs=1e-9)
    assert found.uncertainty == pytest.approx(sqrt(0.02), abs=1e-9)


@given(x=numbers, y=numbers, u=small, v=small, a=numbers, b=numbers)
def test_a_straight_line_is_exact(x: float, y: float, u: float, v: float, a: float, b: float) -> None:
    """u² = (a u)² + (b v)², whatever the numbers."""
    inputs = {"x": Measured(x, {"x": u}), "y": Measured(y, {"y": v})}
    found = propagate(lambda x, y: a * x + b * y, inputs)
    assert found.value == a * x + b * y
    assert found.uncertainty == pytest.approx(sqrt((a * u) ** 2 + (b * v) ** 2), rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(("value", "uncertainty"), [(50.0, 5e-324), (0.0, 5e-324), (1e9, 1e-9), (50.0, 1e3)])
def test_hardly_any_uncertainty_and_a_lot_of_it(value: float, uncertainty: float) -> None:
    """A slope of 3 is found whatever the sizes."""
    found = propagate(lambda x: 3.0 * x, {"x": Measured(value, {"x": uncertainty})})
    assert found.budget["x"] == pytest.approx(3.0 * uncertainty, rel=1e-6, abs=1e-300)


@given(x=st.floats(min_value=1.0, max_value=5.0), u=st.floats(min_value=0.001, max_value=0.1))
def test_slopes_are_those_of_a_library(x: float, u: float) -> None:
    """scipy.differentiate against the central differences here."""

    def f(x: Any) -> Any:
        return np.exp(-x) / x

    slope = float(derivative(f, x, initial_step=0.1).df)
    assert propagate(f, {"x": Measured(x, {"x": u})}).budget["x"] == pytest.approx(slope * u, rel=1e-5)


@pytest.mark.parametrize("wrong", [nan, inf, -inf])
def test_what_is_not_a_number_is_refused(wrong: float) -> None:
    with pytest.raises(CannotError, match="not a number"):
        Measured(wrong)
    with pytest.raises(CannotError, match="not a number"):
        Measured(1.0, {"cause": wrong})
    with pytest.raises(CannotError, match="not a number"):
        propagate(lambda x: x * wrong, {"x": Measured(1.0)})
