"""Where ice begins to form in a drink: water with ethanol, sugars, acid and other particles together.

All solutes share all the water, so their depressions of the freezing point add, each taken at its own
molality in the whole of the water. No table of measured freezing points with ethanol and sugar together was
found; the error stated for drinks is judged. Molalities are mol per kg of water.
"""

from __future__ import annotations

from typing import Final

from balancer.numerics import polynomial
from balancer.properties import ethanol, sucrose
from balancer.properties._limits import Limits

IDEAL_K_KG_PER_MOL: Final = 1.8597
"""Depression per mol of particles and kg of water, in the limit of none of them: water's own constant."""

# Our fits to [CRC] in powers of the molality, with the ideal slope. Ethanol and sucrose have their own fits.
_GLUCOSE: Final = (0.0, 1.8597, 1.8597 * 0.02576, 1.8597 * 0.005809)
_FRUCTOSE: Final = (0.0, 1.8597, 1.8597 * 0.02039, 1.8597 * 0.001682)
_CITRIC: Final = (0.0, 1.8597, 1.8597 * 0.06951)

_ETHANOL_KG_PER_MOL: Final = 0.046068
_SUCROSE_KG_PER_MOL: Final = 0.3422965

_WEAKER: Final = "add water: nothing stronger was fitted"
_LIMITS: Final = tuple(
    Limits(f"{name} in the water", 0.0, high, "mol/kg", "CRC", _WEAKER)
    for name, high in (
        ("ethanol", 9.3),
        ("sucrose", 2.1),
        ("glucose", 2.4),
        ("fructose", 2.2),
        ("citric acid", 1.0),
        ("other particles", 0.5),
    )
)


def freezing_point(
    ethanol_mol_kg: float,
    sucrose_mol_kg: float = 0.0,
    glucose_mol_kg: float = 0.0,
    fructose_mol_kg: float = 0.0,
    citric_mol_kg: float = 0.0,
    other_mol_kg: float = 0.0,
) -> float:
    """Temperature at which ice begins to form in a drink, in °C.

    ethanol_mol_kg   ethanol, mol per kg of all the water
    sucrose_mol_kg   sucrose, and other sugars of two rings, mol/kg
    glucose_mol_kg   glucose and galactose, mol/kg
    fructose_mol_kg  fructose, mol/kg
    citric_mol_kg    citric acid, mol/kg
    other_mol_kg     other acids, and salts as particles, mol/kg; counted as ideal
    Source:    fits to [CRC] in powers of each molality; adding them is a choice, see the module
    Range:     ethanol 0 to 9.3 mol/kg (37 % vol), sucrose 0 to 2.1 mol/kg, glucose 0 to 2.4 mol/kg,
               fructose 0 to 2.2 mol/kg, citric acid 0 to 1 mol/kg, other 0 to 0.5 mol/kg
    Accuracy:  one solute: 0.08 K against [CRC]. Drinks: (judged) 0.4 K, 0.35 of it between published tables
               for ethanol, the rest for what sugar and ethanol do to each other
    Raises:    OutOfRangeError

    >>> round(freezing_point(0.0, glucose_mol_kg=0.98), 2)  # [CRC] 15 % glucose
    -1.88
    """
    molalities = (ethanol_mol_kg, sucrose_mol_kg, glucose_mol_kg, fructose_mol_kg, citric_mol_kg, other_mol_kg)
    for limits, molality in zip(_LIMITS, molalities, strict=True):
        limits.check(molality)
    spirit, syrup = ethanol_mol_kg * _ETHANOL_KG_PER_MOL, sucrose_mol_kg * _SUCROSE_KG_PER_MOL
    return (
        ethanol.freezing_point(spirit / (1.0 + spirit))
        - sucrose.freezing_point_depression(100.0 * syrup / (1.0 + syrup))
        - polynomial(_GLUCOSE, glucose_mol_kg)
        - polynomial(_FRUCTOSE, fructose_mol_kg)
        - polynomial(_CITRIC, citric_mol_kg)
        - IDEAL_K_KG_PER_MOL * other_mol_kg
    )
