"""What one drink holds, before ice and in the glass."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple, get_args

from balancer.brief import brief
from balancer.components import (
    ETHANOL,
    NOTHING,
    OTHER_SOLIDS,
    STANDARD_DRINK_G,
    WATER,
    Composition,
    acid_as_citric_g,
    acid_mass_g,
    energy_kcal,
    energy_kj,
    scale,
    sugar_g,
)
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.cautions import DrinkCaution, drink_cautions
from balancer.engine.drink.dilution import Dilution, dilution_of
from balancer.engine.drink.liquid import CRYSTAL_G_PER_ML, ETHANOL_G_PER_ML, Content, Liquid
from balancer.models.drink import Drink
from balancer.models.ingredient import own_unit
from balancer.models.pour import RINSE, Pour
from balancer.models.syrup import Syrup
from balancer.properties import ethanol, mixture

# The volume model holds for up to 85 g of sugar to 15 g of water; a cube in a few dashes has less water.
# What it has too little for counts as crystals.
_SUGAR_PER_WATER: Final = 85.0 / 15.0

_NO_MATTER: Final = 0.03
"""Up to this share of a mix, whatever its strength, moves the melt by no more than the relation's own ± (judged)."""

FOOTER_ML: Final = 2.5
"""Unknown sugar in a pour up to this many ml cannot move a drink; it is named, and no sum is marked for it."""


class Contribution(NamedTuple):
    """One pour: its place in the spec, what it is, its amount, and what it brings, in g."""

    pour: Pour
    liquid: Liquid
    volume_ml: float | None
    mass_g: float
    is_top: bool

    def repoured(self, liquid: Liquid, volume_ml: float) -> Contribution:
        """The same pour of the liquid as it is now, in another amount."""
        return self._replace(liquid=liquid, volume_ml=volume_ml, mass_g=volume_ml * (liquid.density or 0.0))

    @property
    def is_small(self) -> bool:
        """Whether it is a rinse, or so little that unknown sugar in it cannot move the drink."""
        return (self.mass_g if self.volume_ml is None else self.volume_ml) <= FOOTER_ML

    @property
    def fills_unknown(self) -> bool:
        """Whether nobody knows what it fills: it is weighed, and its alcohol or sugar is unknown."""
        liquid = self.liquid
        if self.is_small or not (liquid.abv_unknown or liquid.sugar_unknown):
            return False
        size = own_unit(liquid.each, self.pour.amount.unit) if liquid.each else None
        return (size or self.pour.amount).kind == "mass"

    @property
    def grams(self) -> Composition:
        """What it brings of each component, in g."""
        return scale(self.mass_g, self.liquid.per_g)

    @property
    def water_g(self) -> float:
        """Water it brings, in g."""
        return self.grams[WATER]

    @property
    def ethanol_g(self) -> float:
        """Ethanol it brings, in g."""
        return self.grams[ETHANOL]

    @property
    def sugar_g(self) -> float:
        """Sugar it brings, in g."""
        return self.mass_g * self.liquid.sugar_per_g

    @property
    def acid_g(self) -> float:
        """Titratable acidity it brings, in g of anhydrous citric acid."""
        return acid_as_citric_g(self.grams)


class Unknown(NamedTuple):
    """Something the files do not say. small: it cannot move the drink's sums."""

    ingredient: str
    name: str
    what: Content | Literal["allergens", "amount"]
    small: bool


class WrittenFor(NamedTuple):
    """A syrup that a drink pours, the strength its pour is written for, and the syrup's standard, both in °Bx."""

    syrup: Syrup
    brix: float
    standard_brix: float


@dataclass(frozen=True, slots=True)
class Filled:
    """A volume as the volume model builds it.

    spirit_g, spirit_g_per_ml      water and ethanol together, as the spirit they make
    dissolved_g, dissolved_ml_per_g  dissolved solids, and what a gram of them takes up in the water
    acid_g, crystals_g             acids, and sugar that found no water
    """

    spirit_g: float
    spirit_g_per_ml: float
    dissolved_g: float
    dissolved_ml_per_g: float
    acid_g: float
    crystals_g: float


class State(NamedTuple):
    """A liquid as a whole: grams by component, ml at 20 °C, % vol."""

    grams: Composition
    volume_ml: float
    abv_percent: float

    @property
    def sugar_g(self) -> float:
        """All its sugar, in g."""
        return sugar_g(self.grams)

    @property
    def acid_g(self) -> float:
        """Its titratable acidity, in g of anhydrous citric acid."""
        return acid_as_citric_g(self.grams)

    @property
    def ethanol_g(self) -> float:
        """Its ethanol, in g."""
        return self.grams[ETHANOL]

    @property
    def mass_g(self) -> float:
        """All of it, in g."""
        return sum(self.grams)

    @property
    def filled(self) -> Filled:
        """What fills its volume, part by part."""
        spirit_g = self.grams[WATER] + self.grams[ETHANOL]
        spirit_density = ethanol.density(self.grams[ETHANOL] / spirit_g) / 1000.0 if spirit_g else 1.0
        dissolved_g, crystals_g = _dissolved_and_crystals(self.grams)
        acid_g = acid_mass_g(self.grams)
        rest = self.volume_ml - acid_g * mixture.ACID_ML_PER_G - crystals_g / CRYSTAL_G_PER_ML
        ml_per_g = (rest - spirit_g / spirit_density) / dissolved_g if dissolved_g else 0.0
        return Filled(spirit_g, spirit_density, dissolved_g, ml_per_g, acid_g, crystals_g)


@dataclass(frozen=True, slots=True)
class Glass:
    """A drink before ice and in the glass.

    mix         everything that meets the ice
    served      the mix, its dilution water and the tops; None when the dilution is unknown
    everything  grams by component of all that is poured, tops included, without dilution water
    unknown     what the files do not say of it; sums run over the known part
    """

    mix: State
    dilution: Dilution
    served: State | None
    everything: Composition
    unknown: tuple[Unknown, ...]

    def is_least(self, what: Content) -> bool:
        """Whether a sum is a lower bound, because a pour that matters does not say how much of it it holds."""
        return is_least(self.unknown, what)

    @property
    def energy_is_least(self) -> bool:
        """Whether its energy is a lower bound."""
        return any(self.is_least(what) for what in get_args(Content))

    @property
    def sugar_g(self) -> float:
        """Known sugar in the glass, in g."""
        return sugar_g(self.everything)

    @property
    def acid_g(self) -> float:
        """Titratable acidity in the glass, in g of anhydrous citric acid."""
        return acid_as_citric_g(self.everything)

    @property
    def ethanol_g(self) -> float:
        """Ethanol in the glass, in g."""
        return self.everything[ETHANOL]

    @property
    def as_drunk(self) -> State:
        """The served drink; the mix, when nothing tells the dilution."""
        return self.served or self.mix


@dataclass(frozen=True, slots=True)
class Totals(Glass):
    """One drink worked out.

    standard_drink_g  ethanol in what the house's country calls one standard drink, g
    allergens         named by the house for any of its pours, sorted; unknown ones are in `unknown`
    written_for       its syrups whose pours are written for another strength than their standard
    """

    drink: Drink
    contributions: tuple[Contribution, ...]
    standard_drink_g: float
    allergens: tuple[str, ...]
    written_for: tuple[WrittenFor, ...]

    __repr__ = brief

    @property
    def kcal(self) -> float:
        """Known energy in the glass, in kcal."""
        return energy_kcal(self.everything)

    @property
    def kj(self) -> float:
        """Known energy in the glass, in kJ."""
        return energy_kj(self.everything)

    @property
    def standard_drinks(self) -> float:
        """The house's standard drinks in the glass."""
        return self.ethanol_g / self.standard_drink_g

    @property
    def sugar_g_per_100ml(self) -> float | None:
        """Known sugar in 100 ml of the served drink, in g; None when its volume is unknown."""
        return self._per_100ml(self.sugar_g)

    @property
    def acid_g_per_100ml(self) -> float | None:
        """Titratable acidity in 100 ml of the served drink, in g; None when its volume is unknown."""
        return self._per_100ml(self.acid_g)

    @property
    def sugar_to_acid(self) -> float | None:
        """Grams of known sugar to one gram of acid; None without acid, or when not all of it is known."""
        return self.sugar_g / self.acid_g if self.acid_g and not self.is_least("acid") else None

    def _per_100ml(self, grams: float) -> float | None:
        if any(part.fills_unknown for part in self.contributions):
            return None
        return 100.0 * grams / self.served.volume_ml if self.served and self.served.volume_ml else None

    @property
    def cautions(self) -> tuple[DrinkCaution, ...]:
        """What to say with each liquid poured and with the extras, in the spec's order, each once."""
        return drink_cautions((part.liquid for part in self.contributions), self.drink.extras)

    @property
    def is_volume_known(self) -> bool:
        """Whether its volume is exact: what is strong shrinks as it mixes, and sugar takes up less than water."""
        return not (self.is_least("abv") or any(part.fills_unknown for part in self.contributions))

    @property
    def is_lower_bound(self) -> bool:
        """Whether an unknown sugar makes the sugar and energy a lower bound."""
        return self.is_least("sugar")


def totals(
    bar: Bar, drink: Drink, strengths: Strengths | None = None, volumes: dict[str, float] | None = None
) -> Totals:
    """Work out one drink.

    strengths, volumes  as in `contribute`
    """
    contributions = tuple(contribute(bar, drink, strengths or {}, volumes or {}))
    mix, dilution, served = mix_and_serve(drink, contributions)
    everything = together([part for part in contributions if part.is_top], mix.grams)
    return Totals(
        mix,
        dilution,
        served,
        everything,
        _unknown(drink, contributions),
        drink,
        contributions,
        STANDARD_DRINK_G[bar.specs.house.standard_drink],
        tuple(sorted(allergens_of(contributions))),
        written_for(bar, drink),
    )


def written_for(bar: Bar, drink: Drink) -> tuple[WrittenFor, ...]:
    """The syrups of a drink whose pours are written for another strength than their standard, in the spec's order."""
    ids = [pour.of for pour in drink.pours if bar.is_apart(drink, pour.of)]
    return tuple([WrittenFor(bar.specs.syrups[each], drink.written_for[each], bar.standard(each)) for each in ids])


def contribute(bar: Bar, drink: Drink, strengths: Strengths, volumes: dict[str, float]) -> list[Contribution]:
    """What each pour of a drink brings, in the spec's order.

    strengths  °Bx of syrups as they are, by id; every other is as strong as the drink is written for, so that with
               none it is the drink as designed
    volumes    ml poured instead of the written amount, by id
    """
    found = []
    for pour in drink.pours:
        liquid = bar.liquid(pour.of, strengths.get(pour.of, drink.written_for.get(pour.of)))
        liquid = liquid.least or liquid
        volume = volumes.get(pour.of)
        if volume is None or liquid.density is None:
            volume, mass = bar.amount(pour, liquid)
        else:
            mass = volume * liquid.density
        found.append(Contribution(pour, liquid, volume, mass, liquid.is_top if pour.top is None else pour.top))
    return found


def mix_and_serve(drink: Drink, contributions: Sequence[Contribution]) -> tuple[State, Dilution, State | None]:
    """The mix, the water the method adds, and the drink in the glass."""
    mix = state(together([part for part in contributions if not part.is_top and not part.liquid.melts]))
    ice_g = sum([part.mass_g for part in contributions if part.liquid.melts])
    dilution = dilution_of(
        drink,
        mix.volume_ml,
        mix.abv_percent,
        mix=mix.grams,
        ice_g=ice_g,
        abv_unknown=_unknown_alcohol(contributions, mix.mass_g),
    )
    if dilution.melt_water_g is None:
        return mix, dilution, None
    served = list(together([part for part in contributions if part.is_top], mix.grams))
    served[WATER] += dilution.melt_water_g
    return mix, dilution, state(tuple(served))


def together(contributions: Sequence[Contribution], start: Composition = NOTHING) -> Composition:
    """Grams by component of several pours, on top of a start."""
    if not contributions:
        return start
    total = list(start)
    for _, liquid, _, mass_g, _ in contributions:
        for row, per_g in liquid.parts:
            total[row] += mass_g * per_g
    return tuple(total)


def state(grams: Composition) -> State:
    """Volume and strength of a composition, by the volume model; sugar without enough water is still crystals."""
    dissolved_g, crystals_g = _dissolved_and_crystals(grams)
    volume = mixture.volume_ml(grams[WATER], grams[ETHANOL], dissolved_g, acid_mass_g(grams))
    volume += crystals_g / CRYSTAL_G_PER_ML
    abv = 100.0 * grams[ETHANOL] / ETHANOL_G_PER_ML / volume if volume else 0.0
    return State(grams, volume, abv)


def allergens_of(parts: Iterable[Contribution]) -> set[str]:
    """The allergens that the house names for any of some pours."""
    return {allergen for part in parts for allergen in part.liquid.allergens or ()}


def _dissolved_and_crystals(grams: Composition) -> tuple[float, float]:
    solids = sugar_g(grams) + grams[OTHER_SOLIDS]
    dissolved = min(solids, _SUGAR_PER_WATER * grams[WATER])
    return dissolved, solids - dissolved


def is_least(unknown: Iterable[Unknown], what: Content) -> bool:
    """Whether a sum is a lower bound, because a pour that matters does not say how much of it it holds."""
    return any(item.what == what and not item.small for item in unknown)


def contents_unknown(contributions: Iterable[Contribution]) -> list[Unknown]:
    """What the files do not say of the sugar, acid and alcohol of some pours.

    Sugar is small in a pour of up to FOOTER_ML, acid and alcohol in a rinse only.
    """
    return [
        Unknown(liquid.id, liquid.name, what, part.is_small if what == "sugar" else not part.mass_g)
        for part in contributions
        if (liquid := part.liquid).unknown
        for what in liquid.unknown
    ]


def _unknown_alcohol(contributions: Iterable[Contribution], mix_g: float) -> tuple[str, ...]:
    """Names of what meets the ice and may hold so much alcohol that it changes how much melts; no dash in a drink."""
    found = [part for part in contributions if part.liquid.abv_unknown and not part.is_top and not part.liquid.melts]
    if not found or sum([part.mass_g for part in found]) <= _NO_MATTER * mix_g:
        return ()
    return tuple([part.liquid.name for part in found])


def _unknown(drink: Drink, contributions: Sequence[Contribution]) -> tuple[Unknown, ...]:
    found = contents_unknown(contributions)
    for part in contributions:
        liquid = part.liquid
        if part.pour.amount.unit == RINSE:
            found.append(Unknown(liquid.id, liquid.name, "amount", True))
        if liquid.allergens_unknown:
            found.append(Unknown(liquid.id, liquid.name, "allergens", False))
    found.extend([Unknown(text, text, "allergens", False) for text in drink.extras])
    return tuple(found)
