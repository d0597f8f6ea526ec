"""A tub of syrup and every way to bring it to its target."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import hypot, isfinite
from typing import Final, Literal

from balancer.brief import brief
from balancer.engine.drink.amount import Amount, amount_of
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.blend import addition_g
from balancer.engine.drink.keeping import Keeping, keeping
from balancer.engine.prep.correct import (
    SUGAR,
    WATER,
    Additive,
    Contents,
    Correction,
    PrepStation,
    additive_of,
    correct_with,
    plain,
)
from balancer.engine.prep.readings import uncertainty_of
from balancer.engine.service.lines import BottleLines, lines_of
from balancer.engine.service.rescale import rescale
from balancer.errors import CannotError
from balancer.measured import Measured, of_division
from balancer.models.batch import Batch
from balancer.models.house import Instrument
from balancer.models.syrup import Syrup

UNSTIRRED_BRIX: Final = 1.0
"""Standard deviation between samples of a tub that was not stirred well (common practice)."""
ESTIMATED_PERCENT: Final = 5.0
"""Standard uncertainty of a mass or volume judged by eye (common practice)."""
RICH: Final = plain(200.0 / 3.0, "2:1 syrup")
"""For a house that lists no rich syrup: two parts of sugar to one of water, by weight."""
PER_ML: Final = 100.0
"""Without mass and volume the answer is for this much, ml."""
_MOST_BRIX: Final = 85.0
_MOST: Final = 1e8

TubBasis = Literal["mass", "volume", "per 100 ml"]


@dataclass(frozen=True, slots=True)
class Tub:
    """The batch to correct, as far as it is known.

    brix         strength, °Bx
    uncertainty  its standard uncertainty but for the sampling, °Bx; None for the house instrument's
    stirred      it was stirred before it was read
    mass_g, volume_ml  at most one of them
    estimated    the mass was not weighed just now
    unread       it was corrected and not read since
    """

    brix: float
    syrup_id: str | None = None
    batch_id: str | None = None
    uncertainty: float | None = None
    stirred: bool = False
    mass_g: float | None = None
    volume_ml: float | None = None
    estimated: bool = False
    unread: bool = False


def tub_of(batch: Batch) -> Tub | None:
    """A batch as the log has it; None where its strength is not known.

    A second reading of a batch follows on a stir. What was logged of an open one's mass may have been poured since.
    """
    if batch.brix is None:
        return None
    return Tub(
        brix=batch.brix,
        syrup_id=batch.liquid,
        batch_id=batch.id,
        uncertainty=batch.uncertainty,
        stirred=batch.verified and len(batch.readings) > 1,
        mass_g=batch.mass,
        estimated=batch.mass is not None and batch.state == "open",
        unread=not batch.verified,
    )


@dataclass(frozen=True, slots=True)
class Corrected:
    """The recommended correction, and what else could be done.

    syrup        None when only a strength is known
    batch        what the answer is for: all of it, or 100 ml
    poured       no scale or no mass: the answer is in ml
    best, others ways of the house, the recommended one first
    lines        pours that spare the correction, and the drinks they are not for
    after        pours of the corrected batch: drinks written for another strength need theirs all the same
    tolerance_brix  what prep lets pass; within: it lets this batch pass
    taken_for_g  with the volume in ml taken for grams: what would be added, g, and where that ends, °Bx
    in_store     how long and how cold it keeps at its target; None when only a strength is known
    most_ml      how much of the batch can be corrected in the container; None when all of it can
    """

    tub: Tub
    syrup: Syrup | None
    basis: TubBasis
    poured: bool
    target_brix: float
    batch: Contents
    bench: PrepStation
    best: Correction
    others: tuple[Correction, ...]
    lines: BottleLines
    after: BottleLines
    tolerance_brix: float
    taken_for_g: tuple[float, float] | None
    most_ml: float | None
    in_store: Keeping | None

    __repr__ = brief

    @property
    def plus_minus_brix(self) -> float:
        """How far the strength may be off: two standard uncertainties."""
        return 2.0 * self.batch.brix.uncertainty

    def to_add(self, way: Correction) -> Amount:
        """What a way adds, weighed or, without a scale or a mass, poured."""
        return self._measured(way.add_g, way.add_ml)

    @property
    def first_to_add(self) -> Amount:
        """What the recommended way adds before another reading."""
        return self._measured(self.best.first_add_g, self.best.first_add_ml)

    def _measured(self, mass_g: float, volume_ml: float | None) -> Amount:
        return amount_of(volume_ml, mass_g, "ml" if self.poured else "g")

    @property
    def within(self) -> bool:
        """Whether prep lets the batch pass as it is."""
        return abs(self.tub.brix - self.target_brix) <= self.tolerance_brix


def correct(
    bar: Bar,
    tub: Tub,
    target_brix: float,
    additive: Additive | None = None,
    *,
    container_ml: float | None = None,
    strengths: Mapping[str, float] | None = None,
) -> Corrected:
    """How to bring a tub to its target.

    additive   what to use; None to recommend one and show the others
    strengths  of other syrups' open batches, °Bx by syrup id
    Raises CannotError when a value is no number, and when the target is not between batch and additive.
    """
    _check(tub, target_brix, container_ml)
    house, syrup = bar.specs.house, bar.specs.syrups[tub.syrup_id] if tub.syrup_id else None
    storage = syrup.storage if syrup and syrup.storage is not None else house.storage
    bench = PrepStation(house.instrument or Instrument(), storage, container_ml)
    batch, basis = _batch(bar, tub, syrup, bench)
    poured = tub.mass_g is None and (tub.volume_ml is None or house.scale is None)
    ways = _ways(bar, tub, target_brix, poured, strengths or {})
    found = [way for way in (correct_with(batch, target_brix, each, bench) for each in ways) if way]
    # What would more than double the batch is no way to bring it to strength, where there is another.
    found = [way for way in found if way.add_g <= batch.mass.value] or found[:1]
    if additive is not None:
        chosen = correct_with(batch, target_brix, additive, bench)
        if chosen is None:
            raise _not_between(tub.brix, target_brix, additive, found)
        found = [chosen]
    best = found[0]
    tolerance = house.batch_tolerance if syrup is None else bar.specs.batch_tolerance(syrup)
    spared = syrup and additive is None and best.add_g and target_brix == bar.standard(syrup.id)
    return Corrected(
        tub=tub,
        syrup=syrup,
        basis=basis,
        poured=poured,
        target_brix=target_brix,
        batch=batch,
        bench=bench,
        best=best,
        others=tuple(found[1:] if best.add_g else ()),
        lines=_lines(bar, syrup, tub.brix, strengths or {}) if syrup and spared else BottleLines(),
        after=_lines(bar, syrup, target_brix, strengths or {}) if syrup and spared else BottleLines(),
        tolerance_brix=tolerance,
        taken_for_g=_taken_for_g(tub, batch, target_brix, best),
        most_ml=_most_ml(batch, best, bench),
        in_store=keeping(bar.specs, syrup, target_brix) if syrup else None,
    )


def _lines(bar: Bar, syrup: Syrup, brix: float, strengths: Mapping[str, float]) -> BottleLines:
    """What the menu pours of a tub that is so strong, the other syrups as their open batches read."""
    result = rescale(bar, syrup.id, brix, others=dict(strengths))
    return BottleLines() if result.advice.is_unsure else lines_of(result)


def _check(tub: Tub, target_brix: float, container_ml: float | None) -> None:
    for what, brix in (("a batch", tub.brix), ("a target", target_brix)):
        if not 0.0 < brix <= _MOST_BRIX:
            raise CannotError("value", f"{brix:g} °Bx cannot be {what}", f"give a strength up to {_MOST_BRIX:g} °Bx")
    for size in (tub.mass_g, tub.volume_ml, container_ml):
        if size is not None and not 0.0 < size <= _MOST:
            raise CannotError("value", f"{size:g} is no amount of syrup", "give g, kg, ml or l above zero")
    if tub.mass_g is not None and tub.volume_ml is not None:
        raise CannotError("value", "mass and volume are both given", "give the one that was measured")
    if tub.uncertainty is not None and not (isfinite(tub.uncertainty) and tub.uncertainty >= 0.0):
        raise CannotError("value", f"±{tub.uncertainty:g} °Bx is no uncertainty", "give zero or more")


def _batch(bar: Bar, tub: Tub, syrup: Syrup | None, bench: PrepStation) -> tuple[Contents, TubBasis]:
    if syrup:
        liquid = bar.liquid(syrup.id, tub.brix)
        per_g, density = liquid.per_g, liquid.density or 0.0
    else:
        sugar_and_water = plain(tub.brix)
        per_g, density = sugar_and_water.per_g, sugar_and_water.density or 0.0
    scale, basis = bar.specs.house.scale, _basis(tub)
    volume_ml = PER_ML if tub.volume_ml is None else tub.volume_ml
    mass_g = volume_ml * density if tub.mass_g is None else tub.mass_g
    if basis == "per 100 ml":
        off = 0.0
    elif basis == "mass" and scale and not tub.estimated:
        off = of_division(scale.division)
    else:
        off = ESTIMATED_PERCENT / 100.0 * mass_g
    reading = uncertainty_of(bench.instrument) if tub.uncertainty is None else tub.uncertainty
    unsure = reading if tub.stirred else hypot(reading, UNSTIRRED_BRIX)
    flavoured = syrup is not None and syrup.flavour != "none"
    return Contents(
        per_g, density, Measured(mass_g, {"mass": off}), Measured(tub.brix, {"brix": unsure}), flavoured
    ), basis


def _basis(tub: Tub) -> TubBasis:
    if tub.mass_g is not None:
        return "mass"
    return "per 100 ml" if tub.volume_ml is None else "volume"


def _ways(bar: Bar, tub: Tub, target_brix: float, poured: bool, strengths: Mapping[str, float]) -> Iterator[Additive]:
    """What the house could stir in, the recommended first: water, sugar by weight, a plain rich syrup by volume.

    After these the liquids of the syrup's own recipe, which bring its flavour along; not where something
    is strained out, because what is strained cannot be stirred in.
    """
    rich = [
        additive_of(bar, other.id, strengths)
        for other in bar.specs.syrups.values()
        if other.flavour == "none" and not other.abv and other.id != tub.syrup_id
    ]
    rich.sort(key=lambda other: -other.brix)
    if not rich or rich[0].brix <= target_brix:
        rich.append(RICH)
    yield WATER
    yield from (*rich, SUGAR) if poured else (SUGAR, *rich)
    syrup = bar.specs.syrups[tub.syrup_id] if tub.syrup_id else None
    for part in syrup.recipe if syrup and syrup.yields is None else ():
        ingredient = bar.specs.ingredients.get(part.of)
        if ingredient is None or ingredient.sugar is None or ingredient.abv:
            continue
        own = additive_of(bar, ingredient.id, strengths)
        if own.density is not None and own.brix > 0.0:
            yield own


def _not_between(brix: float, target_brix: float, additive: Additive, found: list[Correction]) -> CannotError:
    way = "down" if target_brix < brix else "up"
    best = next((each.additive for each in found if each.additive), None)
    grams = addition_g(1000.0, brix, target_brix, best.brix) if best else None
    remedy = f"use {best.name}: {grams:.0f} g per kg" if best and grams else "choose another target"
    return CannotError(
        "not-between",
        f"{additive.name} cannot bring {brix:g} °Bx {way} to {target_brix:g}: it is at {additive.brix:.3g} °Bx itself",
        remedy,
    )


def _most_ml(batch: Contents, best: Correction, bench: PrepStation) -> float | None:
    """How much of the batch the container can take together with its share of the addition."""
    if best.fits is not False or bench.container_ml is None:
        return None
    return bench.container_ml * batch.mass.value / batch.density / best.final_volume_ml


def _taken_for_g(tub: Tub, batch: Contents, target_brix: float, best: Correction) -> tuple[float, float] | None:
    if tub.volume_ml is None or best.additive is None:
        return None
    added = addition_g(tub.volume_ml, tub.brix, target_brix, best.additive.brix) or 0.0
    mass_g = batch.mass.value
    return added, (mass_g * tub.brix + added * best.additive.brix) / (mass_g + added)
