"""The melt relations: shape, and the judged ± within and beyond the judged range."""

from __future__ import annotations

from itertools import pairwise

import pytest

from balancer.properties import dilution
from balancer.properties.dilution import RELATIONS


@pytest.mark.parametrize("method", RELATIONS)
def test_each_relation_has_its_function(method: str) -> None:
    assert getattr(dilution, method)(25.0) == RELATIONS[method].melt(25.0)


@pytest.mark.parametrize("method", RELATIONS)
def test_stronger_drinks_melt_more_ice_over_the_whole_range(method: str) -> None:
    melts = [RELATIONS[method].melt(0.1 * step) for step in range(501)]

    assert all(left < right for left, right in pairwise(melts))


@pytest.mark.parametrize("abv_percent", [5.0, 15.0, 25.0, 35.0, 45.0])
def test_shaking_melts_more_than_stirring(abv_percent: float) -> None:
    assert dilution.shaken(abv_percent) > dilution.stirred(abv_percent)


@pytest.mark.parametrize(
    ("method", "abv_percent", "judged"),
    [
        ("shaken", 14.9, 0.12),
        ("shaken", 15.0, 0.04),
        ("shaken", 35.0, 0.04),
        ("shaken", 35.1, 0.12),
        ("stirred", 19.9, 0.14),
        ("stirred", 20.0, 0.07),
        ("stirred", 45.0, 0.07),
        ("stirred", 45.1, 0.14),
    ],
)
def test_plus_minus_widens_outside_the_judged_range(method: str, abv_percent: float, judged: float) -> None:
    assert RELATIONS[method].plus_minus(abv_percent) == judged


def test_the_gap_that_widened_shaken_lies_within_it() -> None:
    """An energy balance gives 0.32 at 0 % vol; the widened band reaches it."""
    assert dilution.shaken(0.0) + RELATIONS["shaken"].plus_minus(0.0) >= 0.32
