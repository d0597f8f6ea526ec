"""Quantiles of the normal distribution against printed tables and scipy."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ndtri

from balancer.engine.simulate.normal import CENTRAL, FAR, central, depth, near_tail, quantile


@pytest.mark.parametrize(
    ("chance", "printed"),
    # Abramowitz and Stegun, Handbook of Mathematical Functions, table 26.5 (values of Q(x)), from memory
    [
        (0.5, 0.0),
        (0.9, 1.28155),
        (0.95, 1.64485),
        (0.975, 1.95996),
        (0.99, 2.32635),
        (0.995, 2.57583),
        (0.999, 3.09023),
    ],
)
def test_quantiles_as_printed(chance: float, printed: float) -> None:
    assert quantile(chance) == pytest.approx(printed, abs=5e-6)
    assert quantile(1.0 - chance) == pytest.approx(-printed, abs=5e-6)


@given(st.floats(min_value=2.0**-54, max_value=1.0, exclude_max=True))
def test_quantiles_are_those_of_another_library(chance: float) -> None:
    """From the least chance that a stream gives to the largest."""
    assert quantile(chance) == pytest.approx(float(ndtri(chance)), rel=1e-13, abs=1e-14)


@pytest.mark.parametrize("edge", [0.5 - CENTRAL, 0.5 + CENTRAL, math.exp(-(FAR**2))])
def test_no_step_where_one_formula_takes_over_from_another(edge: float) -> None:
    below, above = quantile(edge * (1.0 - 1e-12)), quantile(edge * (1.0 + 1e-12))
    assert below < above
    assert above - below < 1e-10


def test_arrays_give_what_numbers_give() -> None:
    """To the last bit, so that a run with numpy draws what one without it does."""
    side = np.linspace(-CENTRAL, CENTRAL, 1001)
    out = np.array([depth(chance) for chance in np.geomspace(1e-10, 0.07, 1001).tolist()])
    assert central(side).tolist() == [central(one) for one in side.tolist()]  # type: ignore[arg-type, attr-defined]
    assert near_tail(out).tolist() == [near_tail(one) for one in out.tolist()]  # type: ignore[arg-type, attr-defined]
