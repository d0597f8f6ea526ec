"""What was read on a refractometer and how: the sample, its dilution, the instrument."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import hypot, sqrt
from typing import Final, NamedTuple

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.instrument import MOST_READ_BRIX, corrections, reading_from_strength
from balancer.engine.prep.scales import Seen, brix_of, division_brix, value_on
from balancer.errors import OutOfRangeError
from balancer.measured import of_division, of_limit
from balancer.models.house import House, Instrument
from balancer.properties import refractometer, sucrose
from balancer.units import Quantity

STRAY_DIVISIONS: Final = 2.0
"""Readings of one sample agree within this many divisions of the scale (common practice)."""
_WATERS_G: Final = (25.0, 50.0, 100.0, 200.0, 300.0)
_SAMPLE_G: Final = 100.0


def accuracy_of(instrument: Instrument) -> float:
    """How far an instrument may be off, °Bx: as its maker states it, or its division."""
    return instrument.division if instrument.accuracy is None else instrument.accuracy


def uncertainty_of(instrument: Instrument) -> float:
    """Standard uncertainty of a single reading, °Bx."""
    return hypot(of_division(instrument.division), of_limit(accuracy_of(instrument)))


def end_of(instrument: Instrument) -> float:
    """Readings from here on may be the end stop, °Bx."""
    return instrument.scale[1] - 0.5 * instrument.division


class Diluted(NamedTuple):
    """A sample and the water stirred into it before reading."""

    sample: Amount
    water: Amount

    def masses(self, solids_brix: float) -> tuple[float, float]:
        """What sample and water weigh, in g; the sample's solids give its density."""
        sample, water = self
        sample_g = sample.weigh(sucrose.density(solids_brix) / 1000.0)
        return sample_g, water.weigh(sucrose.WATER_KG_M3 / 1000.0)

    def factor(self, solids_brix: float) -> float:
        """Mass of the mixture over mass of the sample."""
        sample_g, water_g = self.masses(solids_brix)
        return (sample_g + water_g) / sample_g


@dataclass(frozen=True, slots=True)
class Readings:
    """What was seen, how, and what is known of the sample.

    shown              every reading of one sample, °Bx; worked out of `seen` where the scale is another
    seen               as they were written down, where the scale is none of °Bx
    zero_brix          what the refractometer reads in water
    temperature_c      of prism and sample; None when nobody looked
    acid               titratable, as citric, of the undiluted syrup, g/kg or g/l
    inverted_fraction  part of its solids that is glucose and fructose, 0 to 1
    abv_percent        its alcohol, % vol; None when nobody said
    scale_division_g   of the scale that weighed sample and water
    """

    shown: tuple[float, ...]
    instrument: Instrument = field(default_factory=Instrument)
    zero_brix: float = 0.0
    temperature_c: float | None = None
    diluted: Diluted | None = None
    acid: Quantity | None = None
    inverted_fraction: float = 0.0
    abv_percent: float | None = None
    scale_division_g: float = 1.0
    seen: tuple[Seen, ...] = ()

    @property
    def by_density(self) -> bool:
        """Whether a hydrometer was read: it knows nothing of light, and the acid weighs in like sugar."""
        return bool(self.seen) and self.seen[0].scale == "SG"

    @property
    def mean_brix(self) -> float:
        """The mean reading."""
        return sum(self.shown) / len(self.shown)

    @property
    def spread_brix(self) -> float:
        """Standard deviation of the readings; 0 for a single one."""
        if len(self.shown) < 2:
            return 0.0
        mean = self.mean_brix
        return sqrt(sum((shown - mean) ** 2 for shown in self.shown) / (len(self.shown) - 1))

    @property
    def corrected_c(self) -> float | None:
        """The temperature to correct for; None where the instrument does it, or the density had it already."""
        return None if self.instrument.atc or self.by_density else self.temperature_c

    def acid_percent(self, brix: float) -> float:
        """Acid of the undiluted syrup at a strength, as citric, g per 100 g."""
        if self.acid is None:
            return 0.0
        if self.acid.unit == "g/kg":
            return self.acid.value / 10.0
        return 100.0 * self.acid.value / sucrose.density(brix)

    def factor(self, brix: float) -> float:
        """The mass ratio of the dilution at a strength. A gram of acid fills about what a gram of sugar does."""
        return self.diluted.factor(brix + self.acid_percent(brix)) if self.diluted else 1.0

    def added(self, brix: float) -> tuple[float, float, float]:
        """The corrections for temperature, acid and invert sugar at the diluted composition, °Bx."""
        acid = self.acid_percent(brix) / self.factor(brix)
        if self.by_density:
            return 0.0, -acid, 0.0
        return corrections(self.mean_brix - self.zero_brix, acid, self.inverted_fraction, self.corrected_c)

    def acid_by_mixing(self, brix: float) -> float | None:
        """What the acid would want to have added by the mixing of refractive indices, °Bx, at the diluted composition.

        The citrus table in `added` is one for juice. None without acid, and where there is no index to be had.
        """
        factor = self.factor(brix)
        acid = self.acid_percent(brix) / factor
        if not acid or self.by_density:
            return None
        try:
            return -refractometer.citric_reading(brix / factor, acid)
        except OutOfRangeError:
            return None

    def on_scale(self, shown_brix: float) -> bool:
        """Whether the instrument can show it, short of its end stop."""
        return self.instrument.scale[0] <= shown_brix < end_of(self.instrument)

    def as_seen(self, shown_brix: float) -> Seen:
        """A reading in °Bx as the instrument shows it, on its own scale."""
        scale = self.seen[0].scale if self.seen else "°Bx"
        return Seen(value_on(shown_brix, scale, self.temperature_c), scale, self.seen[0].decimals if self.seen else 1)

    def shows(self, brix: float, factor: float = 1.0) -> float | None:
        """What the scale would show of a strength diluted by a factor, °Bx; None where the corrections end."""
        acid = self.acid_percent(brix) / factor
        if self.by_density:
            return brix / factor + acid
        shown = reading_from_strength(brix / factor, acid, self.inverted_fraction, self.corrected_c)
        return None if shown is None else shown + self.zero_brix


def readings_of(seen: tuple[Seen, ...], temperature_c: float | None, instrument: Instrument) -> Readings:
    """Readings of any one scale with the instrument they come from.

    instrument  the house's, which reads in °Bx; what another scale can tell is what its last digit is, as it was
                written, and that is its accuracy too unless the instrument is said to have one of its own
    """
    shown = tuple(brix_of(each, temperature_c) for each in seen)
    if seen[0].scale == "°Bx":
        return Readings(shown, instrument, temperature_c=temperature_c)
    division = max(division_brix(each, temperature_c) for each in seen)
    own = instrument.model_copy(update={"scale": (0.0, MOST_READ_BRIX), "division": division, "accuracy": None})
    return Readings(shown, own, temperature_c=temperature_c, seen=seen)


def house_readings(house: House, seen: tuple[Seen, ...], temperature_c: float | None) -> Readings:
    """Readings with the house's refractometer and, where a sample is weighed with water, its scale."""
    division_g = house.scale.division if house.scale else 1.0
    return replace(readings_of(seen, temperature_c, house.instrument or Instrument()), scale_division_g=division_g)


class Proposal(NamedTuple):
    """A dilution by weight that the instrument can read, and what it should show of it."""

    sample_g: float
    water_g: float
    dilution_factor: float
    reads_brix: float


def propose(readings: Readings, brix: float) -> Proposal | None:
    """The smallest dilution by weight of a strength that the instrument can read; None when there is none."""
    low, high = readings.instrument.scale
    room = STRAY_DIVISIONS * readings.instrument.division
    for water_g in _WATERS_G:
        factor = (_SAMPLE_G + water_g) / _SAMPLE_G
        shown = readings.shows(brix, factor)
        if shown is not None and low <= shown <= high - room:
            return Proposal(_SAMPLE_G, water_g, factor, shown)
    return None
