"""Ingredients and syrups as liquids: grams of each component in a gram and in a millilitre."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Final, Literal

from balancer.components import COMPONENTS, INDEX, Composition, acid_as_citric_g, composition, scale, sugar_g
from balancer.engine.drink.instrument import inverted_fraction, strength_from_reading
from balancer.errors import CannotError, OutOfRangeError
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from balancer.properties import mixture, sucrose
from balancer.properties.ethanol import ETHANOL_KG_M3
from balancer.units import Quantity

ETHANOL_G_PER_ML: Final = ETHANOL_KG_M3 / 1000.0
"""Grams of ethanol in a millilitre of it at 20 °C, the temperature at which % vol is defined."""

CRYSTAL_G_PER_ML: Final = 1.588
"""Sucrose, undissolved (CRC Handbook of Chemistry and Physics)."""

Content = Literal["sugar", "acid", "abv"]
"""What a file may leave unknown of a liquid, so that sums over it are lower bounds."""

MOST_ALCOHOL_READ: Final = 1.0
"""Above this % vol a reading of a refractometer says nothing about sugar."""

_ROUNDING: Final = 1e-9
_LEAST_ML_PER_G: Final = 0.5
"""Below the volume of a gram of anything that is dissolved in water."""


@dataclass(frozen=True, slots=True)
class Liquid:
    """Something that can be poured or weighed.

    per_g          grams of each component in one gram
    density        g/ml at 20 °C; None when it can only be weighed
    sugar_unknown  its sugar is not known, so per_g holds none of it, or the least that it can be
    abv_unknown    its ABV is not known, so per_g holds no ethanol
    acid_unknown   its acid is not known, so per_g holds none of it, or the least that it can be
    least          where its ABV is unknown and its sugar or acid is told by weight, nobody knows what a ml of it
                   weighs: the same liquid with the least sugar and acid that a ml can hold
    allergens      as the house lists them; None when it does not say
    allergens_unknown  something in it has no list, whatever allergens names
    cautions       to be said with it
    is_top         goes into the glass after the ice
    melts          ice, all of which melts
    each           what one of its own units holds
    parts          the rows of per_g that are not zero, with their places: most liquids have three
    sugar_per_g    grams of sugar in one gram
    unknown        what its file does not say
    """

    id: str
    name: str
    per_g: Composition
    density: float | None
    sugar_unknown: bool = False
    allergens: tuple[str, ...] | None = None
    cautions: tuple[str, ...] = ()
    is_top: bool = False
    melts: bool = False
    abv_unknown: bool = False
    acid_unknown: bool = False
    least: Liquid | None = None
    each: dict[str, Quantity] = field(default_factory=dict)
    part_unlisted: bool = False
    parts: tuple[tuple[int, float], ...] = field(init=False)
    sugar_per_g: float = field(init=False)
    unknown: tuple[Content, ...] = field(init=False)

    def __post_init__(self) -> None:
        flags: tuple[tuple[Content, bool], ...] = (
            ("sugar", self.sugar_unknown),
            ("acid", self.acid_unknown),
            ("abv", self.abv_unknown),
        )
        object.__setattr__(self, "unknown", tuple([what for what, is_unknown in flags if is_unknown]))
        object.__setattr__(self, "parts", tuple((row, grams) for row, grams in enumerate(self.per_g) if grams))
        object.__setattr__(self, "sugar_per_g", sugar_g(self.per_g))

    @property
    def allergens_unknown(self) -> bool:  # noqa: D102 - above
        return self.allergens is None or self.part_unlisted

    @property
    def per_ml(self) -> Composition | None:
        """Grams of each component in one millilitre at 20 °C; None when it can only be weighed."""
        return scale(self.density, self.per_g) if self.density else None

    @property
    def sugar_g_per_kg(self) -> float:
        """Grams of sugar in a kilogram."""
        return 1000.0 * self.sugar_per_g

    @property
    def acid_g_per_kg(self) -> float:
        """Titratable acidity in a kilogram, in g of anhydrous citric acid."""
        return 1000.0 * self.acid_per_g

    @property
    def acid_per_g(self) -> float:
        """Titratable acidity in a gram, in g of anhydrous citric acid."""
        return acid_as_citric_g(self.per_g)

    @property
    def acid_g_per_ml(self) -> float:
        """Titratable acidity in a millilitre, in g of anhydrous citric acid; 0 when it can only be weighed."""
        return self.density * acid_as_citric_g(self.per_g) if self.density else 0.0

    @property
    def sugar_g_per_ml(self) -> float:
        """Grams of sugar in a millilitre; 0 when it can only be weighed."""
        return self.density * self.sugar_per_g if self.density else 0.0


def ingredient_liquid(ingredient: Ingredient) -> Liquid:
    """An ingredient from its ABV, sugar, acid and density; what else it weighs is water.

    Raises CannotError or OutOfRangeError when they leave no room for the water they need.
    """
    sugar = _per_gram_and_per_ml(ingredient.sugar)
    acid = _per_gram_and_per_ml(ingredient.acid)
    parts = _Parts(
        ethanol_g_per_ml=ETHANOL_G_PER_ML * (ingredient.abv or 0.0) / 100.0,
        solids_g_per_g=sugar[0],
        solids_g_per_ml=sugar[1],
        acid_g_per_g=acid[0],
        acid_g_per_ml=acid[1],
        sugar_kinds=ingredient.sugars or {"sucrose": 1.0},
        acid_kinds=ingredient.acids or {"citric": 1.0},
    )
    per_g, density = _by_weight_and_volume(parts, ingredient.density, ingredient.name)
    found = Liquid(
        id=ingredient.id,
        name=ingredient.name,
        per_g=per_g,
        density=None if ingredient.melts else density,  # nobody pours ice by the ml
        sugar_unknown=ingredient.sugar is None,
        allergens=ingredient.allergens,
        cautions=ingredient.cautions,
        is_top=ingredient.top,
        melts=ingredient.melts,
        abv_unknown=ingredient.abv is None,
        acid_unknown=ingredient.acid is None,
        each=ingredient.each,
    )
    is_unsure = ingredient.abv is None and ingredient.density is None and found.density and (sugar[0] or acid[0])
    return replace(found, least=_least(found, parts)) if is_unsure else found


def _least(liquid: Liquid, parts: _Parts) -> Liquid:
    """A liquid of unknown ABV with the least sugar and acid in a ml: as if everything else in it were ethanol.

    Volumes add up as if unmixed: mixing only shrinks, so nothing with this much in a gram fills more.
    """
    solids, acid = parts.solids_g_per_g, parts.acid_g_per_g
    density = 1.0 / (max(1.0 - solids - acid, 0.0) / ETHANOL_G_PER_ML + (solids + acid) / CRYSTAL_G_PER_ML)
    by_volume = replace(
        parts,
        solids_g_per_g=0.0,
        solids_g_per_ml=parts.solids_g_per_ml + solids * density,
        acid_g_per_g=0.0,
        acid_g_per_ml=parts.acid_g_per_ml + acid * density,
    )
    per_g, density_found = _by_weight_and_volume(by_volume, None, liquid.name)
    return replace(
        liquid,
        per_g=per_g,
        density=density_found,
        sugar_unknown=liquid.sugar_unknown or solids > 0.0,
        acid_unknown=liquid.acid_unknown or acid > 0.0,
    )


def syrup_liquid(syrup: Syrup, brix: float) -> Liquid:
    """A syrup at a strength, in °Bx. Its acid stays as the file states it, whatever the strength.

    Raises CannotError or OutOfRangeError when solids, acid and alcohol leave no room for the water they need.
    """
    share = syrup.sugar_share / 100.0
    kinds = {name: share * part for name, part in (syrup.sugars or {"sucrose": 1.0}).items()}
    acid = _per_gram_and_per_ml(syrup.acid)
    parts = _Parts(
        ethanol_g_per_ml=ETHANOL_G_PER_ML * syrup.abv / 100.0,
        solids_g_per_g=brix / 100.0,
        solids_g_per_ml=0.0,
        acid_g_per_g=acid[0],
        acid_g_per_ml=acid[1],
        sugar_kinds=kinds | ({"other solids": 1.0 - share} if share < 1.0 else {}),
        acid_kinds=syrup.acids or {"citric": 1.0},
    )
    per_g, density = _by_weight_and_volume(parts, None, syrup.name)
    if density is None:
        raise CannotError("impossible", f"nothing tells what a ml of {syrup.name} weighs", "give it a lower standard")
    return Liquid(
        syrup.id,
        syrup.name,
        per_g,
        density,
        allergens=syrup.allergens,
        cautions=syrup.cautions,
        part_unlisted=syrup.allergens_unknown,
    )


def standard_strength(syrup: Syrup) -> float:
    """The strength in °Bx that the syrup's specs are written for.

    Raises CannotError when it is not given, or is given as a reading that alcohol makes meaningless.
    """
    if syrup.standard is not None:
        return syrup.standard
    if syrup.standard_reading is None:
        raise CannotError("standard", f"{syrup.name} has no standard", 'write "standard: 50 °Bx" in its file')
    if syrup.abv > MOST_ALCOHOL_READ:
        raise CannotError(
            "alcohol-reading",
            f"{syrup.name} has {syrup.abv:g} % vol, and alcohol reads like sugar",
            'give its strength by weight, like "standard: 50 °Bx"',
        )
    inverted = inverted_fraction(syrup)
    reading = syrup.standard_reading
    strength = strength_from_reading(reading, 0.0, inverted)
    if syrup.acid is None or syrup.acid.value == 0:
        return strength
    acid_per_g, acid_per_ml = _per_gram_and_per_ml(syrup.acid)
    # Acid in g/l needs the density, which needs the strength: three turns settle it far below 0.01 °Bx.
    for _ in range(3 if acid_per_ml else 1):
        ml_per_g = 1000.0 / sucrose.density(strength)
        strength = strength_from_reading(reading, 100.0 * (acid_per_g + acid_per_ml * ml_per_g), inverted)
    return strength


@dataclass(frozen=True, slots=True)
class _Parts:
    """What a liquid holds besides water, per gram or per millilitre of it, as its file says."""

    ethanol_g_per_ml: float
    solids_g_per_g: float
    solids_g_per_ml: float
    acid_g_per_g: float
    acid_g_per_ml: float
    sugar_kinds: dict[str, float]
    acid_kinds: dict[str, float]

    @property
    def grams_in_a_ml(self) -> tuple[float, float, float]:
        """Ethanol, solids and acid mass that are stated by volume, in one millilitre."""
        return self.ethanol_g_per_ml, self.solids_g_per_ml, self.acid_g_per_ml * self._acid_mass_per_citric

    @property
    def _acid_mass_per_citric(self) -> float:
        """Grams of its acids with the titratable acidity of one gram of citric acid."""
        return sum(share / COMPONENTS[INDEX[name]].as_citric for name, share in self.acid_kinds.items())

    def grams(self, ml_per_g: float) -> tuple[float, float, float]:
        """Ethanol, solids and acid mass in one gram, when a gram fills ml_per_g."""
        acid = self.acid_g_per_g + self.acid_g_per_ml * ml_per_g
        return (
            self.ethanol_g_per_ml * ml_per_g,
            self.solids_g_per_g + self.solids_g_per_ml * ml_per_g,
            acid * self._acid_mass_per_citric,
        )

    def composition(self, ml_per_g: float, name: str) -> Composition:
        """Grams of each component in one gram."""
        ethanol, solids, _ = self.grams(ml_per_g)
        acid = self.acid_g_per_g + self.acid_g_per_ml * ml_per_g
        found = {"ethanol": ethanol}
        found |= {kind: solids * share for kind, share in self.sugar_kinds.items()}
        found |= {kind: acid * share / COMPONENTS[INDEX[kind]].as_citric for kind, share in self.acid_kinds.items()}
        water = 1.0 - sum(found.values())
        if water < -_ROUNDING:
            raise CannotError(
                "impossible", f"alcohol, sugar and acid weigh more than {name} does", "check them against the label"
            )
        return composition(found | {"water": max(water, 0.0)})


def _per_gram_and_per_ml(amount: Quantity | None) -> tuple[float, float]:
    """A concentration as grams in a gram or grams in a millilitre; the other one is 0."""
    if amount is None:
        return 0.0, 0.0
    return (amount.value / 1000.0, 0.0) if amount.unit == "g/kg" else (0.0, amount.value / 1000.0)


def _by_weight_and_volume(parts: _Parts, density: float | None, name: str) -> tuple[Composition, float | None]:
    """Grams of each component in a gram, and g/ml: as stated, by the volume model, or None when neither tells."""
    if density is None:
        try:
            density = 1.0 / _settle(parts, name)
        except OutOfRangeError:
            # Dry sugar and the like: fully described by weight, and no volume model holds for it.
            if any(parts.grams_in_a_ml):
                raise
    return parts.composition(1.0 / density if density else 0.0, name), density


def _volume_of_a_gram(parts: _Parts, ml_per_g: float, name: str) -> float:
    ethanol, solids, acid = parts.grams(ml_per_g)
    water = 1.0 - ethanol - solids - acid
    if water < -_ROUNDING:
        raise CannotError(
            "impossible", f"alcohol, sugar and acid leave no room for water in {name}", "check them against the label"
        )
    return mixture.volume_ml(max(water, 0.0), ethanol, solids, acid)


def _settle(parts: _Parts, name: str) -> float:
    """The volume of a gram that agrees with itself.

    What is stated per millilitre changes the mass in a gram, which changes its volume. From a volume
    that is too small, where there is too much water, every turn comes nearer and none passes the answer:
    a gram of sugar or acid fills at most 0.41 ml less than the water it displaces, ethanol fills more.
    So a strong syrup is never asked to be stronger than it is.
    """
    _, solids, acid = parts.grams_in_a_ml
    step = 1.0 / (1.0 + 0.41 * (solids + acid))
    ml_per_g = _LEAST_ML_PER_G
    for _ in range(200):
        change = step * (_volume_of_a_gram(parts, ml_per_g, name) - ml_per_g)
        ml_per_g += change
        if abs(change) < 1e-14:
            break
    return ml_per_g
