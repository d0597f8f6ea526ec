"""What a drink is made of: water, ethanol, sugars by kind, acids by kind. One row each.

A composition is a tuple of grams over these rows, in this order. Masses add when liquids mix;
volumes and percentages do not, so every computation runs on these tuples.
"""

from __future__ import annotations

from typing import Final, Literal, NamedTuple

Composition = tuple[float, ...]
"""Grams of each row of COMPONENTS, in order."""


class Component(NamedTuple):
    """One row.

    name         as the files write it
    kind         what it counts as
    molar_mass   g/mol; 0 for a mixture
    sweetness    relative to sucrose = 1 by mass: lowest, usual and highest published value
    kcal, kj     per gram; both are rounded factors of the regulation, neither is converted into the other
    as_citric    grams of anhydrous citric acid with the same titratable acidity as one gram
    """

    name: str
    kind: Literal["water", "ethanol", "sugar", "solids", "acid"]
    molar_mass: float
    sweetness: tuple[float, float, float]
    kcal: float
    kj: float
    as_citric: float


def _water() -> Component:
    return Component("water", "water", 18.0153, (0.0, 0.0, 0.0), 0.0, 0.0, 0.0)


def _ethanol() -> Component:
    return Component("ethanol", "ethanol", 46.068, (0.0, 0.0, 0.0), 7.0, 29.0, 0.0)


def _sugar(name: str, molar_mass: float, low: float, usual: float, high: float) -> Component:
    return Component(name, "sugar", molar_mass, (low, usual, high), 4.0, 17.0, 0.0)


def _acid(name: str, molar_mass: float, protons: int) -> Component:
    """An acid of which a titration to pH 8.1 takes up `protons` protons: equivalent mass = molar mass / protons."""
    citric_equivalent = 192.123 / 3
    return Component(name, "acid", molar_mass, (0.0, 0.0, 0.0), 3.0, 13.0, citric_equivalent / (molar_mass / protons))


# Energy: Regulation (EU) No 1169/2011, Annex XIV. Molar masses: standard atomic weights.
# Sweetness: lowest and highest value of docs/reference/sources.md [SWEETNESS]; the usual one is the
# solution value, and for the three weak sugars the middle of the range (our choice).
# Other solids (the part of a strength that is not sugar: gums, oligosaccharides, minerals) are counted
# as carbohydrate for energy, an upper bound, and up to maltodextrin's 0.2 for sweetness.
COMPONENTS: Final[tuple[Component, ...]] = (
    _water(),
    _ethanol(),
    _sugar("sucrose", 342.2965, 1.0, 1.0, 1.0),
    _sugar("glucose", 180.156, 0.69, 0.70, 0.80),
    _sugar("fructose", 180.156, 1.14, 1.20, 1.80),
    _sugar("maltose", 342.2965, 0.30, 0.38, 0.46),
    _sugar("galactose", 180.156, 0.30, 0.465, 0.63),
    _sugar("lactose", 342.2965, 0.15, 0.27, 0.39),
    Component("other solids", "solids", 0.0, (0.0, 0.0, 0.2), 4.0, 17.0, 0.0),
    _acid("citric", 192.123, 3),
    _acid("malic", 134.088, 2),
    _acid("tartaric", 150.087, 2),
    _acid("lactic", 90.078, 1),
    _acid("acetic", 60.052, 1),
    _acid("succinic", 118.088, 2),
    _acid("quinic", 192.167, 1),
    _acid("ascorbic", 176.124, 1),
    # Phosphoric acid gives up 1.9 of its three protons at pH 8.1; two are counted, as is usual.
    # It is not an organic acid, so the regulation gives it no energy.
    _acid("phosphoric", 97.995, 2)._replace(kcal=0.0, kj=0.0),
)

INDEX: Final = {component.name: index for index, component in enumerate(COMPONENTS)}
WATER: Final = INDEX["water"]
ETHANOL: Final = INDEX["ethanol"]
OTHER_SOLIDS: Final = INDEX["other solids"]
SUGARS: Final = tuple(component.name for component in COMPONENTS if component.kind == "sugar")
ACIDS: Final = tuple(component.name for component in COMPONENTS if component.kind == "acid")

# The rows of a kind stand together, so that sums over a kind are sums over a slice.
SUGAR_SLICE: Final = slice(INDEX[SUGARS[0]], INDEX[SUGARS[-1]] + 1)
ACID_SLICE: Final = slice(INDEX[ACIDS[0]], INDEX[ACIDS[-1]] + 1)
NOTHING: Final[Composition] = (0.0,) * len(COMPONENTS)

_AS_CITRIC: Final = tuple(component.as_citric for component in COMPONENTS[ACID_SLICE])
_KCAL: Final = tuple(component.kcal for component in COMPONENTS)
_KJ: Final = tuple(component.kj for component in COMPONENTS)


StandardDrink = Literal["us", "uk", "au", "ca", "ie", "nz", "who"]

STANDARD_DRINK_G: Final[dict[StandardDrink, float]] = {
    "us": 14.0,  # [NIAAA] about 14 g, 0.6 US fl oz of pure alcohol
    "uk": 8.0,  # [NHS] a unit is 8 g or 10 ml of pure alcohol
    "au": 10.0,  # [NHMRC]
    "ca": 13.45,  # [CCSA] 17.05 ml or 13.45 g
    "ie": 10.0,  # [HSE]
    "nz": 10.0,  # [HNZ]
    "who": 10.0,  # [AUDIT] the questionnaire's own figure
}
"""What countries call one standard drink, in grams of ethanol. Counts, not advice: local guidance decides."""


def composition(grams: dict[str, float]) -> Composition:
    """A composition from grams by component name; what is not named is 0 g."""
    row = list(NOTHING)
    for name, mass in grams.items():
        row[INDEX[name]] = mass
    return tuple(row)


def add_scaled(total: Composition, factor: float, part: Composition) -> Composition:
    """total + factor * part, component by component."""
    return tuple([a + factor * b for a, b in zip(total, part, strict=True)])


def scale(factor: float, part: Composition) -> Composition:
    """factor * part, component by component."""
    return tuple([factor * b for b in part])


def with_water(grams: Composition, water_g: float) -> Composition:
    """A composition with more water in it, g."""
    return (*grams[:WATER], grams[WATER] + water_g, *grams[WATER + 1 :])


def sugar_g(grams: Composition) -> float:
    """All sugars, in grams."""
    return sum(grams[SUGAR_SLICE])


def acid_as_citric_g(grams: Composition) -> float:
    """Titratable acidity in grams of anhydrous citric acid."""
    return sum([mass * factor for mass, factor in zip(grams[ACID_SLICE], _AS_CITRIC, strict=True) if mass], 0.0)


def titratable(grams: dict[str, float]) -> tuple[float, dict[str, float]]:
    """Grams of anhydrous citric acid that titrate like grams of each acid itself, and the share each has in that.

    grams  by acid, more than nothing in all

    >>> titratable({"citric": 10.0})
    (10.0, {'citric': 1.0})
    """
    parts = {name: mass * COMPONENTS[INDEX[name]].as_citric for name, mass in grams.items()}
    whole = sum(parts.values())
    return whole, {name: part / whole for name, part in parts.items()}


def acid_mass_g(grams: Composition) -> float:
    """The acids themselves, in grams."""
    return sum(grams[ACID_SLICE])


def energy_kcal(grams: Composition) -> float:
    """Energy in kcal by the factors of Regulation (EU) No 1169/2011, Annex XIV."""
    return sum([mass * factor for mass, factor in zip(grams, _KCAL, strict=True) if mass], 0.0)


def energy_kj(grams: Composition) -> float:
    """Energy in kJ by the factors of Regulation (EU) No 1169/2011, Annex XIV."""
    return sum([mass * factor for mass, factor in zip(grams, _KJ, strict=True) if mass], 0.0)
