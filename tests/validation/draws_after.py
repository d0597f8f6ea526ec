"""The ± of what follows on a strength: a correction, a verdict on a drink, melt water, limits of a chart."""

from __future__ import annotations

from math import hypot
from random import Random
from typing import Final

from balancer.engine.drink.dilution import by_energy, by_relation
from balancer.engine.drink.energy import VESSEL_J_PER_K, Chilling, melt
from balancer.engine.prep.chart import individuals
from balancer.engine.prep.correct import first_addition_g, full_addition
from balancer.engine.prep.measure import measure
from balancer.engine.prep.readings import Readings, uncertainty_of
from balancer.engine.prep.tub import ESTIMATED_PERCENT, UNSTIRRED_BRIX
from balancer.engine.service.rescale import rescale
from balancer.errors import BalancerError
from balancer.measured import Measured, of_division
from balancer.models.chill import Chill
from balancer.models.house import Instrument
from tests.dilution_page import fraction, mix
from tests.engine.builders import LIME, PLAIN, RUM, bar, drink
from tests.validation.draws import Case, Draw
from tests.validation.draws_reading import FINE, USUAL, Prism

TARGET_BRIX: Final = 50.0
PASSES_BRIX: Final = 1.0
"""A batch that reads nearer to its target is not corrected: the demo house's batch tolerance."""
MIX_ML: Final = 105.0
STIRRED_ML: Final = 92.0


class Batch:
    """A tub as it is, and as it was read and weighed."""

    def __init__(self, chance: Random, instrument: Instrument, *, stirred: bool, weighed: bool) -> None:
        self.brix, self.mass_g = chance.gauss(TARGET_BRIX, 3.0), chance.uniform(800.0, 6000.0)
        apart = 0.0 if stirred else UNSTIRRED_BRIX
        self.shown = Prism(instrument, chance).reads(self.brix + chance.gauss(0.0, apart))
        off = chance.uniform(-0.5, 0.5) if weighed else chance.gauss(0.0, ESTIMATED_PERCENT / 100.0 * self.mass_g)
        self.seen_g = self.mass_g + off
        unsure_g = of_division(1.0) if weighed else ESTIMATED_PERCENT / 100.0 * self.seen_g
        self.measured = Measured(self.shown, {"brix": hypot(uncertainty_of(instrument), apart)})
        self.full = full_addition(
            Measured(self.seen_g, {"mass": unsure_g}), self.measured, TARGET_BRIX, self.additive_brix
        )

    @property
    def additive_brix(self) -> float:
        """Water for what reads strong, dry sugar for what reads weak."""
        return 0.0 if self.shown > TARGET_BRIX else 100.0

    @property
    def needs_g(self) -> float:
        """What would bring the tub itself to its target; below zero where it is past it already."""
        return self.mass_g * (TARGET_BRIX - self.brix) / (self.additive_brix - TARGET_BRIX)


def addition(instrument: Instrument, *, stirred: bool, weighed: bool, selected: bool) -> Draw:
    """Grams to add, and what the working gives as their ±; selected: only batches that read off are corrected."""

    def draw(chance: Random) -> tuple[float, float] | None:
        batch = Batch(chance, instrument, stirred=stirred, weighed=weighed)
        if selected and abs(batch.shown - TARGET_BRIX) <= PASSES_BRIX:
            return None
        return batch.full.value - batch.needs_g, 2.0 * batch.full.uncertainty

    return draw


def tub(instrument: Instrument, *, selected: bool) -> Draw:
    """The strength of a tub that was not stirred, as `correct` states it."""

    def draw(chance: Random) -> tuple[float, float] | None:
        batch = Batch(chance, instrument, stirred=False, weighed=True)
        if selected and abs(batch.shown - TARGET_BRIX) <= PASSES_BRIX:
            return None
        return batch.shown - batch.brix, 2.0 * batch.measured.uncertainty

    return draw


def first_addition(instrument: Instrument) -> Draw:
    """The first part of a staged correction: an error of 1 is one that went past the target."""

    def draw(chance: Random) -> tuple[float, float] | None:
        batch = Batch(chance, instrument, stirred=False, weighed=False)
        first_g = first_addition_g(batch.full)
        if abs(batch.shown - TARGET_BRIX) <= PASSES_BRIX or not first_g:
            return None
        return float(first_g > batch.needs_g), 0.5

    return draw


_SOUR: Final = drink("Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml plain syrup")
_DRY: Final = drink("Dry", "60 ml gold rum", "22.5 ml lime juice", "15 ml plain syrup")
_BAR: Final = bar(RUM, LIME, PLAIN, _SOUR, _DRY)


def verdict(instrument: Instrument) -> Draw:
    """The verdict on a drink or one of the others that the ± allows: an error of 1 is a true one that was not named."""

    def draw(chance: Random) -> tuple[float, float]:
        true = min(max(chance.gauss(TARGET_BRIX, 3.0), 40.0), 60.0)
        read = measure(Readings((Prism(instrument, chance).reads(true),), instrument)).strength
        row = chance.choice(rescale(_BAR, "plain-syrup", read.value, uncertainty_brix=read.uncertainty).rows)
        truly = {each.drink.id: each.verdict for each in rescale(_BAR, "plain-syrup", true).rows}[row.drink.id]
        return float(truly not in {row.verdict, *(row.could_be or ())}), 0.5

    return draw


def sugar(instrument: Instrument) -> Draw:
    """Sugar of the drink as poured, in %, against what its syrup really holds; the ± is that of the strength."""

    def draw(chance: Random) -> tuple[float, float]:
        true = min(max(chance.gauss(TARGET_BRIX, 3.0), 40.0), 60.0)
        read = measure(Readings((Prism(instrument, chance).reads(true),), instrument)).strength
        row = chance.choice(rescale(_BAR, "plain-syrup", read.value).rows)
        error = [_sugar_percent(row.poured.value, row.written.value, brix) for brix in (read.value, true)]
        each = _sugar_percent(row.poured.value, row.written.value, read.value + 0.1) - error[0]
        return error[0] - error[1], abs(20.0 * each * read.uncertainty)

    return draw


def new_pour(instrument: Instrument) -> Draw:
    """The exact pour for a reading, ml, against that for the truth; the ± is that of the strength."""

    def draw(chance: Random) -> tuple[float, float]:
        true = min(max(chance.gauss(TARGET_BRIX, 3.0), 40.0), 60.0)
        read = measure(Readings((Prism(instrument, chance).reads(true),), instrument)).strength
        exact = [22.5 * _per_ml(TARGET_BRIX) / _per_ml(brix) for brix in (read.value, true, read.value + 0.1)]
        return exact[0] - exact[1], abs(20.0 * (exact[2] - exact[0]) * read.uncertainty)

    return draw


def jiggered(limit_ml: float) -> Draw:
    """Sugar of a sour whose three pours are each off by up to a limit; the ± is the tolerance of service, 5 %."""
    grams = [60.0 * 0.0, 22.5 * _liquid_sugar("lime-juice"), 22.5 * _per_ml(TARGET_BRIX)]

    def draw(chance: Random) -> tuple[float, float]:
        moved = [chance.uniform(-limit_ml, limit_ml) / ml for ml in (60.0, 22.5, 22.5)]
        return 100.0 * sum(gram * part for gram, part in zip(grams, moved, strict=True)) / sum(grams), 5.0

    return draw


def _liquid_sugar(identity: str) -> float:
    return _BAR.liquid(identity).sugar_g_per_ml


def _per_ml(brix: float) -> float:
    return _BAR.liquid("plain-syrup", brix).sugar_g_per_ml


def _sugar_percent(poured: float, written: float, brix: float) -> float:
    """Change of the syrup's own sugar."""
    return 100.0 * (poured * _per_ml(brix) / (written * _per_ml(TARGET_BRIX)) - 1.0)


def shaken(
    low_abv: float,
    high_abv: float,
    *,
    by_balance: bool,
    ice_c: float | None = None,
    start_c: tuple[float, float] | None = None,
) -> Draw:
    """Melt of a shaken drink, points of mix: a kitchen's ice, room and tin, by heat alone, against what is printed."""

    def draw(chance: Random) -> tuple[float, float] | None:
        abv, sugar_percent = chance.uniform(low_abv, high_abv), chance.uniform(6.0, 14.0)
        made = mix(MIX_ML, abv, sugar_percent, chance.uniform(0.8, 1.5))
        cold = chance.uniform(-2.0, 0.0) if ice_c is None else ice_c
        chilling = Chilling(
            ice_g=chance.uniform(100.0, 180.0),
            ice_c=cold,
            start_c=chance.uniform(*start_c) if start_c else chance.gauss(22.0, 1.0),
            vessel_j_per_k=max(chance.gauss(VESSEL_J_PER_K, 0.2 * VESSEL_J_PER_K), 10.0),
        )
        try:
            melted = 100.0 * fraction(melt(made, chilling), MIX_ML)
            if by_balance:
                told = by_energy("shaken", made, MIX_ML, abv, Chill(ice=chilling.ice_g))
            else:
                told = by_relation("shaken", MIX_ML, abv)
        except BalancerError:
            return None
        return (told.percent_of_mix or 0.0) - melted, told.plus_minus_percent or 0.0

    return draw


def stirred(*, by_balance: bool) -> Draw:
    """Melt of a stirred drink, likewise: strained about where the relation has it, by a thermometer that is off."""

    def draw(chance: Random) -> tuple[float, float] | None:
        abv = chance.uniform(20.0, 45.0)
        made = mix(STIRRED_ML, abv, chance.uniform(4.0, 8.0), 0.15)
        stop_c = 2.1 - 0.143 * abv + chance.gauss(0.0, 1.0)
        chilling = Chilling(
            ice_g=chance.uniform(100.0, 180.0),
            ice_c=chance.uniform(-2.0, 0.0),
            start_c=chance.gauss(22.0, 1.0),
            vessel_j_per_k=max(chance.gauss(VESSEL_J_PER_K, 0.2 * VESSEL_J_PER_K), 10.0),
            stop_c=stop_c,
        )
        try:
            melted = 100.0 * fraction(melt(made, chilling), STIRRED_ML)
            if by_balance:
                seen_c = stop_c + chance.uniform(-1.0, 1.0)
                told = by_energy("stirred", made, STIRRED_ML, abv, Chill(ice=chilling.ice_g, stop=seen_c))
            else:
                told = by_relation("stirred", STIRRED_ML, abv)
        except BalancerError:
            return None
        return (told.percent_of_mix or 0.0) - melted, told.plus_minus_percent or 0.0

    return draw


def chart_limits(batches: int) -> Draw:
    """The next batch of a syrup that has not changed, and the chart's limits."""

    def draw(chance: Random) -> tuple[float, float]:
        *values, following = [chance.gauss(TARGET_BRIX, 1.0) for _ in range(batches + 1)]
        lines = individuals(values)
        return following - lines.centre, lines.upper - lines.centre

    return draw


def chart_spread(batches: int) -> Draw:
    """The next batch, and the spread within which nineteen of twenty are said to come."""

    def draw(chance: Random) -> tuple[float, float]:
        *values, following = [chance.gauss(TARGET_BRIX, 1.0) for _ in range(batches + 1)]
        lines = individuals(values)
        return following - lines.centre, 2.0 * lines.sigma

    return draw


_TUB: Final = "tubs made with a sd of 3 °Bx, 0.8 to 6 kg; samples 1 °Bx apart (one sd)"
_OFF: Final = "one offset a day within what the maker states; syrup made with a sd of 3 °Bx"
_SHAKER: Final = (
    "105 ml, 100 to 180 g of ice at −2 to 0 °C, start 22 °C (sd 1 °C), vessel 64 J/K (sd 20 %), by heat alone"
)
_STIRRED: Final = (
    "92 ml, otherwise as a shaken one; strained at 2.1 − 0.143 × (% vol) °C, which was fitted to the relation, with "
    "a sd of 1 °C; the thermometer off by up to 1 °C"
)
_STABLE: Final = "nothing has changed; normal, sd 1 °Bx"
_POINTS: Final = "points of mix"
CASES: Final = (
    Case("tub", "`correct`: strength of a tub that was not stirred", f"{_TUB}; every tub", tub(USUAL, selected=False)),
    Case(
        "tub off",
        "the same, of the tubs that are corrected",
        f"{_TUB}; those that read more than 1 °Bx off are so partly by chance",
        tub(USUAL, selected=True),
    ),
    Case(
        "addition",
        "`correct --steps`: grams to add, weighed and stirred",
        "mass to whole grams; read to 0.1 °Bx",
        addition(FINE, stirred=True, weighed=True, selected=False),
        unit="g",
    ),
    Case(
        "addition unstirred",
        "the same, neither weighed nor stirred",
        f"{_TUB}; mass judged with a sd of 5 %",
        addition(USUAL, stirred=False, weighed=False, selected=False),
        unit="g",
    ),
    Case(
        "first addition",
        "`correct`: the first part does not go past the target",
        f"{_TUB}; mass judged with a sd of 5 %; those that something is added to",
        first_addition(USUAL),
        unit="",
        claimed=95.0,
    ),
    Case("new pour", "`pour`: the exact pour of 22.5 ml, from the ± of the strength", _OFF, new_pour(USUAL), unit="ml"),
    Case("sugar", "`rescale`: sugar of a syrup as poured, from the ± of the strength", _OFF, sugar(USUAL), unit="%"),
    Case(
        "verdict", "`rescale`: the true verdict is the one given, or named as borderline", _OFF, verdict(USUAL), unit=""
    ),
    Case(
        "relation",
        "`totals`: melt of a shaken drink by relation, 15 to 35 % vol",
        _SHAKER,
        shaken(15.0, 35.0, by_balance=False),
        unit=_POINTS,
    ),
    Case("relation beyond", "the same, 2 to 15 % vol", _SHAKER, shaken(2.0, 15.0, by_balance=False), unit=_POINTS),
    Case(
        "balance",
        "`totals`: melt by the balance, its ice weighed, 15 to 35 % vol",
        _SHAKER,
        shaken(15.0, 35.0, by_balance=True),
        unit=_POINTS,
    ),
    Case(
        "stirred",
        "melt of a stirred drink by relation, 20 to 45 % vol",
        _STIRRED,
        stirred(by_balance=False),
        unit=_POINTS,
    ),
    Case("stopped", "the same, strained at a measured temperature", _STIRRED, stirred(by_balance=True), unit=_POINTS),
    Case(
        "limits", "`chart`: the next batch is within the limits, of 20 batches", _STABLE, chart_limits(20), claimed=99.7
    ),
    Case("limits few", "the same, of 8 batches", _STABLE, chart_limits(8), claimed=99.7),
    Case("spread", "`chart`: the next batch is within the spread, of 20 batches", _STABLE, chart_spread(20)),
    Case("spread few", "the same, of 8 batches", _STABLE, chart_spread(8)),
    Case(
        "room",
        "melt by the relation, in rooms of 17 to 27 °C",
        "shaker as above; pours and tin as warm as the room",
        shaken(15.0, 35.0, by_balance=False, start_c=(17.0, 27.0)),
        unit=_POINTS,
        meant=False,
    ),
    Case(
        "fridge",
        "melt by the relation, juice and syrup from the fridge",
        "shaker as above; pours and tin start at 13 to 17 °C",
        shaken(15.0, 35.0, by_balance=False, start_c=(13.0, 17.0)),
        unit=_POINTS,
        meant=False,
    ),
    Case(
        "freezer",
        "melt by the relation, ice from the freezer",
        "shaker as above; ice at −18 °C",
        shaken(15.0, 35.0, by_balance=False, ice_c=-18.0),
        unit=_POINTS,
        meant=False,
    ),
    Case(
        "jiggers",
        "sugar of a sour poured with jiggers, set against ±5 %",
        "three pours, each off by up to 1 ml; no ± counts the jigger",
        jiggered(1.0),
        unit="%",
        meant=False,
    ),
    Case(
        "jiggers worse",
        "the same, poured in a hurry",
        "three pours, each off by up to 2.5 ml",
        jiggered(2.5),
        unit="%",
        meant=False,
    ),
)
