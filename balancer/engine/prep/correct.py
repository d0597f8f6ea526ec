"""Bringing a syrup to strength: one mass balance, and how to add without going past."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.components import INDEX, OTHER_SOLIDS, Composition, acid_as_citric_g, add_scaled, composition, sugar_g
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX, addition_g
from balancer.engine.drink.crystals import saturated_at
from balancer.engine.drink.liquid import MOST_ALCOHOL_READ
from balancer.engine.drink.totals import state
from balancer.engine.prep.readings import Proposal, Readings, propose
from balancer.errors import CannotError
from balancer.measured import Measured, propagate
from balancer.models.house import Instrument
from balancer.properties import sucrose
from balancer.units import Quantity

SURE: Final = 2.0
"""The first addition stays this many standard uncertainties short, as every ± shown is two of them.

That alone goes past the target 1 time in 40. Batches are corrected because they read far off, and those
that read farthest off are partly so by chance: tests/benchmarks/staged_correction.py has 4 in 100 of what it adds.
"""
OUNCE_AV_G: Final = 28.349523125
"""The ounce of a weighing scale: 1/16 of a pound of 453.59237 g, exact."""


def full_addition(mass: Measured, brix: Measured, target_brix: float, additive_brix: float) -> Measured:
    """The addition of `addition_g`, g, with what the uncertainties of mass (g) and strength (°Bx) make of it."""

    def addition(mass: float, brix: float) -> float:
        return mass * (target_brix - brix) / (additive_brix - target_brix)

    return propagate(addition, {"mass": mass, "brix": brix})


def first_addition_g(full: Measured) -> float:
    """What to add before stirring and reading again, g, so that it hardly ever goes past the target.

    The full addition less two of its standard uncertainties; nothing where that is less than nothing,
    because then the batch may be at its target already.
    """
    return max(full.value - SURE * full.uncertainty, 0.0)


def fluid_ounces_weighed(ounces: float, brix: float, ounce_ml: float) -> float:
    """How many fluid ounces somebody gets who puts so many ounces of syrup on a scale.

    >>> round(fluid_ounces_weighed(16.0, 50.0, 29.5735295625), 1)  # WE-58 of tests/reference/facts/worked_examples.csv
    12.5
    """
    return ounces * OUNCE_AV_G / (sucrose.density(brix) / 1000.0) / ounce_ml


@dataclass(frozen=True, slots=True)
class Additive:
    """Something to stir in.

    id       water, sugar, an ingredient's or syrup's id, or the strength given
    per_g    grams of each component in a gram
    density  g/ml; None for what is only weighed
    """

    id: str
    name: str
    brix: float
    per_g: Composition
    density: float | None

    @property
    def is_dry(self) -> bool:
        """Whether it is dry sugar, which has to dissolve."""
        return self.brix == DRY_SUGAR_BRIX


def plain(brix: float, name: str | None = None) -> Additive:
    """Sugar and water of a strength, °Bx: 0 is water, 100 dry sugar.

    Raises CannotError outside of these.
    """
    if not WATER_BRIX <= brix <= DRY_SUGAR_BRIX:
        raise CannotError("value", f"{brix:g} °Bx is no strength", "give 0 for water to 100 for dry sugar")
    density = sucrose.density(brix) / 1000.0 if brix <= 85.0 else None
    grams = composition({"sucrose": brix / 100.0, "water": 1.0 - brix / 100.0})
    return Additive(name or f"{brix:g} °Bx", name or f"liquid of {brix:g} °Bx", brix, grams, density)


WATER: Final = plain(WATER_BRIX, "water")
SUGAR: Final = plain(DRY_SUGAR_BRIX, "sugar")


def additive_of(bar: Bar, identity: str, strengths: Mapping[str, float]) -> Additive:
    """An ingredient or syrup of the house as something to stir in.

    strengths  of open batches, °Bx by syrup id; a syrup without one is taken at standard
    Raises CannotError when its sugar is unknown, and when it brings alcohol.
    """
    liquid = bar.liquid(identity, strengths.get(identity))
    if liquid.sugar_unknown:
        raise CannotError(
            "sugar-unknown",
            f"nothing says how much sugar {liquid.name} holds",
            "write its sugar into its file, or give its strength, like --with 12.8",
        )
    if liquid.per_g[INDEX["ethanol"]] > 0.0:
        raise CannotError(
            "alcohol-reading",
            f"{liquid.name} brings alcohol, and no refractometer could check the batch after it",
            "use water, sugar, or something without alcohol",
        )
    return Additive(identity, liquid.name, brix_of(liquid.per_g), liquid.per_g, liquid.density)


def brix_of(grams: Composition) -> float:
    """Sweetener solids in 100 g of a composition."""
    return 100.0 * (sugar_g(grams) + grams[OTHER_SOLIDS]) / sum(grams)


@dataclass(frozen=True, slots=True)
class Contents:
    """What is corrected: its composition, g/ml, and mass in g and strength in °Bx with their uncertainties.

    flavoured  thinning it thins a flavour
    """

    per_g: Composition
    density: float
    mass: Measured
    brix: Measured
    flavoured: bool


class PrepStation(NamedTuple):
    """The house's instrument, where the syrup is kept in °C, and the container in ml, if one was named."""

    instrument: Instrument
    storage_c: float
    container_ml: float | None


@dataclass(frozen=True, slots=True)
class Correction:
    """One way to bring a batch to its target.

    additive            None when nothing has to be added
    add_ml              None for what is only weighed; first_add_ml too
    first_add_g         what to add before stirring and reading again
    unsure_g            standard uncertainty of add_g by cause: mass and brix
    first_mass_g, first_brix  mass and strength to expect then
    final_reading_brix  what the instrument shows in the end, undiluted; None with alcohol in it
    final_diluted       how to read it where the scale ends before
    fits                the container holds it; None without a container
    acid_g_per_kg       before and after
    acid_percent, flavour_percent  changes per ml; None without acid or flavour of its own
    saturated_brix      where crystals begin at the storage temperature, if it ends beyond that
    """

    additive: Additive | None
    add_g: float
    add_ml: float | None
    first_add_g: float
    first_add_ml: float | None
    unsure_g: Mapping[str, float]
    first_mass_g: float
    first_brix: float
    final_mass_g: float
    final_volume_ml: float
    final_brix: float
    final_reading_brix: float | None
    final_diluted: Proposal | None
    fits: bool | None
    acid_g_per_kg: tuple[float, float]
    acid_percent: float | None
    flavour_percent: float | None
    saturated_brix: float | None

    @property
    def reads_first(self) -> bool:
        """Whether the batch may be at its target already, so that nothing is added before another reading."""
        return not self.first_add_g

    @property
    def is_staged(self) -> bool:
        """Whether some is added before another reading, and the rest after it."""
        return 0.0 < self.first_add_g < self.add_g

    @property
    def brings_acid(self) -> bool:
        """Whether there is more acid in a kilogram after than before."""
        before, after = self.acid_g_per_kg
        return after > before


def correct_with(batch: Contents, target_brix: float, additive: Additive, bench: PrepStation) -> Correction | None:
    """What an additive does to a batch; None when no amount of it reaches the target."""
    mass_g, brix = batch.mass.value, batch.brix.value
    add_g = addition_g(mass_g, brix, target_brix, additive.brix)
    if add_g is None:
        return None
    full = full_addition(batch.mass, batch.brix, target_brix, additive.brix) if add_g else Measured(0.0)
    first_g = first_addition_g(full)
    final = state(add_scaled(tuple([mass_g * part for part in batch.per_g]), add_g, additive.per_g))
    final_g = sum(final.grams)
    final_brix = brix_of(final.grams)
    acids = (_acid_g_per_kg(batch.per_g), _acid_g_per_kg(final.grams))
    g_per_ml = final_g / final.volume_ml
    reading, diluted = None, None
    if final.abv_percent <= MOST_ALCOHOL_READ:
        reading, diluted = _reading(final.grams, final_brix, bench.instrument)
    thinned = 100.0 * (mass_g / batch.density / final.volume_ml - 1.0)
    return Correction(
        additive=additive if add_g else None,
        add_g=add_g,
        add_ml=add_g / additive.density if additive.density else None,
        first_add_g=first_g,
        first_add_ml=first_g / additive.density if additive.density else None,
        unsure_g=full.budget,
        first_mass_g=mass_g + first_g,
        first_brix=(mass_g * brix + first_g * additive.brix) / (mass_g + first_g),
        final_mass_g=final_g,
        final_volume_ml=final.volume_ml,
        final_brix=final_brix,
        final_reading_brix=reading,
        final_diluted=diluted,
        fits=None if bench.container_ml is None else final.volume_ml <= bench.container_ml,
        acid_g_per_kg=acids,
        acid_percent=100.0 * (acids[1] * g_per_ml / (acids[0] * batch.density) - 1.0) if acids[0] else None,
        flavour_percent=thinned if batch.flavoured else None,
        saturated_brix=saturated_at(final.grams, bench.storage_c),
    )


def _acid_g_per_kg(grams: Composition) -> float:
    return 1000.0 * acid_as_citric_g(grams) / sum(grams)


def _reading(grams: Composition, brix: float, instrument: Instrument) -> tuple[float | None, Proposal | None]:
    """What the instrument shows at 20 °C, and the dilution to read instead where its scale ends before."""
    inverted = (grams[INDEX["glucose"]] + grams[INDEX["fructose"]]) / (brix / 100.0 * sum(grams)) if brix else 0.0
    inverted = min(inverted, 1.0)  # all of it, but for rounding
    seen = Readings(
        shown=(),
        instrument=instrument.model_copy(update={"atc": True}),
        acid=Quantity(_acid_g_per_kg(grams), "g/kg"),
        inverted_fraction=inverted,
    )
    shown = seen.shows(brix)
    return shown, None if shown is not None and seen.on_scale(shown) else propose(seen, brix)
