"""Everything a bar keeps, loaded."""

from __future__ import annotations

from dataclasses import dataclass

from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.names import NameIndex
from balancer.models.pour import RINSE
from balancer.models.syrup import Syrup


@dataclass(frozen=True, slots=True)
class Specs:
    """A house and what it pours, by id. Pours hold ids, so every lookup is plain."""

    house: House
    ingredients: dict[str, Ingredient]
    syrups: dict[str, Syrup]
    drinks: dict[str, Drink]
    liquid_names: NameIndex
    drink_names: NameIndex

    def liquid(self, identity: str) -> Ingredient | Syrup:
        """The ingredient or syrup of an id."""
        return self.syrups.get(identity) or self.ingredients[identity]

    def name_of(self, identity: str) -> str:
        """The name of the ingredient or syrup of an id; the id itself where none that loaded has it."""
        known = self.find_liquid(identity)
        return known.name if known else identity

    def drinks_with(self, identity: str, *, rinses: bool = False) -> tuple[Drink, ...]:
        """The drinks that pour something, in the order of the menu; rinses: also those that only rinse with it."""
        return tuple(
            [
                drink
                for drink in self.drinks.values()
                if any(pour.of == identity and (rinses or pour.amount.unit != RINSE) for pour in drink.pours)
            ]
        )

    def batch_tolerance(self, syrup: Syrup) -> float:
        """How far a batch of a syrup may be off before prep corrects it, in °Bx: its own, or the house's."""
        return self.house.batch_tolerance if syrup.tolerance is None else syrup.tolerance

    def storage(self, syrup: Syrup) -> float:
        """Where a syrup is kept, in °C: its own, or the house's."""
        return self.house.storage if syrup.storage is None else syrup.storage

    def find_liquid(self, identity: str) -> Ingredient | Syrup | None:
        """The ingredient or syrup of an id, or None when there is none, or it did not load."""
        return self.syrups.get(identity) or self.ingredients.get(identity)
