"""One off-strength syrup across the menu: what every drink that pours it should pour."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.blend import PerKilogram, per_kilogram
from balancer.engine.drink.jigger import weighed_step_g
from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.engine.drink.totals import Contribution, contribute, mix_and_serve
from balancer.engine.service.advice import Advice, advise
from balancer.engine.service.decision import SMALL_POUR_ML, OffPour, Rounded, Verdict, round_pours
from balancer.errors import BalancerError, CannotError
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour
from balancer.models.syrup import Syrup

_POSSIBLE = 5
"""Strengths judged to either side of the central one to see what else a drink could need."""


class DrinkRow(NamedTuple):
    """One drink and one off-strength syrup.

    by_weight        the pour is written in grams and goes on the scale
    flavour_percent  change of the syrup's flavour in the drink at the new pour, lowest and highest over
                     the possible causes, in %; None for a plain syrup
    mix_change_ml, served_change_ml  at the new pours, against the spec at standard; None when unknown
    could_be         other verdicts that the uncertainty of the strength allows; None when it is not known
    together_with    ids of the other off-strength syrups it was searched with
    companions       name, written and new pour, ml, of those that move with it
    written_ml       the pour as written, ml
    unknown_sugar    ids of pours whose sugar is unknown, so that the percentages are upper bounds
    """

    drink: Drink
    pour: Pour
    rounded: Rounded
    by_weight: bool
    flavour_percent: tuple[float, float] | None
    mix_change_ml: float
    served_change_ml: float | None
    could_be: tuple[Verdict, ...] | None
    together_with: tuple[str, ...]
    companions: tuple[tuple[str, float, float], ...]
    written_ml: float
    drink_sugar_g: float
    unknown_sugar: tuple[str, ...]


class Rescale(NamedTuple):
    """One batch against the menu. not_pouring are drinks asked about that do not pour the syrup."""

    syrup: Syrup
    standard: Liquid
    batch: Liquid
    standard_brix: float
    batch_brix: float
    uncertainty_brix: float | None
    rows: tuple[DrinkRow, ...]
    advice: Advice
    correct: PerKilogram
    not_pouring: tuple[Drink, ...] = ()

    @property
    def syrup_sugar_percent(self) -> float:
        """How far the syrup's own sugar per ml is off, in %."""
        return 100.0 * (self.batch.sugar_g_per_ml / self.standard.sugar_g_per_ml - 1.0)

    @property
    def conversions(self) -> tuple[tuple[float, float], ...]:
        """Written pour and new pour in ml, for every written pour that moves; one line serves the menu.

        At equal sugar the new pour depends only on the written one and the two strengths. A drink whose
        other syrup is off too has a row of its own and no part in the line.
        """
        moved = {
            row.rounded.spec_ml: row.rounded.nearest_ml
            for row in self.rows
            if row.rounded.verdict == "new pour"
            and not (row.by_weight or row.pour.fixed or row.together_with)
            and row.rounded.nearest_ml != row.rounded.spec_ml
        }
        return tuple(sorted(moved.items()))


class OffSyrup(NamedTuple):
    """A batch of a syrup against the syrup at standard.

    possible  the batch at strengths that its uncertainty allows; None when that is not known
    """

    syrup: Syrup
    cause: str | None
    standard: Liquid
    batch: Liquid
    possible: tuple[Liquid, ...] | None


def rescale(
    bar: Bar,
    syrup_id: str,
    brix: float,
    drinks: Iterable[Drink] | None = None,
    *,
    uncertainty_brix: float | None = None,
    cause: str | None = None,
    others: Strengths | None = None,
    in_service: bool = True,
    confirmed: bool = False,
) -> Rescale:
    """What to do about a syrup at a strength.

    brix              strength of the batch, °Bx
    drinks            the drinks to show; every drink when None. The advice is always for the whole menu.
                      Those that do not pour the syrup, or only rinse with it, do not count
    uncertainty_brix  standard uncertainty of the strength, °Bx
    cause             why it is off: boiled, watered or sugar; None when unknown
    others            strengths of other syrups that are off too; the rest is at standard
    in_service        the batch is open; confirmed: an implausible strength has been read twice
    """
    syrup = bar.specs.syrups[syrup_id]
    possible = None if uncertainty_brix is None else _possible(syrup, brix, uncertainty_brix)
    off = OffSyrup(syrup, cause, bar.liquid(syrup_id), bar.liquid(syrup_id, brix), possible)
    if not off.standard.sugar_g_per_ml or not off.batch.sugar_g_per_ml:
        raise CannotError("no-sugar", f"{syrup.name} holds no sugar, so no pour can keep it", "check its sugar share")
    strengths = {**(others or {}), syrup_id: brix}
    rows = []
    for drink in bar.specs.drinks.values():
        for pour in drink.pours:
            if pour.of == syrup_id and pour.amount.unit != RINSE:
                rows.append(_row(bar, drink, pour, off, strengths))
                break
    house = bar.specs.house
    standard_brix = bar.standard(syrup_id)
    advice = advise(
        [(row.drink.name, row.rounded.verdict if brix != standard_brix else "as written") for row in rows],
        small_pours=any(abs(row.rounded.as_written_percent) > house.tolerance for row in rows),
        brix=brix,
        standard_brix=standard_brix,
        syrup_sugar_percent=100.0 * (off.batch.sugar_g_per_ml / off.standard.sugar_g_per_ml - 1.0),
        tolerance_percent=house.tolerance,
        batch_tolerance_brix=house.batch_tolerance if syrup.tolerance is None else syrup.tolerance,
        in_service=in_service,
        confirmed=confirmed,
    )
    by_drink = {row.drink.id: row for row in rows}
    asked = [row.drink for row in rows] if drinks is None else list(drinks)
    shown = tuple([by_drink[drink.id] for drink in asked if drink.id in by_drink])
    left = tuple([drink for drink in asked if drink.id not in by_drink])
    correct = per_kilogram(brix, standard_brix)
    return Rescale(syrup, off.standard, off.batch, standard_brix, brix, uncertainty_brix, shown, advice, correct, left)


def _row(bar: Bar, drink: Drink, pour: Pour, off: OffSyrup, strengths: Strengths) -> DrinkRow:
    designed = contribute(bar, drink, {}, {})
    sugar_g = sum([part.sugar_g for part in designed])
    here = [part for part in designed if part.pour.of in strengths and part.mass_g]

    def judge(own: Liquid) -> tuple[Rounded, ...]:
        pours = [
            _off_pour(bar, part, own if part.pour is pour else bar.liquid(part.pour.of, strengths[part.pour.of]))
            for part in here
        ]
        return round_pours(pours, sugar_g, bar.specs.house.tolerance)

    judged = judge(off.batch)
    rounded = judged[next(place for place, part in enumerate(here) if part.pour is pour)]
    poured = {part.pour.of: answer.poured_ml for part, answer in zip(here, judged, strict=True)}
    changed = []
    for part in designed:
        of = part.pour.of
        changed.append(part.repoured(bar.liquid(of, strengths[of]), poured[of]) if of in poured else part)
    mix, _, served = mix_and_serve(drink, designed)
    new_mix, _, new_served = mix_and_serve(drink, changed)
    could_be: tuple[Verdict, ...] | None = None
    if off.possible is not None:
        could_be = tuple(sorted({judge(liquid)[0].verdict for liquid in off.possible} - {rounded.verdict}))
    return DrinkRow(
        drink=drink,
        pour=pour,
        rounded=rounded,
        by_weight=pour.amount.kind == "mass" or bar.specs.house.pour_style == "scale",
        flavour_percent=None if off.syrup.flavour == "none" else flavour_change(rounded, off.cause),
        mix_change_ml=new_mix.volume_ml - mix.volume_ml,
        served_change_ml=new_served.volume_ml - served.volume_ml if served and new_served else None,
        could_be=could_be,
        together_with=tuple([part.pour.of for part in here if part.pour is not pour]),
        companions=tuple(
            [
                (part.liquid.name, answer.spec_ml, answer.poured_ml)
                for part, answer in zip(here, judged, strict=True)
                if part.pour is not pour and answer.poured_ml != answer.spec_ml
            ]
        ),
        written_ml=designed[drink.pours.index(pour)].volume_ml or rounded.spec_ml,
        drink_sugar_g=sugar_g,
        unknown_sugar=tuple([part.liquid.id for part in designed if part.liquid.sugar_unknown and not part.is_small]),
    )


def _off_pour(bar: Bar, designed: Contribution, batch: Liquid) -> OffPour:
    """A pour of a syrup as it is. Weighed pours move by the scale's division; free ones are never moved."""
    pour, density = designed.pour, batch.density or 1.0
    spec_ml, step_ml, pours = designed.volume_ml or 0.0, bar.step_ml, bar.jigger.pours
    house = bar.specs.house
    if pour.amount.kind == "mass" or house.pour_style == "scale":
        spec_ml, step_ml, pours = designed.mass_g / density, weighed_step_g(house) / density, ()
    small = (designed.volume_ml or 0.0) <= SMALL_POUR_ML
    fixed = pour.fixed or house.pour_style == "free"
    return OffPour(spec_ml, designed.sugar_g, batch.sugar_g_per_ml, step_ml, fixed, small, pours)


def _possible(syrup: Syrup, brix: float, uncertainty_brix: float) -> tuple[Liquid, ...]:
    """The syrup at strengths spread evenly over two standard uncertainties to either side.

    The ends alone would not do: between as written and a new pour there may be strengths out of reach.
    """
    found = []
    for part in range(-_POSSIBLE, _POSSIBLE + 1):
        try:
            liquid = syrup_liquid(syrup, brix + 2.0 * uncertainty_brix * part / _POSSIBLE)
        except BalancerError:
            continue  # no syrup can be like this, so the batch is not
        if liquid.sugar_per_g > 0.0:
            found.append(liquid)
    return tuple(found)


def flavour_change(rounded: Rounded, cause: str | None) -> tuple[float, float]:
    """Change of the syrup's flavour in the drink, in %, lowest and highest over the possible causes.

    Boiled down or watered, flavour and sugar changed together, so flavour moves as the syrup's sugar
    does at the new pour. Too much or too little sugar leaves the flavour of a ml as it was, so it
    moves with the pour. Which of the two it is depends on why the batch is off, not on the arithmetic.
    """
    with_sugar = 100.0 * (rounded.poured_ml / rounded.exact_ml - 1.0)
    with_pour = 100.0 * (rounded.poured_ml / rounded.spec_ml - 1.0)
    if cause in ("boiled", "watered"):
        return with_sugar, with_sugar
    if cause == "sugar":
        return with_pour, with_pour
    return min(with_sugar, with_pour), max(with_sugar, with_pour)
