"""Which sweetener fits a drink: each poured for the same sugar, ranked by how little else moves.

Equal sugar is one division on compositions, so a whole menu against a whole shelf is one pass. The pours are those
of `swap` that holds sugar only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.engine.drink.amount import Amount, AmountUnit, amount_of, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Glass, allergens_of, contribute
from balancer.engine.swaps.at import STANDARD, At, Strength, concerned
from balancer.engine.swaps.known_sugar import check_sugar_per_ml
from balancer.engine.swaps.likeness import Likeness, LikenessTo
from balancer.engine.swaps.moved import Held, Moved, glass_of, moved
from balancer.engine.swaps.pour_search import STEP_WEIGHT
from balancer.engine.swaps.roles import is_sour, is_sweet
from balancer.engine.swaps.search import WEIGHT_PERCENT, difference
from balancer.engine.swaps.slots import check_free, new_slot
from balancer.engine.swaps.taste import Side, Tasting, taste
from balancer.engine.swaps.verdict import Exchange, Reason, is_without_alcohol, reasons
from balancer.errors import BalancerError, CannotError
from balancer.models.drink import Drink
from balancer.models.pour import RINSE
from balancer.units import Quantity

EFFORT_DIGITS: Final = 6
"""Efforts that differ less are the same: what is left is the rounding of a float."""

_ELSE: Final[tuple[Held, ...]] = ("acid", "volume", "abv")


@dataclass(frozen=True, slots=True)
class SweetenerFit:
    """One sweetener in one drink.

    strength       of a syrup, as it was taken; None when it is an ingredient
    exact, poured  for the same sugar, and as the bar can pour it
    measured       the latter where it is counted in dashes, barspoons or the like
    moved          what moves with the pour the bar can make; moved_exact: with the exact one
    effort         sum of squared changes of acid, volume and ABV over their weights
    likeness       how far it is from the old one by what it is
    gained         allergens it brings; unknown: nobody knows which
    reasons        why it is not a swap as poured; empty when it is one
    before         of it that the drink had already, in the unit of its pour; None when it had none
    alcohol_g      what it puts into a drink without or sold as without alcohol, g; 0 else, None when not known
    sides          the drink before and after, with the pour the bar can make
    """

    into: Liquid
    strength: Strength | None
    exact: Amount
    poured: Amount
    measured: Quantity | None
    moved: Moved
    moved_exact: Moved
    effort: float
    likeness: Likeness
    gained: tuple[str, ...]
    unknown: bool
    is_made_up: bool
    reasons: tuple[Reason, ...]
    before: Amount | None
    alcohol_g: float | None
    sides: tuple[Side, Side]

    @property
    def taste(self) -> Tasting:
        """What a guest may notice with the exact pour, ranked; worked out when asked for, a menu never asks."""
        return taste(*self.sides)

    @property
    def is_harmless(self) -> bool:
        """Whether it brings no allergen, known or not, and no alcohol where none belongs."""
        return not (self.gained or self.unknown or self.alcohol_g != 0.0)

    @property
    def comes_last(self) -> bool:
        """Whether it is offered last: it is not harmless. Of a syrup that is only thought of nobody can know yet."""
        return not self.is_harmless and not (self.is_made_up and not self.gained and self.alcohol_g == 0.0)


class Misfit(NamedTuple):
    """A sweetener that cannot be poured for the same sugar, and why."""

    into: Liquid
    why: str


@dataclass(frozen=True, slots=True)
class DrinkFits:
    """One drink without one of its sweeteners, and what could be there instead, the one that moves least first.

    at         at which strengths, for the spec or for tonight
    concerned  the syrups that the drink pours and how strong each was taken to be, the old one first
    written    of the old one, as the bar measures it
    """

    drink: Drink
    at: At
    out: Liquid
    concerned: tuple[tuple[Liquid, Strength], ...]
    written: Amount
    fits: tuple[SweetenerFit, ...]
    misfits: tuple[Misfit, ...]

    def place(self, fit: SweetenerFit) -> int:
        """Where one stands among them, from 1 on."""
        return self.fits.index(fit) + 1


def sweeteners(bar: Bar) -> tuple[str, ...]:
    """Ids of every syrup, and of every other sweetener that a drink pours, in the order of the files."""
    poured = {pour.of for drink in bar.specs.drinks.values() for pour in drink.pours if pour.amount.unit != RINSE}
    others = [identity for identity in bar.specs.ingredients if identity in poured and is_sweet(bar, identity)]
    return (*bar.specs.syrups, *others)


def main_sweetener(bar: Bar, drink: Drink) -> str:
    """The syrup that brings a drink most sugar; where it pours none, the other sweetener that does.

    Raises CannotError when it has none whose pour may change.
    """
    parts = [part for part in contribute(bar, drink, {}, {}) if part.sugar_g and not part.pour.fixed]
    syrups = [part for part in parts if part.pour.of in bar.specs.syrups]
    found = syrups or [part for part in parts if is_sweet(bar, part.pour.of)]
    if not found:
        raise CannotError("no-sugar", f"{drink.name} pours no sweetener that may change", "name one with --out")
    return max(found, key=_sugar).pour.of


def fits(bar: Bar, drink: Drink, out_id: str, ids: Iterable[str], at: At = STANDARD) -> DrinkFits:
    """Sweeteners in the place of one that a drink pours, at equal sugar.

    ids     what to try; the old one itself is left out
    at      how strong every syrup is; one of which nothing but past batches is open does not fit
    Rule:   what brings an allergen, an unknown one, or alcohol into a drink without comes last; then what is most
            alike by what it is; then the least effort, worked out with the exact pours
    Raises: CannotError when the drink does not pour the old one, its pour is fixed, or its sugar is not known
    """
    place = _Place(bar, drink, out_id, at)
    found: list[SweetenerFit] = []
    misfits: list[Misfit] = []
    for identity in ids:
        if identity == out_id:
            continue
        strength = at.poured(bar, identity, place.designed)
        into = bar.liquid(identity, strength.brix if strength else None)
        try:
            at.check_not_past(bar, identity)
            found.append(place.fit(into, strength))
        except BalancerError as error:
            misfits.append(Misfit(into, error.problems()[0].message))
    found.sort(key=_rank)
    gone = place.gone
    written = amount_of(gone.volume_ml, gone.mass_g, poured_in(bar.specs.house, gone.pour, gone.liquid))
    syrups = concerned(bar, at, [gone.liquid, *(part.liquid for part in place.designed)], place.designed)
    return DrinkFits(drink, at, gone.liquid, syrups, written, tuple(found), tuple(misfits))


def fits_all(
    bar: Bar, out_id: str, ids: Sequence[str], at: At = STANDARD
) -> Iterator[DrinkFits | tuple[Drink, BalancerError]]:
    """The same for every drink that pours the old one, one by one; where there is no answer, the drink and why."""
    for drink in bar.specs.drinks_with(out_id):
        try:
            yield fits(bar, drink, out_id, ids, at)
        except BalancerError as error:
            yield drink, error


def _rank(fit: SweetenerFit) -> tuple[bool, bool, bool, Likeness, float, str]:
    """What is no swap comes last, then what brings an allergen or alcohol; then what is least alike, then what moves.

    It is the same whatever order they are tried in.
    """
    last = bool(fit.reasons), fit.comes_last, bool(fit.moved_exact.unknown)
    return *last, fit.likeness, round(fit.effort, EFFORT_DIGITS), fit.into.id


class _Place:
    """One drink with one sweetener taken out: what every other one is put into."""

    def __init__(self, bar: Bar, drink: Drink, out_id: str, at: At) -> None:
        self.bar, self.drink, self.at = bar, drink, at
        self.designed = contribute(bar, drink, at.strengths, {})
        gone = next((part for part in self.designed if part.pour.of == out_id and part.pour.amount.unit != RINSE), None)
        if gone is None:
            raise CannotError(
                "not-poured", f"{drink.name} does not pour {bar.liquid(out_id).name}", "name what it pours with --out"
            )
        if is_sour(bar, out_id):
            told = f"{gone.liquid.name} is poured for its acid, and fits goes by sugar"
            raise CannotError("sour", told, f"name what comes: balancer swap {drink.id} --out {out_id} --in NAME")
        _check(gone.liquid)
        check_free(drink, gone)
        self.gone: Contribution = gone
        self.old: Glass = glass_of(drink, self.designed)
        self.side = Side(bar, drink, self.old, self.designed)
        self.allergens = allergens_of(self.designed)
        self.alike = LikenessTo(bar, drink, out_id)

    def fit(self, into: Liquid, strength: Strength | None) -> SweetenerFit:
        """One sweetener in the place; what the drink has of it already goes into the same pour."""
        _check(into)
        gone, old = self.gone, self.old
        merged = next((part for part in self.designed if part.pour.of == into.id), None)
        if merged is not None:
            check_free(self.drink, merged)
        slot = new_slot(self.bar, gone, merged, into, small=self.drink.way == "stirred")
        sugar_g = gone.sugar_g + (merged.sugar_g if merged else 0.0)
        per_unit = into.sugar_per_g * slot.unit_g
        exact = sugar_g / per_unit
        # Swap weighs what a pour misses of the sugar against its distance from written, both squared; the sum of two
        # parabolas is a parabola, so its best pour is the one nearest to the lowest point.
        by_sugar = (100.0 * per_unit / old.sugar_g / WEIGHT_PERCENT["sugar"]) ** 2
        by_steps = STEP_WEIGHT / slot.counted_step**2
        lowest = (by_sugar * exact + by_steps * slot.written) / (by_sugar + by_steps)
        rest = [part for part in self.designed if part is not gone and part is not merged]
        parts = [*rest, slot.at(exact)]
        new = glass_of(self.drink, parts)
        added_g = new.ethanol_g - old.ethanol_g
        without = is_without_alcohol(self.drink, old)
        alcohol_g = added_g if without and added_g > 1e-9 else 0.0
        poured = slot.nearest(lowest)
        served = glass_of(self.drink, [*rest, slot.at(poured)])
        made = Exchange(self.drink, gone, merged, into, slot, exact, poured, old, served)
        unit: AmountUnit = "g" if slot.by_weight else "ml"
        return SweetenerFit(
            into=into,
            strength=strength,
            exact=slot.amount(exact),
            poured=slot.amount(poured),
            measured=slot.measured(poured),
            moved=moved(old, served, (gone.pour.of, into.id)),
            moved_exact=moved(old, new, (gone.pour.of, into.id)),
            effort=sum([(difference(what, old, new) / WEIGHT_PERCENT[what]) ** 2 for what in _ELSE]),
            likeness=self.alike.of(into),
            gained=tuple(sorted(allergens_of(parts) - self.allergens)),
            unknown=merged is None and into.allergens_unknown,
            is_made_up=into.id == self.at.made_up,
            reasons=reasons(self.bar, made),
            before=amount_of(merged.volume_ml, merged.mass_g, unit) if merged and merged.mass_g else None,
            alcohol_g=None if without and into.abv_unknown else alcohol_g,
            sides=(self.side, Side(self.bar, self.drink, served, [*rest, slot.at(poured)])),
        )


def _check(liquid: Liquid) -> None:
    check_sugar_per_ml(liquid)
    if not liquid.sugar_per_g:
        raise CannotError("no-sugar", f"{liquid.name} holds no sugar", "add its sugar, like sugar: 250 g/l")


def _sugar(part: Contribution) -> float:
    return part.sugar_g
