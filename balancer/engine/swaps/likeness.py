"""How alike two sweeteners are for a drink: what each is, not what it moves.

Only what the files say counts: kind, flavour, recipe, sugars, acid, allergens and, of a mixer, the noun of its name.
What they do not tell is "unknown", never taken for clear or plain.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final, Literal, NamedTuple

from balancer.components import ETHANOL, SUGAR_SLICE
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.cautions import cautions, names_egg, strong_acid
from balancer.engine.drink.liquid import Liquid
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.names import slug
from balancer.models.pour import Part
from balancer.models.syrup import Syrup

Body = Literal["clear", "unknown", "cloudy", "nut", "creamy", "egg"]
"""What a liquid does to the look and feel of a drink, the least first. cloudy: it holds juice or fruit."""

Family = Literal["plain", "sugar", "flavoured", "unknown"]
"""What a sweetener tastes of: of nothing but sweet, of the sugar it is made of (honey), of something else."""

_HEAVY: Final[dict[Body, int]] = {"clear": 0, "unknown": 1, "cloudy": 2, "nut": 3, "creamy": 4, "egg": 4}

# White sugar is at least 99.7 % sucrose, semi-white 99.5 % (Council Directive 2001/111/EC; from memory).
_REFINED_G_PER_G: Final = 0.995
_TART_G_PER_G: Final = 0.05
"""From here on a sweetener sours a drink as well, g of acid as citric beside a g of sugar (judged: a lime cordial has
0.07, syrups of fruit up to 0.035)."""
_OTHER_SUGARS: Final = 0.5
"""From this share of another kind on it is another sugar (judged: honey beside sucrose differs by 0.99)."""

_WATERS: Final = frozenset(("water", "hot-water", "boiling-water", "cold-water"))
_CLEAR_KINDS: Final = frozenset(("spirit", "liqueur", "wine", "bitters", "sugar"))
_CLOUDY_KINDS: Final = frozenset(("juice", "fruit"))
# "cream of coconut", "oat milk", "peach purée": the noun stands last, or before "of". Cream soda is a soda.
_CREAMY_NOUN: Final = re.compile(r"\b(cream|milk|yogh?urt|buttermilk)( of .*)?$", re.IGNORECASE)
_CLOUDY_NOUN: Final = re.compile(r"\b(juice|pur[eé]e|pulp)( of .*)?$", re.IGNORECASE)
_MILK: Final = re.compile(r"\b(milk|dairy|lactose|cream)\b", re.IGNORECASE)
_NUTS: Final = re.compile(r"\b(\w*nuts?|almonds?|cashews?|pecans?|pistachios?|soy\w*|sesame)\b", re.IGNORECASE)
_CLEAR_WAYS: Final = frozenset(("stirred", "built"))


@dataclass(frozen=True, slots=True)
class Nature:
    """What something poured is.

    is_sour      whether its file says that it holds acid: fruit does, ginger and almonds do not
    is_tart      whether it sours a drink as well as it sweetens it
    has_alcohol  whether it holds any, or nobody knows
    is_dry       whether it can only be weighed
    sugars       shares of its sugar, by the rows of the components; empty without sugar
    """

    body: Body
    family: Family
    is_sour: bool
    is_tart: bool
    has_alcohol: bool
    is_dry: bool
    sugars: tuple[float, ...]


class Likeness(NamedTuple):
    """How far one sweetener is from another for a drink; the smallest is the most alike.

    body          how much heavier it makes a drink that had no such thing: 0 not, 1 nobody knows, 2 pulp, 3 nuts,
                  4 cream or egg
    unlike        what else it is that the old one is not: a flavour that comes 2, or 1 where the drink has it already,
                  one that only goes 1, fruit for fruit 0; and 1 each for sour, weighed and not poured, with alcohol
    other_sugars  whether its sugar is of another kind, so that its sweetness is only estimated
    has_caution   whether it brings something to be told with it
    """

    body: int
    unlike: int
    other_sugars: bool
    has_caution: bool


class LikenessTo:
    """One sweetener in a drink, to compare others with."""

    def __init__(self, bar: Bar, drink: Drink, out_id: str) -> None:
        self._bar = bar
        self._out = nature(bar, bar.liquid(out_id))
        poured = [bar.liquid(pour.of) for pour in drink.pours]
        self._poured = {liquid.id for liquid in poured}
        self._said = {text for liquid in poured for text in cautions(liquid)}
        bodies = [nature(bar, liquid).body for liquid in poured]
        known = [_HEAVY[body] for body in bodies if body != "unknown"]
        self._body = max([*known, _HEAVY["cloudy"] if is_clouded(drink) else 0])

    def of(self, into: Liquid) -> Likeness:
        """How alike something is, in place of the old one."""
        old, new = self._out, nature(self._bar, into)
        body = _HEAVY[new.body]
        other_sugars = _share_apart(old.sugars, new.sugars) >= _OTHER_SUGARS
        flavour = _flavour_steps(old, new, other_sugars=other_sugars)
        unlike = min(flavour, 1) if into.id in self._poured else flavour
        unlike += (old.is_tart != new.is_tart) + (old.is_dry != new.is_dry) + (old.has_alcohol != new.has_alcohol)
        return Likeness(
            body=body if body > self._body else 0,
            unlike=unlike,
            other_sugars=other_sugars,
            has_caution=any(text not in self._said for text in cautions(into)),
        )


def is_clouded(drink: Drink) -> bool:
    """Whether its method clouds it: shaken, blended, swizzled, thrown or rolled.

    Stirred or built it is as clear as what is in it (common practice); a bar's own word for a method tells nothing.
    """
    return drink.way is not None and drink.way not in _CLEAR_WAYS


def nature(bar: Bar, liquid: Liquid) -> Nature:
    """What a liquid of a bar is; of one that no file of the bar has, only what the liquid itself tells."""
    entry = bar.specs.find_liquid(liquid.id)
    sugar = liquid.sugar_per_g
    return Nature(
        body=_body(bar, entry, liquid),
        family=_family(bar, entry, liquid.id),
        is_sour=liquid.acid_per_g > 0.0,
        is_tart=bool(sugar) and liquid.acid_per_g >= _TART_G_PER_G * sugar,
        has_alcohol=liquid.abv_unknown or liquid.per_g[ETHANOL] > 0.0,
        is_dry=liquid.density is None,
        sugars=tuple([grams / sugar for grams in liquid.per_g[SUGAR_SLICE]]) if sugar else (),
    )


def _flavour_steps(old: Nature, new: Nature, *, other_sugars: bool) -> int:
    """A flavour that comes weighs more than one that only goes; of what is unknown nothing tells that it is alike."""
    if "unknown" in (old.family, new.family):
        return 2
    if new.family != "flavoured":
        # Agave tastes of another sugar than honey, and so does demerara than white sugar.
        return int(old.family != new.family or (new.family == "sugar" and other_sugars))
    is_same_sort = old.family == "flavoured" and (old.body, old.is_sour) == (new.body, new.is_sour)
    return 0 if is_same_sort else 2


def _share_apart(old: Sequence[float], new: Sequence[float]) -> float:
    """The share of the sugar that is of another kind, 0 to 1."""
    return 0.5 * sum([abs(a - b) for a, b in zip(old, new, strict=True)]) if old and new else 0.0


def _family(bar: Bar, entry: Ingredient | Syrup | None, identity: str) -> Family:
    if identity in _WATERS:
        return "plain"
    if isinstance(entry, Ingredient):
        return _ingredient_family(entry)
    if entry is None or not (entry.flavour or entry.recipe):
        return "unknown"
    if entry.flavour:
        return "plain" if _is_plain(entry) else "flavoured"
    families = {_part_family(bar, part) for part in entry.recipe}
    return next(family for family in ("flavoured", "unknown", "sugar", "plain") if family in families)


def _is_plain(syrup: Syrup) -> bool:
    return syrup.flavour is not None and syrup.flavour.casefold() == "none"


def _part_family(bar: Bar, part: Part) -> Family:
    """The family of a part of a recipe; of a syrup in it only what its own file says, so that no ring goes round."""
    identity = slug(part.of)
    entry = bar.specs.find_liquid(identity)
    if isinstance(entry, Syrup):
        return "plain" if _is_plain(entry) else "flavoured"
    return _family(bar, entry, identity) if entry or identity in _WATERS else "unknown"


def _ingredient_family(entry: Ingredient) -> Family:
    if entry.kind is None:
        return "unknown"
    if entry.kind != "sugar":
        return "flavoured"
    sugar = entry.sugar
    is_refined = sugar is not None and sugar.unit == "g/kg" and sugar.value >= 1000.0 * _REFINED_G_PER_G
    return "plain" if is_refined else "sugar"


def _body(bar: Bar, entry: Ingredient | Syrup | None, liquid: Liquid) -> Body:
    listed = _allergen_body(entry.allergens or () if entry else liquid.allergens or ())
    if isinstance(entry, Ingredient):
        return _ingredient_body(entry, listed, liquid)
    if liquid.id in _WATERS:
        return "clear"
    if listed is not None:
        return listed
    if entry is None:
        return "unknown"
    if _is_plain(entry):
        return "clear"
    return max((_part_body(bar, part) for part in entry.recipe), key=_HEAVY.__getitem__, default="unknown")


def _part_body(bar: Bar, part: Part) -> Body:
    identity = slug(part.of)
    entry = bar.specs.find_liquid(identity)
    if isinstance(entry, Syrup):
        return _allergen_body(entry.allergens or ()) or ("clear" if _is_plain(entry) else "unknown")
    if isinstance(entry, Ingredient):
        return _body(bar, entry, bar.liquid(identity))
    return "clear" if identity in _WATERS else "unknown"


def _ingredient_body(entry: Ingredient, listed: Body | None, liquid: Liquid) -> Body:
    """By its kind; its name counts only of a mixer and of what has no kind."""
    if entry.kind in ("dairy", "egg"):
        return "creamy" if entry.kind == "dairy" else "egg"
    if entry.kind in _CLOUDY_KINDS:
        return "cloudy"
    if entry.kind in _CLEAR_KINDS:  # an almond liqueur is clear, a cream liqueur is not
        return listed if listed in ("creamy", "egg") else "clear"
    names = (entry.name, *entry.also)
    if entry.kind in ("mixer", None) and any(_CREAMY_NOUN.search(name) for name in names):
        return "creamy"
    if entry.kind in ("mixer", None) and any(_CLOUDY_NOUN.search(name) for name in names):
        return "cloudy"
    if listed is not None:
        return listed
    return "clear" if entry.id in _WATERS or strong_acid(liquid) == "powder" else "unknown"


def _allergen_body(allergens: Iterable[str]) -> Body | None:
    """What allergens tell of a body; None where they tell nothing."""
    named = tuple(allergens)
    if names_egg(named):
        return "egg"
    if any(_MILK.search(text) for text in named):
        return "creamy"
    return "nut" if any(_NUTS.search(text) for text in named) else None
