"""What people write where an amount is wanted, and what to write instead: for files and the command line alike."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from balancer.errors import QuantityError
from balancer.units import Kind, Quantity, find_unit, format_number, parse_number, parse_quantity

POUND_G: Final = 453.59237
"""Exact: the international pound of 1959."""

_MOST_OZ: Final = 10.0
_POUNDS: Final = ("lb", "lbs", "pound", "pounds")
_RATIO: Final = r"(?P<sugar>[0-9]+(?:[.,][0-9]+)?)\s*[:∶]\s*(?P<water>[0-9]+(?:[.,][0-9]+)?)"
_UNITS: Final[Mapping[Kind, tuple[str, ...]]] = {
    "volume": ("ml", "oz"),
    "mass": ("g",),
    "strength": ("°Bx",),
    "share": ("%",),
    "concentration": ("g/kg", "g/l"),
    "density": ("g/ml",),
    "temperature": ("°C", "°F"),
    "duration": ("days", "weeks"),
    "heat capacity": ("J/K",),
}


def choices(text: str, kinds: Sequence[Kind], units: Sequence[str] = ()) -> list[str]:
    """A bare number with each unit that it may be in: those given, or the usual ones of the kinds.

    Nobody has ten ounces of one thing in a spec.

    >>> choices("2", ["mass"], ["kg", "g"]), choices("75", ["temperature"])
    (['2 kg', '2 g'], ['75 °C', '75 °F'])
    """
    usual = [unit for kind in kinds for unit in (_UNITS[kind] if len(kinds) == 1 else _UNITS[kind][:1])]
    if not units and "oz" in usual and parse_number(text) >= _MOST_OZ:
        usual.remove("oz")
    return [f"{text.strip()} {unit}" for unit in units or usual]


class Slip(NamedTuple):
    """What is wrong with a text, and what to write in its place."""

    message: str
    remedy: str


def slip(text: str, kinds: Sequence[Kind]) -> Slip | None:
    """What is wrong with a text that should be an amount of the kinds, where it is known what is meant.

    >>> slip("2:1", ["strength"]).remedy
    'write 66.7 °Bx: 2:1 sugar to water by weight; measured by volume it is weaker'
    >>> slip("6 %", ["concentration"]).remedy
    'write 60 g/kg; if it is 6 g in 100 ml, 60 g/l'
    """
    ratio = re.fullmatch(_RATIO, text.strip())
    if ratio and "strength" in kinds:
        return _of_ratio(ratio)
    try:
        found = parse_quantity(text)
    except QuantityError as error:
        if error.code == "unit-missing":
            return Slip(error.reason, f"write {' or '.join(choices(text, kinds))}")
        return _of_pounds(text) if "mass" in kinds else None
    return _of_share(text, found, kinds) if found.kind == "share" else None


def _of_ratio(ratio: re.Match[str]) -> Slip | None:
    """Sugar to water as a strength: g of sugar per 100 g of both."""
    sugar, water = (parse_number(part) for part in ratio.groups())
    if sugar <= 0.0 or water <= 0.0:
        return None
    strength = format_number(round(100.0 * sugar / (sugar + water), 1))
    return Slip(
        f'"{ratio[0]}" is a ratio, and a strength is in °Bx',
        f"write {strength} °Bx: {ratio[0]} sugar to water by weight; measured by volume it is weaker",
    )


def _of_share(text: str, found: Quantity, kinds: Sequence[Kind]) -> Slip | None:
    """Percent where the trade means g in 100 g."""
    number = format_number(found.value)
    if "strength" in kinds:
        return Slip(f'"{text.strip()}" is a share, and a strength is in °Bx', f"write {number} °Bx")
    if "concentration" in kinds:
        tenfold = format_number(round(10.0 * found.value, 6))
        said = f'"{text.strip()}" does not say whether of weight or of volume'
        return Slip(said, f"write {tenfold} g/kg; if it is {number} g in 100 ml, {tenfold} g/l")
    return None


def _of_pounds(text: str) -> Slip | None:
    """Pounds in grams: the table has no ounce of weight, and so no pound."""
    for word in _POUNDS:
        if text.strip().casefold().endswith(word):
            try:
                grams = round(parse_number(text.strip()[: -len(word)]) * POUND_G)
            except QuantityError:
                return None
            return Slip(f'"{text.strip()}" is in pounds', f"write {grams} g")
    return None


def is_unit(word: str) -> bool:
    """Whether a word is a unit of the table or a pound."""
    return find_unit(word) is not None or word.casefold() in _POUNDS
