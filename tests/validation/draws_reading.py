"""The ± of a strength: readings of every kind, as a bar takes them."""

from __future__ import annotations

from random import Random
from typing import Final

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.instrument import reading_from_strength
from balancer.engine.prep.measure import ALCOHOL_READS_BRIX, measure
from balancer.engine.prep.readings import Diluted, Readings, accuracy_of, readings_of
from balancer.engine.prep.scales import Seen, value_on
from balancer.models.house import Instrument
from balancer.properties import refractometer, sucrose
from balancer.units import Quantity
from tests.validation.draws import Case, Draw

USUAL: Final = Instrument(division=0.5, accuracy=0.5)
FINE: Final = Instrument(division=0.1, accuracy=0.2)
WARM: Final = Instrument(division=0.5, accuracy=0.5, atc=False)
STRENGTHS: Final = (30.0, 66.0)
ACIDS_G_PER_KG: Final = (5.0, 40.0)


class Prism:
    """One instrument on one day: off by the same amount all day, within what its maker states, read to a division."""

    def __init__(self, instrument: Instrument, chance: Random, *, normal: bool = False) -> None:
        accuracy = accuracy_of(instrument)
        self.division = instrument.division
        self.off = chance.gauss(0.0, accuracy) if normal else chance.uniform(-accuracy, accuracy)

    def reads(self, brix: float) -> float:
        """What is written down of a strength."""
        return self.division * round((brix + self.off) / self.division)


def strength(chance: Random) -> float:
    return chance.uniform(*STRENGTHS)


def answer(readings: Readings, true: float) -> tuple[float, float]:
    found = measure(readings)
    return found.strength.value - true, found.plus_minus_brix


def one(instrument: Instrument, *, normal: bool = False) -> Draw:
    def draw(chance: Random) -> tuple[float, float]:
        true = strength(chance)
        return answer(Readings((Prism(instrument, chance, normal=normal).reads(true),), instrument), true)

    return draw


def several(instrument: Instrument, count: int, sample_brix: float) -> Draw:
    """Samples of one tub that differ; the truth is the tub's."""

    def draw(chance: Random) -> tuple[float, float]:
        true, prism = strength(chance), Prism(instrument, chance)
        shown = tuple(prism.reads(true + chance.gauss(0.0, sample_brix)) for _ in range(count))
        return answer(Readings(shown, instrument), true)

    return draw


def zeroed(instrument: Instrument) -> Draw:
    """Set wrong by up to 1 °Bx; beside that the maker's accuracy holds at the syrup; water was read to a division."""

    def draw(chance: Random) -> tuple[float, float]:
        true, wrong, prism = strength(chance), chance.uniform(-1.0, 1.0), Prism(instrument, chance)
        zero = instrument.division * round(wrong / instrument.division)
        return answer(Readings((prism.reads(true + wrong),), instrument, zero_brix=zero), true)

    return draw


def sour(instrument: Instrument) -> Draw:
    """Its acid within a tenth of what is stated, and read anywhere between the two published ways to count it."""

    def draw(chance: Random) -> tuple[float, float]:
        true, stated = chance.uniform(30.0, 60.0), chance.uniform(*ACIDS_G_PER_KG)
        acid = stated / 10.0 * (1.0 + chance.uniform(-0.1, 0.1))
        by_convention = acid - refractometer.citric_correction(acid)
        by_mixing = refractometer.citric_reading(true, acid)
        reads = by_convention + chance.random() * (by_mixing - by_convention)
        shown = Prism(instrument, chance).reads(true + reads)
        return answer(Readings((shown,), instrument, acid=Quantity(stated, "g/kg")), true)

    return draw


def inverted(instrument: Instrument) -> Draw:
    """Part of its sugar is inverted, and nobody knows it better than to a tenth."""

    def draw(chance: Random) -> tuple[float, float] | None:
        true, stated = strength(chance), chance.uniform(0.2, 1.0)
        really = min(1.0, stated * (1.0 + chance.uniform(-0.1, 0.1)))
        shows = reading_from_strength(true, 0.0, really)
        if shows is None:
            return None
        shown = Prism(instrument, chance).reads(shows)
        return answer(Readings((shown,), instrument, inverted_fraction=stated), true)

    return draw


def warm(thermometer_c: float) -> Draw:
    """Read at 12 to 30 °C without compensation; the thermometer is off, and the correction by up to 0.03 °Bx."""

    def draw(chance: Random) -> tuple[float, float] | None:
        true, temperature = chance.uniform(30.0, 60.0), chance.uniform(12.0, 30.0)
        shows = reading_from_strength(true + chance.uniform(-0.03, 0.03), 0.0, 0.0, temperature)
        if shows is None:
            return None
        seen = temperature + chance.uniform(-thermometer_c, thermometer_c)
        return answer(Readings((Prism(WARM, chance).reads(shows),), WARM, temperature_c=seen), true)

    return draw


def weighed(instrument: Instrument, grams: float, division_g: float) -> Draw:
    """Sample and water on a scale that shows the nearest division."""

    def draw(chance: Random) -> tuple[float, float]:
        true = chance.uniform(50.0, 70.0)
        sample, water = (grams + chance.uniform(-0.5, 0.5) * division_g for _ in range(2))
        shown = Prism(instrument, chance).reads(true * sample / (sample + water))
        diluted = Diluted(Amount(grams, "g"), Amount(grams, "g"))
        return answer(Readings((shown,), instrument, diluted=diluted, scale_division_g=division_g), true)

    return draw


def by_jigger(instrument: Instrument, ml: float) -> Draw:
    """Sample and water in a jigger, each off by up to 1 ml."""

    def draw(chance: Random) -> tuple[float, float]:
        true = chance.uniform(50.0, 70.0)
        sample_g = (ml + chance.uniform(-1.0, 1.0)) * sucrose.density(true) / 1000.0
        water_g = (ml + chance.uniform(-1.0, 1.0)) * sucrose.WATER_KG_M3 / 1000.0
        shown = Prism(instrument, chance).reads(true * sample_g / (sample_g + water_g))
        return answer(Readings((shown,), instrument, diluted=Diluted(Amount(ml), Amount(ml))), true)

    return draw


def on_scale(scale: str, decimals: int) -> Draw:
    """A refractive index or a specific gravity, off by up to one of its last digit, written to that digit."""

    def draw(chance: Random) -> tuple[float, float]:
        true, digit = strength(chance), 10.0**-decimals
        kind = "nD" if scale == "nD" else "SG"
        temperature = 20.0 if kind == "nD" else chance.uniform(15.0, 30.0)
        shows = value_on(true, "nD" if scale == "nD" else "SG", temperature) + chance.uniform(-digit, digit)
        seen = Seen(round(shows, decimals), "nD" if scale == "nD" else "SG", decimals)
        return answer(readings_of((seen,), temperature, USUAL), true)

    return draw


def spirited(instrument: Instrument, abv_percent: float) -> Draw:
    """Alcohol that reads like sugar, all of it, where nothing takes it off."""

    def draw(chance: Random) -> tuple[float, float]:
        true = strength(chance)
        shown = Prism(instrument, chance).reads(true + ALCOHOL_READS_BRIX * abv_percent)
        return answer(Readings((shown,), instrument, abv_percent=abv_percent), true)

    return draw


_OFF: Final = "one offset a day, anywhere within what the maker states"
CASES: Final = (
    Case("one", "one reading, divisions of 0.5 °Bx, maker's ±0.5", f"{_OFF}; read to whole divisions", one(USUAL)),
    Case(
        "one fine",
        "one reading, divisions of 0.1 °Bx, maker's ±0.2",
        f"{_OFF}; read to whole divisions",
        one(FINE),
    ),
    Case("three", "three readings of a stirred tub", f"{_OFF}; samples 0.2 °Bx apart (one sd)", several(FINE, 3, 0.2)),
    Case(
        "five apart",
        "five readings of a tub that was not stirred",
        f"{_OFF}; samples 1 °Bx apart (one sd)",
        several(USUAL, 5, 1.0),
    ),
    Case(
        "three apart",
        "three readings of a tub that was not stirred",
        f"{_OFF}; samples 1 °Bx apart (one sd)",
        several(USUAL, 3, 1.0),
    ),
    Case(
        "two apart",
        "two readings of a tub that was not stirred",
        f"{_OFF}; samples 1 °Bx apart (one sd)",
        several(USUAL, 2, 1.0),
    ),
    Case(
        "two apart fine",
        "the same by a finer instrument, divisions of 0.1 °Bx",
        f"{_OFF}; samples 1 °Bx apart (one sd)",
        several(FINE, 2, 1.0),
    ),
    Case(
        "zero",
        "one reading, its zero taken off",
        "set wrong by up to 1 °Bx, water read to whole divisions",
        zeroed(USUAL),
    ),
    Case(
        "sour",
        "a fruit syrup, 5 to 40 g/kg of acid",
        "acid within 10 % of what is stated; a % of it reads anywhere between the two published ways to count it",
        sour(FINE),
    ),
    Case("inverted", "a syrup of invert sugar", "inverted part within 10 % of what is stated", inverted(FINE)),
    Case("warm", "without compensation, 12 to 30 °C", "thermometer right, correction off by up to 0.03 °Bx", warm(0.0)),
    Case(
        "weighed",
        "diluted 100 g + 100 g on a scale of 1 g",
        f"{_OFF}; masses to whole grams",
        weighed(USUAL, 100.0, 1.0),
    ),
    Case(
        "weighed little",
        "diluted 10 g + 10 g on a scale of 1 g",
        f"{_OFF}; masses to whole grams",
        weighed(USUAL, 10.0, 1.0),
    ),
    Case(
        "jigger", "diluted 60 ml + 60 ml in a jigger", f"{_OFF}; each volume off by up to 1 ml", by_jigger(USUAL, 60.0)
    ),
    Case(
        "jigger little",
        "diluted 15 ml + 15 ml in a jigger",
        f"{_OFF}; each volume off by up to 1 ml",
        by_jigger(USUAL, 15.0),
    ),
    Case("index", "a refractive index of four decimals", "off by up to one of its last digit", on_scale("nD", 4)),
    Case(
        "gravity",
        "a specific gravity of three decimals, 15 to 30 °C",
        "off by up to one of its last digit",
        on_scale("SG", 3),
    ),
    Case(
        "spirited", "0.8 % vol in the syrup, told", "alcohol reads 0.334 °Bx a % vol, all of it", spirited(USUAL, 0.8)
    ),
    Case(
        "one normal",
        "one reading, the maker's ±0.5 being one standard deviation",
        "normal, not within a limit",
        one(USUAL, normal=True),
        meant=False,
    ),
    Case(
        "warm off",
        "without compensation, thermometer off by up to 2 °C",
        "the ± has no part for a thermometer",
        warm(2.0),
        meant=False,
    ),
    Case(
        "one unstirred",
        "one reading of a tub that was not stirred",
        "samples 1 °Bx apart (one sd); the ± of `measure` is of the sample",
        several(USUAL, 1, 1.0),
        meant=False,
    ),
)
