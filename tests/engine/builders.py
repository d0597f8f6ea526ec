"""Small specs for tests, made with the models themselves: no files, no YAML.

A key with a space is written with an underscore: `drink(..., zero_proof="true")`.
"""

from __future__ import annotations

from typing import Any

from balancer.engine.drink.bar import Bar
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.names import NameIndex, slug
from balancer.models.pour import RINSE
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.units import Quantity, parse_pour

Entry = Ingredient | Syrup | Drink


def house(**keys: Any) -> House:
    """A house; its ounce, steps and tolerance are the defaults unless given."""
    return House.model_validate({"format": "1", "house": "Test Slip"} | _spaced(keys))


def ingredient(name: str, **keys: Any) -> Ingredient:
    """Something bought or squeezed; a mixer, which holds neither alcohol nor acid, unless a kind or an abv is given."""
    told = {} if keys.keys() & {"kind", "abv"} else {"kind": "mixer"}
    return Ingredient.model_validate({"ingredient": name, "id": slug(name)} | told | _spaced(keys))


def syrup(name: str, **keys: Any) -> Syrup:
    """A syrup; at 50 °Bx unless another standard is given."""
    if "standard_reading" not in keys:
        keys = {"standard": "50 °Bx"} | keys
    return Syrup.model_validate({"syrup": name, "id": slug(name)} | _spaced(keys))


def drink(name: str, *pours: str | dict[str, Any], method: str = "shaken", **keys: Any) -> Drink:
    """A spec. A pour is a line as in a file, or a mapping when it is fixed or a top."""
    listed = [_pour(pour) for pour in pours]
    return Drink.model_validate({"drink": name, "id": slug(name), "method": method, "pours": listed} | _spaced(keys))


def bar(*entries: Entry, **house_keys: Any) -> Bar:
    """A bar with these entries."""
    ingredients = {entry.id: entry for entry in entries if isinstance(entry, Ingredient)}
    syrups = {entry.id: entry for entry in entries if isinstance(entry, Syrup)}
    drinks = {entry.id: entry for entry in entries if isinstance(entry, Drink)}
    return Bar(Specs(house(**house_keys), ingredients, syrups, drinks, NameIndex(), NameIndex()))


def _pour(pour: str | dict[str, Any]) -> dict[str, Any]:
    if isinstance(pour, dict):
        return {**pour, "of": slug(pour["of"])}
    if pour.startswith(f"{RINSE} "):
        return {"pour": Quantity(1.0, RINSE), "of": slug(pour.removeprefix(RINSE))}
    amount, name = parse_pour(pour)
    return {"pour": amount, "of": slug(name)}


def _spaced(keys: dict[str, Any]) -> dict[str, Any]:
    return {name.replace("_", " "): value for name, value in keys.items()}


# Lime: sugar USDA SR28 NDB 09160; acid 45.9 g/l, Penniston et al. 2008, J Endourol 22:567, here rounded.
RUM = ingredient("gold rum", abv="40 %", sugar="0 g/l", allergens=[])
LIME = ingredient("lime juice", sugar="16.9 g/kg", acid="46 g/l", allergens=[])
PLAIN = syrup("plain syrup", flavour="none", allergens=[])
BERRY = syrup("berry syrup", allergens=[])
SOUR = drink("Test Sour", "60 ml gold rum", "22.5 ml lime juice", "22.5 ml berry syrup")
