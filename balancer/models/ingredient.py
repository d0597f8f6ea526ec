"""ingredients/*.yaml: what the bar buys or squeezes."""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal, get_args

from pydantic import Field, model_validator

from balancer.models.acids import own_grams
from balancer.models.fields import (
    Abv,
    AcidShares,
    Allergens,
    AmountEach,
    Concentration,
    Days,
    Density,
    FileModel,
    Flag,
    Name,
    SugarShares,
    Text,
    Texts,
    one_of,
)
from balancer.units import Quantity, find_unit

IngredientKind = Literal[
    "spirit",
    "liqueur",
    "wine",
    "beer",
    "bitters",
    "juice",
    "fruit",
    "dairy",
    "egg",
    "sugar",
    "mixer",
    "seasoning",
]
_WITHOUT_ALCOHOL: Final = frozenset(("juice", "fruit", "dairy", "egg", "sugar", "mixer", "seasoning"))
_SOUR: Final = frozenset(("juice", "fruit", "wine", "beer"))


def is_without_alcohol(kind: str | None) -> bool:
    """Whether a kind of ingredient holds no alcohol where its file does not speak of it."""
    return kind in _WITHOUT_ALCOHOL


def _usual_abv(said: dict[str, Any]) -> float | None:
    """What an absent abv means: none where the kind holds no alcohol, else unknown."""
    return 0.0 if is_without_alcohol(said.get("kind")) else None


def _usual_acid(said: dict[str, Any]) -> Quantity | None:
    """What an absent acid means: unknown of what is sour, and of what nothing is told of; else none."""
    kind = said.get("kind")
    is_undescribed = kind is None and said.get("abv") is None
    return None if kind in _SOUR or is_undescribed else Quantity(0.0, "g/kg")


class Ingredient(FileModel):
    """One thing that can be poured, weighed or counted. None means unknown.

    kind     what it is, in one word of the trade; it says what an absent abv or acid means
    abv      % vol at 20 °C; absent: none of a juice, fruit, dairy, egg, sugar, mixer or seasoning, else unknown
    sugar    g/l or g/kg; None when unknown
    acid     titratable, as anhydrous citric, g/l or g/kg; absent: unknown of a juice, fruit, wine or beer, else none
    sugars   shares of its sugar by kind, summing to 1; all sucrose when absent
    acids    shares of its titratable acidity by kind, summing to 1; all citric when absent. Written in g/l or g/kg they
             are grams of each acid itself, and `acid` follows from them
    density  g/ml; solved from the volume model when absent and possible
    each     what one of its own units holds
    top      poured after the ice, in the glass
    melts    it is ice that goes in by weight and melts, as in a blender: it counts as dilution, not as mix
    """

    name: Name = Field(alias="ingredient")
    id: Name
    also: Texts = ()
    kind: Annotated[IngredientKind, *one_of(*get_args(IngredientKind))] | None = None
    abv: Abv | None = Field(default_factory=_usual_abv)
    sugar: Concentration | None = None
    sugars: SugarShares | None = None
    acid: Concentration | None = Field(default_factory=_usual_acid)
    acids: AcidShares | None = None
    density: Density | None = None
    each: dict[str, AmountEach] = Field(default_factory=dict)
    top: Flag = False
    melts: Flag = False
    allergens: Allergens | None = None
    cautions: Texts = ()
    keeps: Days | None = None
    source: Text | None = None
    note: Text | None = None

    @property
    def allergens_unknown(self) -> bool:
        """Whether nobody listed its allergens."""
        return self.allergens is None

    @model_validator(mode="before")
    @classmethod
    def _own_grams(cls, data: Any) -> Any:
        return own_grams(data)


def own_unit(each: dict[str, Quantity], unit: str) -> Quantity | None:
    """What one of an ingredient's own units holds, found by singular or plural; None when it has no such unit.

    >>> own_unit({"cube": Quantity(4.0, "g")}, "cubes")
    Quantity(value=4.0, unit='g')
    >>> own_unit({"tsp": Quantity(4.2, "g")}, "teaspoon")
    Quantity(value=4.2, unit='g')
    """
    wanted = _one(unit)
    return next((size for name, size in each.items() if _one(name) == wanted), None)


def _one(unit: str) -> str:
    """The singular of a unit: the table's name where it has one, else without its s or es."""
    known = find_unit(unit)
    if known is not None:
        return known.name
    word = unit.casefold()
    return word.removesuffix("es") if word.endswith(("ses", "hes", "xes")) else word.removesuffix("s")
