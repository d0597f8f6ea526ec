"""The freezing point of a drink: its parts alone, what they add up to, and the limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.properties import ethanol, sucrose
from balancer.properties.freezing import freezing_point

SOME = st.floats(0.0, 0.5)


def test_water_alone_freezes_at_zero() -> None:
    assert freezing_point(0.0) == 0.0


@pytest.mark.parametrize("fraction", [0.01, 0.1, 0.2, 0.29])
def test_ethanol_alone_is_the_line_of_ethanol(fraction: float) -> None:
    molality = fraction / (1.0 - fraction) / 0.046068

    assert freezing_point(molality) == pytest.approx(ethanol.freezing_point(fraction), abs=1e-9)


@pytest.mark.parametrize("brix", [1.0, 10.0, 40.0])
def test_sucrose_alone_is_the_line_of_sucrose(brix: float) -> None:
    molality = brix / (100.0 - brix) / 0.3422965

    assert freezing_point(0.0, molality) == pytest.approx(-sucrose.freezing_point_depression(brix), abs=1e-9)


@given(molalities=st.tuples(st.floats(0.0, 9.0), SOME, SOME, SOME, SOME, SOME))
def test_together_they_lower_it_by_what_each_does_alone(molalities: tuple[float, ...]) -> None:
    alone = [freezing_point(*[part if i == place else 0.0 for i in range(6)]) for place, part in enumerate(molalities)]

    assert freezing_point(*molalities) == pytest.approx(sum(alone), abs=1e-9)


@pytest.mark.parametrize("place", range(6))
def test_a_little_of_anything_lowers_it_as_the_ideal_law_says(place: int) -> None:
    """1.86 K for each mol of particles in a kg of water (cryoscopic constant of water)."""
    little = [0.0] * 6
    little[place] = 0.001

    assert freezing_point(*little) == pytest.approx(-0.00186, rel=0.015)


def test_invert_sugar_lowers_it_nearly_twice_as_much_as_sucrose() -> None:
    """342 g of sucrose become 360 g of two sugars: twice the particles."""
    whole, split = freezing_point(0.0, sucrose_mol_kg=0.2), freezing_point(0.0, 0.0, 0.2, 0.2)

    assert split / whole == pytest.approx(2.0, abs=0.06)
