"""A bar with one recipe in it, whose parts are found by name."""

from __future__ import annotations

from typing import Any

from balancer.engine.drink.bar import Bar
from balancer.engine.prep.make import Making, WantedSyrup, make
from balancer.models.ingredient import Ingredient
from balancer.models.names import NameIndex
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.units import Quantity, parse_pour, parse_quantity
from tests.engine.builders import house, ingredient, syrup

SUGAR = ingredient("sugar", sugar="1000 g/kg")
CUBES = ingredient("cube sugar", sugar="1000 g/kg", each={"cube": "4 g", "cup": "200 g"})
LIME = ingredient("lime juice", sugar="16.9 g/kg", acid="46 g/l")
PULP = ingredient("pulp", sugar="44 g/kg", acid="16 g/kg")
PLUMS = ingredient("plums")
VODKA = ingredient("vodka", abv="40 %", sugar="0 g/l")
PANTRY = (SUGAR, CUBES, LIME, PULP, PLUMS, VODKA)


def kitchen(*entries: Ingredient | Syrup, **house_keys: Any) -> Bar:
    """A bar with these entries and the pantry, findable by name."""
    names = NameIndex()
    held = {entry.id: entry for entry in (*PANTRY, *entries)}
    for entry in held.values():
        names.add(entry.id, (entry.name, *entry.also))
    ingredients = {key: entry for key, entry in held.items() if isinstance(entry, Ingredient)}
    syrups = {key: entry for key, entry in held.items() if isinstance(entry, Syrup)}
    return Bar(Specs(house(**house_keys), ingredients, syrups, {}, names, NameIndex()))


def recipe(*lines: str, name: str = "test syrup", **keys: Any) -> Syrup:
    """A syrup with a recipe written as in a file."""
    parts = [{"pour": amount, "of": of} for amount, of in (parse_pour(line) for line in lines)]
    return syrup(name, recipe=parts, **keys)


def made(
    *lines: str,
    among: tuple[Ingredient | Syrup, ...] = (),
    bulk: float | None = None,
    house_keys: dict[str, Any] | None = None,
    keys: dict[str, Any] | None = None,
    **wanted: Any,
) -> Making:
    """A recipe made: what is wanted by the names of WantedSyrup, an acid as text, what there is as lines."""
    source = recipe(*lines, **(keys or {}))
    return make(kitchen(*among, source, **(house_keys or {})), source, _wanted(wanted), bulk_g_per_ml=bulk)


def _wanted(wanted: dict[str, Any]) -> WantedSyrup:
    have = tuple(parse_pour(line) for line in wanted.pop("have", ()))
    acid: Quantity | None = parse_quantity(wanted.pop("acid")) if "acid" in wanted else None
    return WantedSyrup(have=have, acid=acid, **wanted)
