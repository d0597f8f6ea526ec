"""Model M1: inverse, shape, special cases, and the published rule it is compared with."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from balancer.errors import CannotError, OutOfRangeError
from balancer.properties import ethanol, sucrose
from balancer.properties.mixture import volume_ml, water_for_volume

WATER = st.floats(0.0, 5000.0)
ETHANOL = st.floats(0.0, 2000.0)
SHARE = st.floats(0.0, 0.85)
LITTLE = st.floats(0.0, 0.05)


@given(water=WATER, alcohol=ETHANOL, share=SHARE, sour=LITTLE)
def test_water_for_volume_is_the_inverse(water: float, alcohol: float, share: float, sour: float) -> None:
    sugar, acid = water * share / (1.0 - share), water * sour
    volume = volume_ml(water, alcohol, sugar, acid)

    assert water_for_volume(volume, alcohol, sugar, acid) == pytest.approx(water, rel=1e-9, abs=1e-9)


@given(water=WATER, alcohol=ETHANOL, share=SHARE, sour=LITTLE, factor=st.floats(0.01, 100.0))
def test_a_drink_twice_as_large_has_twice_the_volume(
    water: float, alcohol: float, share: float, sour: float, factor: float
) -> None:
    sugar, acid = water * share / (1.0 - share), water * sour
    once = volume_ml(water, alcohol, sugar, acid)

    assert volume_ml(factor * water, factor * alcohol, factor * sugar, factor * acid) == pytest.approx(
        factor * once, rel=1e-9, abs=1e-300
    )


@given(water=st.floats(1.0, 500.0), alcohol=st.floats(0.0, 200.0), share=SHARE)
def test_no_mass_is_lost_the_density_lies_between_those_of_the_parts(
    water: float, alcohol: float, share: float
) -> None:
    """Between ethanol and a syrup as strong as the sugar in its water."""
    sugar = water * share / (1.0 - share)
    density = (water + alcohol + sugar) / volume_ml(water, alcohol, sugar) * 1000.0
    heaviest = max(sucrose.density(min(100.0 * sugar / (water + sugar), 85.0)), ethanol.density(0.0))

    assert ethanol.ETHANOL_KG_M3 * (1.0 - 1e-9) <= density <= heaviest * (1.0 + 1e-5)


def test_nothing_has_no_volume() -> None:
    assert volume_ml(0.0, 0.0, 0.0) == 0.0
    assert water_for_volume(0.0, 0.0, 0.0) == 0.0


@pytest.mark.parametrize("fraction", [0.0, 0.1, 0.4, 0.9, 1.0])
def test_without_sugar_it_is_the_spirit(fraction: float) -> None:
    kg = volume_ml(1000.0 * (1.0 - fraction), 1000.0 * fraction, 0.0)

    assert 1e6 / kg == pytest.approx(ethanol.density(fraction), rel=1e-12)


@pytest.mark.parametrize("brix", [1.0, 30.0, 66.67, 85.0])
def test_without_ethanol_it_is_the_syrup(brix: float) -> None:
    """The two standards differ by 0.003 kg/m3 on the density of water; nothing else is between them."""
    kg = volume_ml(1000.0 - 10.0 * brix, 0.0, 10.0 * brix)

    assert 1e6 / kg == pytest.approx(sucrose.density(brix), rel=3e-6)


def test_sugar_takes_up_the_volume_that_handbooks_give() -> None:
    """Apparent specific volume of sucrose, 0.615 to 0.637 ml/g by the densities of [CRC]."""
    for sugar in (1.0, 20.0, 60.0, 150.0, 400.0):
        assert 0.615 <= (volume_ml(100.0, 0.0, sugar) - volume_ml(100.0, 0.0, 0.0)) / sugar <= 0.637


@pytest.mark.parametrize("more", ["water", "ethanol", "sugar", "acid"])
def test_volume_rises_with_every_part(more: str) -> None:
    base = {"water": 60.0, "ethanol": 20.0, "sugar": 15.0, "acid": 1.0}
    volumes = [volume_ml(*(base | {more: base[more] * (1.0 + 0.01 * step)}).values()) for step in range(200)]

    assert all(left < right for left, right in pairwise(volumes))


@pytest.mark.parametrize("ethanol_mass_percent", [0, 3, 6, 9, 12, 15, 18])
@pytest.mark.parametrize("sugar_mass_percent", [0, 1, 2, 3, 4, 5])
def test_m1_agrees_with_tabarie_where_that_was_confirmed(ethanol_mass_percent: int, sugar_mass_percent: int) -> None:
    """Tabarié [OIV-TABARIE]: residue density = sample - alcohol + 1, in specific gravities 20/20.

    [HACKBARTH] measured it to hold up to 5 % sucrose and 18 % ethanol by mass.
    """
    alcohol, sugar = float(ethanol_mass_percent), float(sugar_mass_percent)
    volume = volume_ml(100.0 - alcohol - sugar, alcohol, sugar)
    water_kg_m3 = ethanol.density(0.0)
    spirit = ethanol.density(ethanol.mass_fraction(100.0 * (alcohol / ethanol.ETHANOL_KG_M3 * 1000.0) / volume))
    # the residue: the same sugar, made up with water to the same volume
    residue = (water_for_volume(volume, 0.0, sugar) + sugar) / volume * 1000.0
    tabarie = (spirit + residue) / water_kg_m3 - 1.0

    assert 1000.0 * 100.0 / volume / water_kg_m3 == pytest.approx(tabarie, abs=0.0001)


def test_more_sugar_than_the_water_dissolves_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="add water") as caught:
        volume_ml(10.0, 50.0, 90.0)

    assert (caught.value.value, caught.value.high) == (90.0, 85.0)


def test_sugar_without_water_is_refused_even_in_spirit() -> None:
    with pytest.raises(OutOfRangeError, match="add water"):
        volume_ml(0.0, 50.0, 1.0)


def test_more_acid_than_was_measured_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="add water") as caught:
        volume_ml(6.0, 0.0, 0.0, 4.0)

    assert (caught.value.value, caught.value.high) == (40.0, 30.0)


@pytest.mark.parametrize("size", [1e-6, 1.0, 3.0, 700.0])
def test_exactly_the_strongest_syrup_is_accepted(size: float) -> None:
    assert volume_ml(0.15 * size, 0.0, 0.85 * size) > 0.0


def test_a_volume_that_the_rest_overfills_has_no_answer() -> None:
    with pytest.raises(CannotError, match=r"already fill 12\d\.\d ml, more than the 100 ml") as caught:
        water_for_volume(100.0, 60.0, 60.0)

    assert caught.value.code == "volume-full"


def test_the_fullest_possible_volume_needs_the_least_water() -> None:
    full = volume_ml(15.0, 10.0, 85.0)

    assert water_for_volume(full, 10.0, 85.0) == pytest.approx(15.0, rel=1e-12)
