"""The accuracies that the formulas state, against the prints they are about."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from tests.reference import Row
from tests.validation.outside import published


class Claim(NamedTuple):
    """An accuracy that a formula states in docs/reference/formulas.md, and the rows that it is about.

    limit    with half a digit more where the claim is rounded
    times    from the table's unit to that of the claim; relative: in %
    """

    formula: str
    said: str
    stem: str
    source: str
    limit: float
    low: float = float("-inf")
    high: float = float("inf")
    relative: bool = False
    times: float = 1.0

    @property
    def number(self) -> float:
        """The first number that it says."""
        found = re.search(r"[\d.]+(?:e-?\d+)?", self.said)
        assert found is not None, self.said
        return float(found[0])

    def verdict(self) -> str:
        """Whether it holds as it stands, only to half of its last digit, or not."""
        found = self.found()
        return "yes" if found <= self.number * (1.0 + 1e-9) else "rounded" if found <= self.limit else "**no**"

    def rows(self) -> list[Row]:
        """The rows between low and high of the first input."""
        return [
            row
            for row in published()
            if row.stem == self.stem
            and row.source == self.source
            and row.use == "check"
            and self.low <= next(iter(row.inputs.values())) <= self.high
        ]

    def found(self) -> float:
        """The largest deviation among them, in the unit of the claim."""
        return max(
            abs(row.deviation()) * (100.0 / abs(float(row.expected)) if self.relative else self.times)
            for row in self.rows()
        )


CLAIMS: Final = (
    Claim("sucrose.density", "0.16 kg/m³ to 50 °Bx", "sucrose_density", "CRC", 0.16, high=50.0),
    Claim("sucrose.density", "0.16 kg/m³ to 50 °Bx", "sucrose_density", "TORUN", 0.16, high=50.0),
    Claim("sucrose.density", "0.3 kg/m³ at 70", "sucrose_density", "CRC", 0.35, high=70.0),
    Claim("sucrose.density", "0.3 kg/m³ at 70", "sucrose_density", "NBS-C440", 0.35, high=70.0),
    Claim("sucrose.density", "0.8 kg/m³ at 84", "sucrose_density", "CRC", 0.85),
    Claim("sucrose.brix_from_density", "0.04 °Bx to 50", "sucrose_brix_from_density", "CRC", 0.04, high=1229.7),
    Claim("sucrose.brix_from_density", "0.04 °Bx to 50", "sucrose_brix_from_density", "TORUN", 0.04, high=1229.7),
    Claim("sucrose.brix_from_density", "0.1 °Bx at 70", "sucrose_brix_from_density", "CRC", 0.1, high=1348.0),
    Claim("sucrose.refractive_index", "6e-6", "sucrose_refractive_index", "ICUMSA1974", 6.5e-6),
    Claim(
        "sucrose.brix_from_refractive_index", "0.004 °Bx", "sucrose_brix_from_refractive_index", "ICUMSA1974", 0.0045
    ),
    Claim("sucrose.freezing_point_depression", "0.007 K", "sucrose_freezing_point_depression", "CRC", 0.007),
    Claim("sucrose.solubility", "0.12 °Bx", "sucrose_solubility", "SUCROSE-PAGE", 0.125),
    Claim("sucrose.viscosity", "6 %", "sucrose_viscosity", "CRC", 6.0, relative=True),
    Claim("sucrose.viscosity", "6 %", "sucrose_viscosity", "BINGHAM", 6.0, relative=True),
    Claim("sucrose.water_activity", "0.0008", "sucrose_water_activity", "ROBINSON", 0.0008),
    Claim("ethanol.density", "0.08 kg/m³", "ethanol_density_old_ml", "NBS-ETHANOL", 0.08, times=1000.0),
    Claim("ethanol.density", "0.3 kg/m³", "ethanol_density", "CRC", 0.3, times=1000.0),
    Claim("ethanol.density", "0.7 kg/m³", "ethanol_density", "MELINDER", 0.7, times=1000.0),
    Claim("ethanol.abv_percent", "0.01 % vol", "ethanol_abv_percent_60f", "USP", 0.01),
    Claim("ethanol.abv_percent", "0.1 % vol, rounded columns", "ethanol_abv_percent", "PHARMACY", 0.1),
    Claim("ethanol.abv_percent", "0.1 % vol, rounded columns", "ethanol_abv_percent", "LANGE", 0.105),
    Claim("ethanol.mass_fraction", "0.0001 kg/kg", "ethanol_mass_percent", "ALCOHOL-TABLE", 0.0001, times=0.01),
    Claim(
        "ethanol.mass_fraction", "0.0009 kg/kg, rounded columns", "ethanol_mass_percent", "PHARMACY", 0.0009, times=0.01
    ),
    Claim(
        "ethanol.mass_fraction", "0.0009 kg/kg, rounded columns", "ethanol_mass_percent", "LANGE", 0.0009, times=0.01
    ),
    Claim("ethanol.freezing_point", "0.08 K", "ethanol_freezing_point", "CRC", 0.08),
    Claim("ethanol.freezing_point", "0.35 K", "ethanol_freezing_point", "MELINDER", 0.35),
    Claim("refractometer.citric_correction", "0.016 °Bx", "refractometer_citric_correction", "CITRUS", 0.0165),
    Claim("refractometer.citric_reading", "0.0005", "refractometer_citric_reading", "CRC", 0.0005),
    Claim("refractometer.invert_correction", "0.03 °Bx to 48 °Bx", "refractometer_invert_solids", "CRC", 0.03),
    Claim("refractometer.invert_correction", "0.12 °Bx of honey", "refractometer_honey_solids", "HONEY", 0.12),
    Claim(
        "mixture.volume_ml", "glucose: 0.4 % at 40 °Bx", "mixture_density_glucose", "CRC", 0.45, low=60.0, relative=True
    ),
    Claim("mixture.volume_ml", "glucose: 0.6 % at 60", "mixture_density_glucose", "CRC", 0.65, relative=True),
    Claim("mixture.volume_ml", "fructose: 0.1 %", "mixture_density_fructose", "CRC", 0.1, relative=True),
    Claim("mixture.volume_ml", "maltose: 0.1 %", "mixture_density_maltose", "CRC", 0.1, relative=True),
    Claim("mixture.volume_ml", "lactose: 0.25 %", "mixture_density_lactose", "CRC", 0.25, relative=True),
    Claim("enthalpy.heat_capacity", "1.2 %", "enthalpy_heat_capacity", "MELINDER", 1.2, relative=True),
    Claim("enthalpy.heat_capacity", "0.7 %", "enthalpy_heat_capacity", "PERRY", 0.7, relative=True),
    Claim("enthalpy.liquid_enthalpy", "0.1 J/g", "enthalpy_of_water", "IAPWS95", 0.1),
    Claim("enthalpy.ice_enthalpy", "0.1 J/g", "enthalpy_of_ice", "IAPWS06", 0.1),
    Claim("enthalpy.latent_heat", "0.1 J/g", "enthalpy_of_melting", "IAPWS06", 0.1),
    Claim("enthalpy.mixing_enthalpy", "5 %", "enthalpy_of_mixing", "MIXING-25", 5.0, relative=True),
    Claim("freezing.freezing_point", "0.08 K", "freezing_glucose", "CRC", 0.08),
    Claim("freezing.freezing_point", "0.08 K", "freezing_fructose", "CRC", 0.08),
    Claim("freezing.freezing_point", "0.08 K", "freezing_citric_acid", "CRC", 0.08),
)
