"""Against CoolProp, a general-purpose library of fluids; importing it takes seconds, hence slow."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from balancer.properties import enthalpy, ethanol, sucrose

pytestmark = pytest.mark.slow

PropsSI = Callable[[str, str, float, str, float, str], float]


@pytest.fixture(scope="module")
def props() -> PropsSI:
    from CoolProp.CoolProp import PropsSI as props_si  # noqa: N813, PLC0415

    function: PropsSI = props_si
    return function


@pytest.mark.parametrize("temperature_c", range(0, 81, 5))
def test_sucrose_density_of_water_agrees_with_iapws95(props: PropsSI, temperature_c: int) -> None:
    iapws = props("D", "T", 273.15 + max(temperature_c, 0.01), "P", 101325.0, "Water")

    assert sucrose.density(0.0, temperature_c) == pytest.approx(iapws, abs=0.0065)  # Kell (1975) is that much lower


@pytest.mark.parametrize("temperature_c", range(10, 61, 10))
def test_viscosity_of_water_agrees_with_iapws(props: PropsSI, temperature_c: int) -> None:
    iapws = props("V", "T", 273.15 + temperature_c, "P", 101325.0, "Water")

    assert sucrose.viscosity(0.0, temperature_c) == pytest.approx(1000.0 * iapws, rel=0.06)


@pytest.mark.parametrize("temperature_c", range(0, 41, 4))
def test_ethanol_density_of_water_agrees_with_iapws95(props: PropsSI, temperature_c: int) -> None:
    iapws = props("D", "T", 273.15 + max(temperature_c, 0.01), "P", 101325.0, "Water")

    assert ethanol.density(0.0, temperature_c) == pytest.approx(iapws, abs=0.008)


@pytest.mark.parametrize("percent", [11, 15, 20, 25, 30, 35, 40, 50, 60])
@pytest.mark.parametrize("temperature_c", [0, 10, 20, 30, 40])
def test_density_agrees_with_the_library_fit_of_melinder(props: PropsSI, percent: int, temperature_c: int) -> None:
    """CoolProp's polynomial through [MELINDER]; it is itself up to 0.5 kg/m3 off those values."""
    theirs = props("D", "T", 273.15 + temperature_c, "P", 101325.0, f"INCOMP::MEA[{percent / 100.0}]")

    assert ethanol.density(percent / 100.0, temperature_c) == pytest.approx(theirs, abs=1.0)


@pytest.mark.parametrize("percent", range(11, 31))
def test_freezing_point_agrees_with_the_library_fit_of_melinder(props: PropsSI, percent: int) -> None:
    """[MELINDER] is up to 0.35 K from [CRC], and the library's polynomial adds its own residual."""
    theirs = props("T_FREEZE", "T", 293.15, "P", 101325.0, f"INCOMP::MEA[{percent / 100.0}]") - 273.15

    assert ethanol.freezing_point(percent / 100.0) == pytest.approx(theirs, abs=0.45)


@pytest.mark.parametrize("temperature_c", range(0, 31, 3))
def test_enthalpy_of_water_agrees_with_iapws95(props: PropsSI, temperature_c: int) -> None:
    held = [props("H", "T", 273.15 + t, "P", 101325.0, "Water") / 1000.0 for t in (max(temperature_c, 0.01), 25.0)]

    assert enthalpy.liquid_enthalpy(0.0, temperature_c) == pytest.approx(held[0] - held[1], abs=0.08)


@pytest.mark.parametrize("temperature_c", range(-30, 1, 3))
def test_enthalpy_of_ice_agrees_with_iapws06(props: PropsSI, temperature_c: int) -> None:
    from CoolProp.HumidAirProp import HAProps_Aux  # noqa: PLC0415

    ice, _ = HAProps_Aux("h_Ice", 273.15 + temperature_c, 101325.0, 0.001)
    water = props("H", "T", 298.15, "P", 101325.0, "Water")

    assert enthalpy.ice_enthalpy(temperature_c) == pytest.approx((ice - water) / 1000.0, abs=0.03)


@pytest.mark.parametrize("percent", [11, 15, 20, 25, 30, 35, 40, 45])
@pytest.mark.parametrize("temperature_c", [-12, -5, 0, 10, 20, 30])
def test_heat_capacity_agrees_with_the_library_fit_of_melinder(
    props: PropsSI, percent: int, temperature_c: int
) -> None:
    fluid, kelvin = f"INCOMP::MEA[{percent / 100.0}]", 273.15 + temperature_c
    if kelvin <= props("T_FREEZE", "T", 293.15, "P", 101325.0, fluid):
        assert enthalpy.heat_capacity(percent / 100.0, temperature_c) > 4.0  # undercooled: nothing to compare with
        return
    theirs = props("C", "T", kelvin, "P", 101325.0, fluid) / 1000.0

    assert enthalpy.heat_capacity(percent / 100.0, temperature_c) == pytest.approx(theirs, rel=0.009)
