"""What `make` is asked for, out of its options."""

from __future__ import annotations

from balancer.cli import values
from balancer.cli.desk import Desk
from balancer.engine.prep.make import Wanted
from balancer.errors import QuantityError, UsageError
from balancer.models.house import House
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup
from balancer.units import Quantity, parse_pour, parse_quantity

_MOST_G = 100_000.0
_MOST_ACID = 300.0


def wanted_of(
    house: House,
    mass: str | None,
    volume: str | None,
    container: str | None,
    strength: str | None,
    have: list[str],
    acid: str | None,
) -> Wanted:
    """The question. Raises UsageError for what is not an amount, and for a mass and a volume at once."""
    if mass is not None and volume is not None:
        raise UsageError("usage", "--mass and --volume: one of them decides how much", "leave one out")
    measures = house.measures()
    return Wanted(
        mass_g=None if mass is None else values.measure(mass, "--mass", "mass", "g", low=0.0, high=_MOST_G),
        volume_ml=None if volume is None else values.volume(volume, "--volume", measures),
        container_ml=None if container is None else values.volume(container, "--container", measures),
        have=tuple(_have(text) for text in have),
        brix=None if strength is None else values.brix(strength, "--strength"),
        acid=None if acid is None else _acid(acid),
    )


def source_of(desk: Desk, text: str, wanted: Wanted) -> Syrup | Ingredient:
    """The syrup a name means; the juice, when there is none and an acid is asked for."""
    specs = desk.loaded.specs
    try:
        return specs.syrups[desk.find("syrups", text)]
    except UsageError as error:
        found = [specs.ingredients[name] for name in specs.liquid_names.find(text) if name in specs.ingredients]
        if wanted.acid is None or len(found) != 1 or error.code == "ambiguous-name":
            raise
        return found[0]


def bulk_of(text: str | None) -> float | None:
    """A bulk density in g/ml."""
    return None if text is None else values.measure(text, "--bulk-density", "density", "g/ml", low=0.0, high=2.5)


def _have(text: str) -> tuple[Quantity, str]:
    try:
        amount, name = parse_pour(text)
    except QuantityError as error:
        raise UsageError("usage", f"--have: {error.reason}", error.remedy) from None
    if not amount.unit or not name:
        raise UsageError(
            "usage", f'--have: "{text}" does not say how much of what', 'write it like "500 g raspberries"'
        )
    if amount.value <= 0.0:
        raise UsageError("usage", f'--have: "{text}" is nothing', "give an amount above zero")
    return amount, name


def _acid(text: str) -> Quantity:
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        raise UsageError("usage", f"--acid: {error.reason}", "write it like 45g/l or 45g/kg") from None
    if found.kind != "concentration" or not 0.0 < found.value <= _MOST_ACID:
        raise UsageError("usage", f'--acid: "{text}" is not an acid to reach', "write it like 45g/l, up to 300g/l")
    return found
