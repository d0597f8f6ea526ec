"""One sweetener of a drink replaced by another without retasting: what to pour so that what is held stays."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from balancer.brief import brief
from balancer.engine.drink.amount import Amount, amount_of, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import cautions
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, Glass, allergens_of, contribute
from balancer.engine.swaps.at import STANDARD, At, Strength, concerned
from balancer.engine.swaps.known_sugar import check_sugar_per_ml
from balancer.engine.swaps.moved import (
    BeforeAndAfter,
    Fill,
    Held,
    Moved,
    Noticed,
    change,
    fill,
    glass_of,
    moved,
    noticed,
)
from balancer.engine.swaps.one_for_one import one_for_one
from balancer.engine.swaps.roles import is_sour, usually_held
from balancer.engine.swaps.search import WEIGHT_PERCENT, Obstacle, SwapSearch, difference
from balancer.engine.swaps.slots import SwappedPour, check_free
from balancer.engine.swaps.taste import Side, Tasting, taste
from balancer.engine.swaps.verdict import (
    Exchange,
    Reason,
    SwapVerdict,
    hinders,
    is_makeable,
    is_without_alcohol,
    reasons,
    verdict_of,
)
from balancer.errors import CannotError
from balancer.models.drink import Drink
from balancer.models.pour import RINSE
from balancer.models.syrup import Syrup


@dataclass(frozen=True, slots=True)
class Swap(BeforeAndAfter):
    """One drink with another sweetener.

    at               at which strengths, for the spec or for tonight
    out, into        what goes and what comes, as liquids
    strength         of the new syrup; None when it is an ingredient
    concerned        the syrups it is about and how strong each was taken to be: what goes, what comes, then the others
    is_sour          whether what goes is a sour
    pours            in the order of the file
    old, exact, new  the drink as written, with the exact pours, and as poured
    moved            what changes in the glass with the pours the bar can make; moved_exact: with the exact ones
    noticed          sugar, acid and ABV as tasted; empty where a dilution is unknown
    taste            what a guest may notice of it as poured, ranked
    fill             the glass before and after; None when it or the dilution is unknown
    obstacle         None when everything held can be held
    unknown          ids of what the swap brings in whose allergens nobody knows
    cautions         what is to be said of what comes, and was not to be said of the drink before
    reasons          why it is not a swap; empty when it is one
    replaced         of what goes, as written and as the bar measures it
    before           of the new one that the drink had already, in the unit of its pour; None when it had none
    one_for_one_brix the strength at which the new syrup pours one for one; None when no strength does, or it is
                     no syrup
    make_at_brix     the same where a bar can make and keep it so, and it is not as strong already; else None
    tolerance        what the house lets pass of a change, in %
    effort           sum of squared changes over their weights, over all quantities: how much moved
    """

    drink: Drink
    at: At
    out: Liquid
    into: Liquid
    strength: Strength | None
    concerned: tuple[tuple[Liquid, Strength], ...]
    held: tuple[Held, ...]
    is_sour: bool
    pours: tuple[SwappedPour, ...]
    old: Glass
    exact: Glass
    new: Glass
    moved: Moved
    moved_exact: Moved
    noticed: tuple[Noticed, ...]
    taste: Tasting
    fill: Fill | None
    obstacle: Obstacle | None
    gained: tuple[str, ...]
    lost: tuple[str, ...]
    unknown: tuple[str, ...]
    cautions: tuple[str, ...]
    reasons: tuple[Reason, ...]
    replaced: Amount
    before: Amount | None
    one_for_one_brix: float | None
    make_at_brix: float | None
    tolerance: float
    effort: float

    __repr__ = brief

    @property
    def feasible(self) -> bool:
        """Whether everything held can be held, within what the house lets pass."""
        return self.obstacle is None

    @property
    def is_of_a_sour(self) -> bool:
        """Whether a sour goes, and the new one stands in for its acid."""
        return self.is_sour and "acid" in self.held

    @property
    def verdict(self) -> SwapVerdict:
        """Whether a bar would call it a swap."""
        return verdict_of(self.reasons)

    @property
    def is_sound(self) -> bool:
        """Whether it is a swap, and everything held can be held."""
        return self.feasible and not self.reasons

    @property
    def held_misses(self) -> tuple[tuple[Held, float], ...]:
        """What was to be held and moves all the same, as poured, past the tolerance of the house, in %."""
        moved_by = [(quantity, difference(quantity, self.old, self.new)) for quantity in self.held]
        return tuple((quantity, percent) for quantity, percent in moved_by if abs(percent) > self.tolerance)

    @property
    def abv_points(self) -> float:
        """The change of the ABV, % vol; before ice where the dilution is unknown."""
        return self.new.as_drunk.abv_percent - self.old.as_drunk.abv_percent

    @property
    def brings_acid(self) -> bool:
        """Whether a drink without acid now has some, so that its change has no percentage."""
        return self.moved.acid_percent is None and self.new.acid_g > 1e-9

    @property
    def breaks_zero_proof(self) -> bool:
        """Whether a drink without alcohol, or sold as such, now has some."""
        return self._is_without_alcohol and self.new.ethanol_g - self.old.ethanol_g > 1e-9

    @property
    def may_break_zero_proof(self) -> bool:
        """Whether nobody knows if it puts alcohol into a drink without, or sold as such."""
        return self._is_without_alcohol and self.into.abv_unknown

    @property
    def _is_without_alcohol(self) -> bool:
        return is_without_alcohol(self.drink, self.old)

    @property
    def is_harmless(self) -> bool:
        """Whether it brings no allergen, known or not, and no alcohol where none belongs."""
        return not (self.gained or self.unknown or self.breaks_zero_proof or self.may_break_zero_proof)

    @property
    def new_pour(self) -> SwappedPour:
        """The pour of the new sweetener."""
        return next(pour for pour in self.pours if pour.is_new)

    @property
    def free_pours(self) -> tuple[SwappedPour, ...]:
        """The pours that it may change."""
        return tuple(pour for pour in self.pours if pour.is_free)


def swap(
    bar: Bar,
    drink: Drink,
    out_id: str,
    in_id: str,
    held: Sequence[Held] = (),
    at: At = STANDARD,
) -> Swap:
    """Replace one sweetener of a drink by another.

    held      what must not change: sugar and acid of the whole drink, volume before ice, ABV as served, sweetness as
              the middle of its published range; when empty the acid where a sour goes, else the sugar
    at        how strong every syrup of it is taken to be, what goes and what comes alike
    Rule:     the pours minimise the sum of (change / weight)² over what is held plus 0.01 (steps from written)²;
              volume and ABV are taken as straight around the exact answer
    Raises:   CannotError when the drink does not pour it, the pour of either is fixed, a sugar that matters is unknown
              or not there, there is nothing of a held quantity to hold, or what comes is past its last day
    """
    held = held or usually_held(bar, out_id)
    syrup = bar.specs.syrups.get(in_id)
    designed, gone, old = check_going(bar, drink, out_id, held, at)
    strength = at.coming(bar, in_id, designed)
    into = bar.liquid(in_id, strength.brix if strength else None)
    _check(bar, into, out_id, held)
    for quantity, is_unknown in (("acid", into.acid_unknown), ("abv", into.abv_unknown)):
        if quantity in held and is_unknown:
            word = "ABV" if quantity == "abv" else quantity
            message = f"nobody knows the {word} of {into.name}, so it cannot be held"
            raise CannotError(f"{quantity}-unknown", message, f"add its {quantity}, or leave {quantity} out of --hold")
    merged = next((part for part in designed if part.pour.of == in_id and part is not gone), None)
    if merged is not None:
        check_free(drink, merged)
    search = SwapSearch(bar, drink, designed, gone, into, tuple(held), old)
    exact, obstacle = search.solve()
    poured = search.round(exact)
    exactly, new = search.glass(exact), search.glass(poured)
    before, after = allergens_of(designed), allergens_of(search.parts(poured))
    slot = search.slots[search.place]
    others = tuple((each, exact[row]) for row, each in enumerate(search.slots) if row != search.place)
    made = Exchange(drink, gone, merged, into, slot, exact[search.place], poured[search.place], old, new, others)
    said = {text for part in designed for text in cautions(part.liquid)}
    equal = one_for_one(syrup, gone.liquid) if syrup else None
    house = bar.specs.house
    is_new = in_id not in [part.pour.of for part in designed]
    pours = tuple(search.pours(exact, poured))
    touched = {out_id, in_id, *(pour.liquid.id for pour in pours if pour.is_free)}
    return Swap(
        drink=drink,
        at=at,
        out=gone.liquid,
        into=into,
        strength=strength,
        concerned=concerned(bar, at, [gone.liquid, into, *(part.liquid for part in designed)], designed),
        held=tuple(held),
        is_sour=is_sour(bar, out_id),
        pours=pours,
        old=old,
        exact=exactly,
        new=new,
        moved=moved(old, new, touched),
        moved_exact=moved(old, exactly, touched),
        noticed=noticed(old, new),
        taste=taste(Side(bar, drink, old, designed), Side(bar, drink, new, search.parts(poured))),
        fill=fill(bar, drink, old, new),
        obstacle=hinders(obstacle, house, bar.step_ml, [difference(quantity, old, new) for quantity in held]),
        gained=tuple(sorted(after - before)),
        lost=tuple(sorted(before - after)),
        unknown=(in_id,) if is_new and into.allergens_unknown else (),
        cautions=tuple(text for text in cautions(into) if text not in said),
        reasons=reasons(bar, made),
        replaced=amount_of(gone.volume_ml, gone.mass_g, poured_in(house, gone.pour, gone.liquid)),
        before=amount_of(merged.volume_ml, merged.mass_g, "g" if slot.by_weight else "ml")
        if merged and merged.mass_g
        else None,
        one_for_one_brix=equal,
        make_at_brix=_make_at(bar, syrup, strength, equal) if merged is None else None,
        tolerance=house.tolerance,
        effort=sum([(difference(held, old, new) / weight) ** 2 for held, weight in WEIGHT_PERCENT.items()]),
    )


def _make_at(bar: Bar, syrup: Syrup | None, strength: Strength | None, brix: float | None) -> float | None:
    """The strength to make a syrup to so that it pours one for one; None where no bar would, or it has it already."""
    if syrup is None or strength is None or brix is None or not is_makeable(bar, syrup, brix):
        return None
    return brix if abs(brix - strength.brix) > bar.specs.batch_tolerance(syrup) else None


def check_going(
    bar: Bar, drink: Drink, out_id: str, held: Sequence[Held], at: At
) -> tuple[list[Contribution], Contribution, Glass]:
    """The drink as written, the pour of it that goes, and what it holds; CannotError when there is no swap."""
    designed = contribute(bar, drink, at.strengths, {})
    gone = next((part for part in designed if part.pour.of == out_id and part.pour.amount.unit != RINSE), None)
    if gone is None:
        name = bar.liquid(out_id).name
        raise CannotError("not-poured", f"{drink.name} does not pour {name}", f"it pours {_names(designed)}")
    _check(bar, gone.liquid, out_id, held)
    check_free(drink, gone)
    old = glass_of(drink, designed)
    for quantity in held:
        if quantity == "abv" and old.is_least("abv"):
            names = ", ".join(part.liquid.name for part in designed if part.liquid.abv_unknown)
            raise CannotError("abv-unknown", f"nobody knows the ABV of {names}, so it cannot be held", "add its abv")
        if change(quantity, old, old) is None:
            raise CannotError(
                "nothing-to-hold", f"{drink.name} has no {quantity} to hold", f"leave {quantity} out of --hold"
            )
    return designed, gone, old


def _check(bar: Bar, liquid: Liquid, out_id: str, held: Sequence[Held]) -> None:
    """Raises CannotError of what goes or comes and does not hold what it is swapped by: its acid or its sugar."""
    if "acid" not in held or not is_sour(bar, out_id):
        _check_sweetener(liquid)
        return
    if "sugar" in held or "sweetness" in held or liquid.least is not None:
        check_sugar_per_ml(liquid)
    if liquid.acid_unknown:
        message = f"nobody knows the acid of {liquid.name}, so it cannot be held"
        raise CannotError("acid-unknown", message, "add its acid, like acid: 46 g/l, or give --hold sugar")
    if not liquid.acid_per_g:
        message = f"{liquid.name} holds no acid to swap a sour by"
        raise CannotError("no-acid", message, "name a sour juice or an acid, or give --hold sugar")


def _check_sweetener(liquid: Liquid) -> None:
    check_sugar_per_ml(liquid)
    if not liquid.sugar_per_g:
        raise CannotError("no-sugar", f"{liquid.name} holds no sugar to swap", "name a syrup, a dry sugar or a liqueur")


def _names(parts: Iterable[Contribution]) -> str:
    return ", ".join([part.liquid.name for part in parts if part.liquid.sugar_per_g and part.mass_g]) or "nothing sweet"
