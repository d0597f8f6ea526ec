"""The strength and acid a syrup should be made to, so that it pours one for one in place of another sweetener."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from balancer.components import WATER, acid_as_citric_g
from balancer.engine.drink.amount import Amount, amount_of, poured_in
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.blend import PerKilogram, per_kilogram
from balancer.engine.drink.crystals import saturated_at
from balancer.engine.drink.keeping import Keeping, keeping
from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.engine.drink.totals import allergens_of, contribute
from balancer.engine.swaps.at import STANDARD, At, Strength, concerned
from balancer.engine.swaps.known_sugar import check_sugar_per_ml
from balancer.engine.swaps.moved import Moved, glass_of, moved
from balancer.engine.swaps.one_for_one import one_for_one
from balancer.engine.swaps.verdict import MAKEABLE_BRIX
from balancer.errors import BalancerError, CannotError
from balancer.models.drink import Drink
from balancer.models.pour import RINSE
from balancer.models.syrup import Syrup
from balancer.units import Quantity

_SAME_ACID_G_PER_ML = 1e-9
_LEAST_ACID_G_PER_KG = 0.05
"""Less acid than this nobody stirs in or misses."""
_LEAST_SOLIDS_G_PER_KG = 0.5


@dataclass(frozen=True, slots=True)
class AimedDrink:
    """One drink with the new syrup in the old one's place, ml for ml.

    spec    as written; poured: the new one, which weighs something else where the pour goes on the scale
    gained   allergens it brings
    acid_g, ethanol_g  what it changes, g, the acid as citric
    """

    drink: Drink
    spec: Amount
    poured: Amount
    moved: Moved
    gained: tuple[str, ...]
    acid_g: float
    ethanol_g: float

    @property
    def breaks_zero_proof(self) -> bool:
        """Whether it puts alcohol into a drink sold as without."""
        return self.drink.zero_proof and self.ethanol_g > 1e-9


class AlreadyPoured(NamedTuple):
    """A drink that pours the new syrup already, and the strength that its pour is written for, °Bx."""

    name: str
    brix: float


@dataclass(frozen=True, slots=True)
class Aim:
    """What to make.

    at              at which strengths, for the spec or for tonight
    concerned       the syrups it is about and how strong each was taken to be: what goes, then others in the drinks
    made            the syrup as it should be
    brix            its strength, °Bx; standard_brix the one its own specs are written for
    tolerance_brix  what prep lets pass
    own_acid_g_per_kg   what it has by itself at this strength, g/kg as citric
    acid_g_per_kg       what it should have; never less than its own, because acid cannot be removed
    old_acid_g_per_kg   what would keep every drink's acid
    from_standard   what a kilogram at standard needs to come to this strength
    kept            how long and how cold it keeps at this strength
    saturated_brix  where crystals begin at the storage temperature, if it is stronger
    others          drinks that pour this syrup already, and would get it at its new strength
    """

    syrup: Syrup
    at: At
    concerned: tuple[tuple[Liquid, Strength], ...]
    old: Liquid
    made: Liquid
    brix: float
    standard_brix: float
    tolerance_brix: float
    own_acid_g_per_kg: float
    acid_g_per_kg: float
    old_acid_g_per_kg: float
    from_standard: PerKilogram
    kept: Keeping
    saturated_brix: float | None
    drinks: tuple[AimedDrink, ...]
    failed: tuple[tuple[Drink, BalancerError], ...]
    others: tuple[AlreadyPoured, ...]

    @property
    def unknown_allergens(self) -> bool:
        """Whether nobody knows what it brings."""
        return self.made.allergens_unknown

    @property
    def acid_added_g_per_kg(self) -> float:
        """Citric acid to stir in, in a kilogram of the finished syrup, g."""
        return self.acid_g_per_kg - self.own_acid_g_per_kg

    @property
    def acid_over_g_per_kg(self) -> float:
        """Acid it has by itself beyond what keeps the drinks' acid, g/kg."""
        return max(self.own_acid_g_per_kg - self.old_acid_g_per_kg, 0.0)

    @property
    def adds_acid(self) -> bool:
        """Whether acid has to be stirred in."""
        return self.acid_added_g_per_kg > _LEAST_ACID_G_PER_KG

    @property
    def has_acid(self) -> bool:
        """Whether there is acid in it in the end."""
        return self.acid_g_per_kg >= _LEAST_ACID_G_PER_KG

    @property
    def is_too_sour(self) -> bool:
        """Whether it has more acid by itself than keeps a drink's."""
        return self.acid_over_g_per_kg > _LEAST_ACID_G_PER_KG

    @property
    def other_solids_g_per_kg(self) -> float:
        """Dissolved solids in a kilogram of it that are no sugar, g; 0 where they are too few to weigh."""
        others = 10.0 * self.brix - self.sugar_g_per_kg
        return others if others >= _LEAST_SOLIDS_G_PER_KG else 0.0

    @property
    def gained(self) -> tuple[str, ...]:
        """Allergens that it brings into any of the drinks."""
        return tuple(sorted({allergen for row in self.drinks for allergen in row.gained}))

    @property
    def sugar_g_per_kg(self) -> float:
        """Sugar in a kilogram of it, g."""
        return 1000.0 * self.made.sugar_per_g

    @property
    def water_g_per_kg(self) -> float:
        """Water in a kilogram of it, g."""
        return 1000.0 * self.made.per_g[WATER]

    @property
    def is_own_standard(self) -> bool:
        """Whether it is the house's standard for it, within what prep lets pass."""
        return abs(self.brix - self.standard_brix) <= self.tolerance_brix

    @property
    def keeps_less(self) -> bool:
        """Whether it is weaker than the syrup its days were set for."""
        return self.kept.weaker

    @property
    def storage_c(self) -> float:
        """Where it is kept, °C."""
        return self.kept.storage_c


def aim(bar: Bar, syrup_id: str, old_id: str, drinks: Sequence[Drink] = (), at: At = STANDARD) -> Aim:
    """The strength and acid at which a syrup pours one for one in place of another sweetener.

    drinks  to look at; every drink that pours the old one when there are none
    at      how strong the old one and the other syrups of the drinks are; unread, the old one is as strong as all the
            drinks are written for, where they agree
    Rule:   as much sugar in a ml as the old one, by a bracketed root over the strength; as much
            acid in a ml too, when its own is less. Both together keep sugar and acid of every drink alike
    Raises: CannotError when no strength that a bar makes does it, the old one can only be weighed or holds no known
            sugar, or a drink named does not pour it
    """
    asked = drinks or bar.specs.drinks_with(old_id)
    syrup, old = bar.specs.syrups[syrup_id], bar.liquid(old_id, _old_brix(bar, old_id, asked, at))
    own_brix, own = _as_sweet(syrup, old)
    brix, made = own_brix, own
    if old.acid_g_per_ml > own.acid_g_per_ml + _SAME_ACID_G_PER_ML:
        brix, made = _as_sweet(_soured(syrup, own.acid_g_per_ml, old.acid_g_per_ml), old)
    found, failed = [], []
    for drink in asked:
        place = _place(drink, old_id)
        if place is None:
            raise CannotError("not-poured", f"{drink.name} does not pour {old.name}", "name a drink that does")
        try:
            found.append(_aimed(bar, drink, place, made, at))
        except BalancerError as error:
            failed.append((drink, error))
    kept = keeping(bar.specs, syrup, brix)
    own_at_aim = own.acid_g_per_ml / (made.density or 1.0)
    standard = bar.standard(syrup_id)
    return Aim(
        syrup=syrup,
        at=at,
        concerned=concerned(bar, at, [old, *(bar.liquid(pour.of) for row in found for pour in row.drink.pours)]),
        old=old,
        made=made,
        brix=brix,
        standard_brix=standard,
        tolerance_brix=bar.specs.batch_tolerance(syrup),
        own_acid_g_per_kg=1000.0 * own_at_aim,
        acid_g_per_kg=1000.0 * acid_as_citric_g(made.per_g),
        old_acid_g_per_kg=1000.0 * old.acid_g_per_ml / (made.density or 1.0),
        from_standard=per_kilogram(standard, brix),
        kept=kept,
        saturated_brix=saturated_at(made.per_g, kept.storage_c),
        drinks=tuple(found),
        failed=tuple(failed),
        others=tuple(
            [AlreadyPoured(drink.name, bar.written_for(drink, syrup_id)) for drink in bar.specs.drinks_with(syrup_id)]
        ),
    )


def _old_brix(bar: Bar, old_id: str, drinks: Sequence[Drink], at: At) -> float | None:
    """How strong the old one is: as it was read, else as all the drinks are written for, else its standard."""
    strength = at.strength(bar, old_id)
    if strength is None:
        return None
    written = {bar.written_for(drink, old_id) for drink in drinks}
    return written.pop() if old_id not in at.read and len(written) == 1 else strength.brix


def _as_sweet(syrup: Syrup, old: Liquid) -> tuple[float, Liquid]:
    """The strength at which a ml holds the old one's sugar, and the syrup then."""
    check_sugar_per_ml(old)
    if not old.sugar_per_g:
        raise CannotError("no-sugar", f"no sugar is what {old.name} holds", "name a syrup or a liqueur")
    if not old.density:
        raise CannotError(
            "weighed", f"{old.name} can only be weighed, so no ml of it is replaced", "name what is poured"
        )
    brix = one_for_one(syrup, old)
    remedy = f"see what to pour instead: balancer swap --all --out {old.id} --in {syrup.id}"
    if brix is None:
        sugar = 1000.0 * old.sugar_g_per_ml
        told = f"no strength of {syrup.name} holds the {sugar:.0f} g/l of sugar that {old.name} has"
        raise CannotError("no-strength", told, remedy)
    low, high = MAKEABLE_BRIX
    if not low <= brix <= high:
        told = f"{syrup.name} would have to be {brix:.1f} °Bx, and no bar makes a syrup below {low:g} or above {high:g}"
        raise CannotError("no-strength", told, remedy)
    return brix, syrup_liquid(syrup, brix)


def _soured(syrup: Syrup, own_g_per_ml: float, wanted_g_per_ml: float) -> Syrup:
    """The syrup with citric acid up to a content, its own acids staying as they are."""
    own = own_g_per_ml / wanted_g_per_ml
    shares = {name: own * share for name, share in (syrup.acids or {"citric": 1.0}).items()}
    shares["citric"] = shares.get("citric", 0.0) + 1.0 - own
    return syrup.model_copy(update={"acid": Quantity(1000.0 * wanted_g_per_ml, "g/l"), "acids": shares})


def _place(drink: Drink, identity: str) -> int | None:
    """Where a drink pours something, not counting a rinse."""
    return next((at for at, pour in enumerate(drink.pours) if pour.of == identity and pour.amount.unit != RINSE), None)


def _aimed(bar: Bar, drink: Drink, place: int, made: Liquid, at: At) -> AimedDrink:
    before = contribute(bar, drink, at.strengths, {})
    pour_ml = before[place].volume_ml or 0.0
    after = list(before)
    after[place] = before[place].repoured(made, pour_ml)
    old, new = glass_of(drink, before), glass_of(drink, after)
    unit = poured_in(bar.specs.house, before[place].pour, made)
    return AimedDrink(
        drink=drink,
        spec=amount_of(pour_ml, before[place].mass_g, unit),
        poured=amount_of(pour_ml, after[place].mass_g, unit),
        moved=moved(old, new, (before[place].pour.of, made.id)),
        gained=tuple(sorted(allergens_of(after) - allergens_of(before))),
        acid_g=new.acid_g - old.acid_g,
        ethanol_g=new.ethanol_g - old.ethanol_g,
    )
