"""syrups/*.yaml: the sweeteners the bar makes."""

from __future__ import annotations

from typing import Any

from pydantic import Field, PrivateAttr, model_validator

from balancer.models.acids import own_grams
from balancer.models.fields import (
    Abv,
    AcidShares,
    Allergens,
    Brix,
    BrixTolerance,
    Celsius,
    Concentration,
    Days,
    FileModel,
    Name,
    Share,
    SugarShares,
    Text,
    Texts,
    Yield,
)
from balancer.models.pour import Part


class Syrup(FileModel):
    """One syrup and the strength its specs are written for. Exactly one of standard and standard_reading is given.

    standard          strength in °Bx: sweetener solids per 100 g at 20 °C, acid not counted
    standard_reading  what the instrument shows at standard, in °Bx, before any correction
    sugar_share       part of the strength that is sugar, in %
    acid              g/kg or g/l, titratable, as anhydrous citric; None means none
    acids             shares of it by kind; written in g/l or g/kg they are grams of each acid itself, and acid follows
    tolerance         what prep lets pass for this syrup, in °Bx; the house's when None
    flavour           "none" for a plain syrup
    keeps             shelf life in days, the day it is made being day 1
    storage           °C; the house's when None
    care              how it is cooled, kept and looked at: for who makes and who pours it, not for the guest
    """

    name: Name = Field(alias="syrup")
    id: Name
    also: Texts = ()
    standard: Brix | None = None
    standard_reading: Brix | None = Field(None, alias="standard reading")
    sugars: SugarShares | None = None
    sugar_share: Share = Field(100.0, alias="sugar share")
    acid: Concentration | None = None
    acids: AcidShares | None = None
    abv: Abv = 0.0
    tolerance: BrixTolerance | None = None
    flavour: Text | None = None
    recipe: tuple[Part, ...] = ()
    yields: Yield | None = Field(None, alias="yield")
    keeps: Days | None = None
    storage: Celsius | None = None
    allergens: Allergens | None = None
    cautions: Texts = ()
    care: Texts = ()
    source: Text | None = None
    note: Text | None = None
    _part_unlisted: bool = PrivateAttr(False)

    @property
    def allergens_unknown(self) -> bool:
        """Whether something in it has no list of allergens, itself or a part, whatever `allergens` names."""
        return self.allergens is None or self._part_unlisted

    def holding(self, allergens: tuple[str, ...] | None, *, part_unlisted: bool) -> Syrup:
        """The same syrup with the allergens of its parts; part_unlisted: some part has no list, nor has it its own."""
        other = self.model_copy(update={"allergens": allergens})
        other._part_unlisted = part_unlisted
        return other

    @model_validator(mode="before")
    @classmethod
    def _own_grams(cls, data: Any) -> Any:
        return own_grams(data)
