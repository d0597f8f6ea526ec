"""Just outside its range, and for nan and the infinities, every formula refuses and says what to do."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

import pytest

from balancer.errors import OutOfRangeError
from balancer.properties import dilution, enthalpy, ethanol, freezing, mixture, refractometer, sucrose
from tests.properties.inventory import public_formulas, source_keys

if TYPE_CHECKING:
    from collections.abc import Callable

INDEX_UNIT = "(589 nm, 20 °C)"
MOST = 1e9


class Range(NamedTuple):
    """One argument of one formula, the other arguments being sound."""

    formula: Callable[..., float]
    argument: str
    low: float
    high: float
    unit: str
    others: dict[str, float]

    def __str__(self) -> str:
        return f"{self.formula.__module__.rpartition('.')[2]}.{self.formula.__name__}({self.argument})"

    def call(self, value: float) -> float:
        return self.formula(**{self.argument: value}, **self.others)


MASSES = {"water_g": MOST, "ethanol_g": 20.0, "sugar_g": 10.0, "acid_g": 1.0}
REST = {"volume_ml": 100.0, "ethanol_g": 20.0, "sugar_g": 10.0, "acid_g": 1.0}

SOLUTES = {
    "ethanol_mol_kg": 9.3,
    "sucrose_mol_kg": 2.1,
    "glucose_mol_kg": 2.4,
    "fructose_mol_kg": 2.2,
    "citric_mol_kg": 1.0,
    "other_mol_kg": 0.5,
}


def without(masses: dict[str, float], name: str) -> dict[str, float]:
    return {key: value for key, value in masses.items() if key != name}


RANGES = [
    Range(sucrose.density, "brix", 0, 85, "°Bx", {}),
    Range(sucrose.density, "brix", 0, 85, "°Bx", {"temperature_c": 40.0}),
    Range(sucrose.density, "temperature_c", 0, 80, "°C", {"brix": 50.0}),
    Range(sucrose.brix_from_density, "density_kg_m3", sucrose.density(0.0), sucrose.density(85.0), "kg/m3", {}),
    Range(sucrose.brix_from_density, "temperature_c", 0, 80, "°C", {"density_kg_m3": 1200.0}),
    Range(sucrose.refractive_index, "brix", 0, 85, "°Bx", {}),
    Range(sucrose.brix_from_refractive_index, "n", 1.33299, 1.50398, INDEX_UNIT, {}),
    Range(sucrose.solubility, "temperature_c", 0, 80, "°C", {}),
    Range(sucrose.freezing_point_depression, "brix", 0, 42, "°Bx", {}),
    Range(sucrose.water_activity, "brix", 0, 67, "°Bx", {}),
    Range(sucrose.viscosity, "brix", 0, 70, "°Bx", {}),
    Range(sucrose.viscosity, "temperature_c", 10, 60, "°C", {"brix": 50.0}),
    Range(ethanol.density, "mass_fraction", 0, 1, "kg/kg", {}),
    Range(ethanol.density, "mass_fraction", 0, 1, "kg/kg", {"temperature_c": 5.0}),
    Range(ethanol.density, "temperature_c", -20, 40, "°C", {"mass_fraction": 0.5}),
    Range(ethanol.abv_percent, "mass_fraction", 0, 1, "kg/kg", {}),
    Range(ethanol.mass_fraction, "abv_percent", 0, 100, "% vol", {}),
    Range(ethanol.freezing_point, "mass_fraction", 0, 0.3, "kg/kg", {}),
    Range(refractometer.temperature_correction, "reading_brix", 0, 75, "°Bx", {"temperature_c": 25.0}),
    Range(refractometer.temperature_correction, "temperature_c", 5, 40, "°C", {"reading_brix": 25.0}),
    Range(refractometer.citric_correction, "acid_percent", 0, 38.8, "% by mass", {}),
    Range(refractometer.citric_reading, "acid_percent", 0, 38.8, "% by mass", {"brix": 25.0}),
    Range(refractometer.citric_reading, "brix", 0, 85, "°Bx", {"acid_percent": 0.0}),
    Range(refractometer.invert_correction, "reading_brix", 0, 85, "°Bx", {"inverted_fraction": 0.5}),
    Range(refractometer.invert_correction, "inverted_fraction", 0, 1, "of solids", {"reading_brix": 50.0}),
    Range(mixture.volume_ml, "water_g", 0, MOST, "g", {"ethanol_g": 20.0, "sugar_g": 0.0, "acid_g": 0.0}),
    *[Range(mixture.volume_ml, name, 0, MOST, "g", without(MASSES, name)) for name in list(MASSES)[1:]],
    Range(mixture.water_for_volume, "volume_ml", 0, MOST, "ml", {"ethanol_g": 0.0, "sugar_g": 0.0}),
    *[Range(mixture.water_for_volume, name, 0, MOST, "g", without(REST, name)) for name in list(REST)[1:]],
    Range(dilution.shaken, "abv_percent", 0, 50, "% vol", {}),
    Range(dilution.stirred, "abv_percent", 0, 50, "% vol", {}),
    *[Range(relation.plus_minus, "abv_percent", 0, 50, "% vol", {}) for relation in dilution.RELATIONS.values()],
    *[
        Range(freezing.freezing_point, name, 0, high, "mol/kg", {"ethanol_mol_kg": 0.0} if count else {})
        for count, (name, high) in enumerate(SOLUTES.items())
    ],
    Range(enthalpy.heat_capacity, "mass_fraction", 0, 0.45, "kg/kg", {"temperature_c": 5.0}),
    Range(enthalpy.heat_capacity, "temperature_c", -15, 30, "°C", {"mass_fraction": 0.2}),
    Range(enthalpy.mixing_enthalpy, "mass_fraction", 0, 1, "kg/kg", {}),
    Range(enthalpy.liquid_enthalpy, "mass_fraction", 0, 0.45, "kg/kg", {"temperature_c": 5.0}),
    Range(enthalpy.liquid_enthalpy, "temperature_c", -15, 30, "°C", {"mass_fraction": 0.2}),
    Range(enthalpy.ice_enthalpy, "temperature_c", -30, 0, "°C", {}),
    Range(enthalpy.latent_heat, "temperature_c", -15, 0, "°C", {}),
]  # fmt: skip


@pytest.mark.parametrize("case", RANGES, ids=str)
@pytest.mark.parametrize("outside", ["below", "above", "nan", "-inf", "inf"])
def test_outside_is_refused_with_numbers_source_and_remedy(case: Range, outside: str) -> None:
    below, above = math.nextafter(case.low, -math.inf), math.nextafter(case.high, math.inf)
    value = {"below": below, "above": above}.get(outside) or float(outside)

    with pytest.raises(OutOfRangeError) as caught:
        case.call(value)

    error = caught.value
    assert error.value == pytest.approx(value, nan_ok=True)
    assert (error.low, error.high, error.unit) == pytest.approx((case.low, case.high, case.unit))
    assert error.source in source_keys()
    assert error.quantity
    assert error.remedy


@pytest.mark.parametrize("case", [case for case in RANGES if case.formula is not mixture.water_for_volume], ids=str)
def test_the_ends_belong_to_the_range(case: Range) -> None:
    assert math.isfinite(case.call(case.low))
    if case.high < MOST:
        assert math.isfinite(case.call(case.high))


@pytest.mark.parametrize("case", [case for case in RANGES if case.argument != "density_kg_m3"], ids=str)
def test_docstring_states_the_range_that_is_enforced(case: Range) -> None:
    if case.formula.__name__ == "plus_minus":
        assert "OutOfRangeError" in str(case.formula.__doc__)
    else:
        assert f"{case.low:g} to {case.high:g} {case.unit}" in " ".join(str(case.formula.__doc__).split())


def test_every_argument_of_every_formula_is_tried() -> None:
    tried = {(case.formula, case.argument) for case in RANGES}
    missing = [
        f"{formula.__name__}({argument})"
        for formula in public_formulas()
        for argument in formula.__annotations__
        if argument != "return" and (formula, argument) not in tried
    ]

    assert missing == []
