"""Bringing a recipe to a strength and an acid, before any of it is weighed out."""

from __future__ import annotations

from collections.abc import Callable

from balancer.engine.prep.recipe import CITRIC_ACID, Item, whole
from balancer.errors import CannotError, OutOfRangeError
from balancer.numerics import find_root
from balancer.units import Quantity


def at_target(items: tuple[Item, ...], brix: float | None, acid: Quantity | None, name: str) -> tuple[Item, ...]:
    """The recipe at a strength and an acid, as far as they are asked for; the other parts keep their weights.

    brix  °Bx, reached by more or less of the water, or of the sweetener where no water is listed
    acid  titratable, g/kg or g/l, reached by more or less of the powders listed, or by citric acid
    name  of the syrup, for messages
    The powder is solved for, and the strength anew at each of its amounts.
    Raises CannotError when no amounts do it.
    """
    if acid is None:
        return _with_strength(items, brix, name)
    powders = [item for item in items if item.is_powder]
    rest = tuple(item for item in items if not item.is_powder)
    if not powders:
        powders = [Item(CITRIC_ACID, Quantity(1.0, "g"), 1.0, 0.0, is_house=False)]
    powder_g = sum(item.mass_g for item in powders)
    target, per_litre = acid.value, acid.unit == "g/l"

    def with_powder(grams: float) -> tuple[Item, ...]:
        added = tuple(item.times(grams / powder_g) for item in powders) if grams else ()
        return _with_strength(_in_order(items, (*rest, *added)), brix, name)

    def over(grams: float) -> float:
        made = whole(with_powder(grams))
        return (made.acid_g_per_l if per_litre else made.acid_g_per_kg) - target

    short = over(0.0)
    if short > 0.0:
        raise CannotError(
            "acid",
            f"{name} has {short + target:.0f} {acid.unit} acid without any powder, more than {target:g}",
            "put in more water, or less of what is sour",
        )
    try:
        most = _until_above(over, 0.01 * sum(item.mass_g for item in rest))
        return with_powder(find_root(over, 0.0, most))
    except OutOfRangeError:
        raise CannotError(
            "acid", f"no amount of powder brings {name} to {target:g} {acid.unit}", "ask for less acid"
        ) from None


def _until_above(f: Callable[[float], float], start: float) -> float:
    """A place where f is above zero, looked for by doubling. It ends: the volume model refuses too much acid."""
    x = start
    while f(x) < 0.0:
        x *= 2.0
    return x


def _in_order(listed: tuple[Item, ...], items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Items in the order of the recipe; what it does not list comes last."""
    order = {item.liquid.id: place for place, item in enumerate(listed)}
    return tuple(sorted(items, key=lambda item: order.get(item.liquid.id, len(order))))


def _with_strength(items: tuple[Item, ...], brix: float | None, name: str) -> tuple[Item, ...]:
    """The recipe at a strength, by more or less of its water, or of its sweetener where it lists no water.

    What the part weighs: (T m - 100 s) / (R - T), with m and s the mass and the solids of all other parts
    and R the strength of the part.
    """
    if brix is None:
        return items
    for part in _free_parts(items, brix):
        others = [item for item in items if item is not part]
        mass, solids = sum(item.mass_g for item in others), sum(item.solids_g for item in others)
        grams = (brix * mass - 100.0 * solids) / (100.0 * part.solids_per_g - brix)
        if grams > 0.0:
            return tuple(part.weighing(grams) if item is part else item for item in items)
    raise CannotError(
        "strength",
        f"no amount of water or sweetener brings {name} to {brix:g} °Bx",
        "give a strength between that of its parts, or list water in the recipe",
    )


def _free_parts(items: tuple[Item, ...], brix: float) -> list[Item]:
    """What may be changed to reach a strength: water first, then the part that brings most of the sweetness."""
    water = [item for item in items if item.is_water]
    sweet = [item for item in items if 100.0 * item.solids_per_g > brix]
    return water[:1] + sorted(sweet, key=lambda item: -item.solids_g)[:1]
