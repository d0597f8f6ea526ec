"""What each table of check values is compared with.

A table keeps the printed digits in the page's own unit; the function here turns our result into that unit.
`formulas` names the public formulas that the comparison exercises.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from balancer.numerics import find_root
from balancer.properties import dilution, enthalpy, ethanol, freezing, mixture, refractometer, sucrose

if TYPE_CHECKING:
    from collections.abc import Callable

OLD_ML = 0.999972
"""Density of water at 4 °C in g/cm3: before 1964 a millilitre was the volume of 1 g of it, and d 20/4 is still so."""

AIR_KG_M3 = 1.2
SIXTY_F = (60.0 - 32.0) / 1.8


@dataclass(frozen=True, slots=True)
class Quantity:
    """A table's unit, and our way to its number."""

    unit: str
    compute: Callable[..., float]
    formulas: tuple[Callable[..., Any], ...]


def _solubility_per_100_g_water(temperature_c: float) -> float:
    brix = sucrose.solubility(temperature_c)
    return 100.0 * brix / (100.0 - brix)


def _density_g_cm3(mass_percent: float, temperature_c: float) -> float:
    return ethanol.density(mass_percent / 100.0, temperature_c) / 1000.0


def _density_old_ml(mass_percent: float, temperature_c: float) -> float:
    return _density_g_cm3(mass_percent, temperature_c) / OLD_ML


def _density_by_abv(abv_percent: float) -> float:
    return ethanol.density(ethanol.mass_fraction(abv_percent))


def _mass_percent(abv_percent: float) -> float:
    return 100.0 * ethanol.mass_fraction(abv_percent)


def _abv_percent(mass_percent: float) -> float:
    return ethanol.abv_percent(mass_percent / 100.0)


def _abv_percent_60f(mass_percent: float) -> float:
    """US practice: both volumes at 60 °F."""
    return mass_percent * ethanol.density(mass_percent / 100.0, SIXTY_F) / ethanol.density(1.0, SIXTY_F)


def _specific_gravity_in_air(mass_percent: float, temperature_c: float) -> float:
    mixture_kg_m3, water_kg_m3 = (ethanol.density(p, temperature_c) for p in (mass_percent / 100.0, 0.0))
    return (mixture_kg_m3 - AIR_KG_M3) / (water_kg_m3 - AIR_KG_M3)


def _freezing_point(mass_percent: float) -> float:
    return ethanol.freezing_point(mass_percent / 100.0)


def _contraction_60f(ethanol_ml: float, water_ml: float) -> float:
    ethanol_mass = ethanol_ml * ethanol.density(1.0, SIXTY_F)
    mass = ethanol_mass + water_ml * ethanol.density(0.0, SIXTY_F)
    return mass / ethanol.density(ethanol_mass / mass, SIXTY_F)


def _invert_solids(glucose_n: float, fructose_n: float) -> float:
    """Strength of 1:1 invert sugar from what a refractometer shows for it."""
    return _invert_strength((glucose_n + fructose_n) / 2.0)


def _invert_strength(n: float) -> float:
    reading = sucrose.brix_from_refractive_index(n)
    return reading + refractometer.invert_correction(reading, 1.0)


def _citric_index(acid_percent: float) -> float:
    return sucrose.refractive_index(refractometer.citric_reading(0.0, acid_percent))


def _mixture_density(water_g: float, ethanol_g: float, sugar_g: float, acid_g: float) -> float:
    mass = water_g + ethanol_g + sugar_g + acid_g
    return mass / mixture.volume_ml(water_g, ethanol_g, sugar_g, acid_g)


def _contraction(ethanol_ml: float, water_ml: float) -> float:
    water_g, ethanol_g = water_ml * ethanol.density(0.0) / 1000.0, ethanol_ml * ethanol.ETHANOL_KG_M3 / 1000.0
    return mixture.volume_ml(water_g, ethanol_g, 0.0)


def _hidden_proof(proof: float) -> float:
    """Degrees of proof that 0.1 g of sugar per 100 ml hides from a hydrometer."""
    ethanol_g = proof / 2.0 * ethanol.ETHANOL_KG_M3 / 1000.0
    water_g = mixture.water_for_volume(100.0, ethanol_g, 0.1)
    density_g_ml = (ethanol_g + water_g + 0.1) / 100.0
    fraction = find_root(lambda p: ethanol.density(p) / 1000.0 - density_g_ml, 0.0, 1.0)
    return proof - 2.0 * ethanol.abv_percent(fraction)


def _molality(mass_percent: float, molar_mass: float) -> float:
    return mass_percent / (100.0 - mass_percent) * 1000.0 / molar_mass


def _freezing_of(solute: str, molar_mass: float) -> Callable[[float], float]:
    def compute(mass_percent: float) -> float:
        alone = {"ethanol_mol_kg": 0.0} | {solute: _molality(mass_percent, molar_mass)}
        return freezing.freezing_point(**alone)

    return compute


def _heat_capacity(mass_percent: float, temperature_c: float) -> float:
    return enthalpy.heat_capacity(mass_percent / 100.0, temperature_c)


def _enthalpy_of_water(temperature_c: float) -> float:
    return enthalpy.liquid_enthalpy(0.0, temperature_c)


def _enthalpy_of_ice(temperature_c: float) -> float:
    """Above liquid water at the triple point, as steam tables have it: 104.92 J/g below their water at 25 °C."""
    return enthalpy.ice_enthalpy(temperature_c) + 104.92


def _enthalpy_of_mixing(mole_percent: float) -> float:
    """Per mole of mixture."""
    ethanol_g, water_g = mole_percent / 100.0 * 46.068, (1.0 - mole_percent / 100.0) * 18.0153
    return enthalpy.mixing_enthalpy(ethanol_g / (ethanol_g + water_g)) * (ethanol_g + water_g)


QUANTITIES = {
    "sucrose_density": Quantity("kg/m3", sucrose.density, (sucrose.density,)),
    "sucrose_brix_from_density": Quantity("°Bx", sucrose.brix_from_density, (sucrose.brix_from_density,)),
    "sucrose_refractive_index": Quantity("", sucrose.refractive_index, (sucrose.refractive_index,)),
    "sucrose_brix_from_refractive_index": Quantity(
        "°Bx", sucrose.brix_from_refractive_index, (sucrose.brix_from_refractive_index,)
    ),
    "sucrose_solubility": Quantity("°Bx", sucrose.solubility, (sucrose.solubility,)),
    "sucrose_solubility_per_100_g_water": Quantity("g/100 g water", _solubility_per_100_g_water, (sucrose.solubility,)),
    "sucrose_freezing_point_depression": Quantity(
        "K", sucrose.freezing_point_depression, (sucrose.freezing_point_depression,)
    ),
    "sucrose_water_activity": Quantity("", sucrose.water_activity, (sucrose.water_activity,)),
    "sucrose_viscosity": Quantity("mPa·s", sucrose.viscosity, (sucrose.viscosity,)),
    "ethanol_density": Quantity("g/cm3", _density_g_cm3, (ethanol.density,)),
    "ethanol_density_old_ml": Quantity("g/ml (old)", _density_old_ml, (ethanol.density,)),
    "ethanol_density_by_abv": Quantity("kg/m3", _density_by_abv, (ethanol.density, ethanol.mass_fraction)),
    "ethanol_mass_percent": Quantity("% by mass", _mass_percent, (ethanol.mass_fraction,)),
    "ethanol_abv_percent": Quantity("% vol", _abv_percent, (ethanol.abv_percent,)),
    "ethanol_abv_percent_60f": Quantity("% vol", _abv_percent_60f, (ethanol.density,)),
    "ethanol_specific_gravity_in_air": Quantity("", _specific_gravity_in_air, (ethanol.density,)),
    "ethanol_freezing_point": Quantity("°C", _freezing_point, (ethanol.freezing_point,)),
    "ethanol_contraction_60f": Quantity("ml", _contraction_60f, (ethanol.density,)),
    "refractometer_temperature_correction": Quantity(
        "°Bx", refractometer.temperature_correction, (refractometer.temperature_correction,)
    ),
    "refractometer_citric_correction": Quantity(
        "°Bx", refractometer.citric_correction, (refractometer.citric_correction,)
    ),
    "refractometer_citric_reading": Quantity(
        "", _citric_index, (refractometer.citric_reading, sucrose.brix_from_refractive_index)
    ),
    "refractometer_invert_solids": Quantity(
        "°Bx", _invert_solids, (refractometer.invert_correction, sucrose.brix_from_refractive_index)
    ),
    "refractometer_glucose_syrup": Quantity(
        "°Bx", sucrose.brix_from_refractive_index, (sucrose.brix_from_refractive_index,)
    ),
    "refractometer_honey_solids": Quantity(
        "°Bx", _invert_strength, (refractometer.invert_correction, sucrose.brix_from_refractive_index)
    ),
    **{
        f"mixture_density_{solute}": Quantity("g/ml", _mixture_density, (mixture.volume_ml,))
        for solute in ("sucrose", "glucose", "fructose", "maltose", "lactose", "ethanol", "citric_acid", "lactic_acid")
    },
    "mixture_contraction": Quantity("ml", _contraction, (mixture.volume_ml,)),
    "mixture_water_for_volume": Quantity("g", mixture.water_for_volume, (mixture.water_for_volume,)),
    "mixture_hidden_proof": Quantity("proof", _hidden_proof, (mixture.water_for_volume, ethanol.abv_percent)),
    "dilution_shaken": Quantity("ml/ml", dilution.shaken, (dilution.shaken,)),
    "dilution_stirred": Quantity("ml/ml", dilution.stirred, (dilution.stirred,)),
    "freezing_glucose": Quantity("°C", _freezing_of("glucose_mol_kg", 180.156), (freezing.freezing_point,)),
    "freezing_fructose": Quantity("°C", _freezing_of("fructose_mol_kg", 180.156), (freezing.freezing_point,)),
    "freezing_citric_acid": Quantity("°C", _freezing_of("citric_mol_kg", 192.123), (freezing.freezing_point,)),
    "enthalpy_heat_capacity": Quantity("J/(g K)", _heat_capacity, (enthalpy.heat_capacity,)),
    "enthalpy_of_water": Quantity("J/g", _enthalpy_of_water, (enthalpy.liquid_enthalpy,)),
    "enthalpy_of_mixing": Quantity("J/mol", _enthalpy_of_mixing, (enthalpy.mixing_enthalpy,)),
    "enthalpy_of_ice": Quantity("J/g", _enthalpy_of_ice, (enthalpy.ice_enthalpy,)),
    "enthalpy_of_melting": Quantity("J/g", enthalpy.latent_heat, (enthalpy.latent_heat,)),
}
