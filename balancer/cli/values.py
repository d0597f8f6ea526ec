"""Option texts to numbers, by the same parser as the files. What is wrong here is wrong usage."""

from __future__ import annotations

from collections.abc import Iterable

from balancer.errors import QuantityError, UsageError
from balancer.models.batch import CAUSES, Cause
from balancer.units import Kind, Measures, Quantity, known_units, parse_number, parse_quantity


def measure(text: str, option: str, kind: Kind, default_unit: str, *, low: float, high: float) -> float:
    """A number with or without its unit, in the default unit and between low (excluded) and high."""
    wanted = f"give a number above {low:g} and up to {high:g} {default_unit}"
    try:
        value = parse_number(text)
    except QuantityError:
        found = _quantity(text, option, wanted)
        if found.kind != kind:
            raise _wrong(option, f'"{text}" is in {found.unit}', f"use {known_units(kind)}") from None
        value = found.base
    if not low < value <= high:
        raise _wrong(option, f'"{text}" cannot be right', wanted)
    return value


def numbers_and_name(words: Iterable[str]) -> tuple[list[str], str]:
    """Words as people type them, in any order: those that begin like a number, and the others as one name.

    >>> numbers_and_name(["54", "53,8", "rich", "syrup"]), numbers_and_name(["RAS-12", "54°Bx"])
    ((['54', '53,8'], 'rich syrup'), (['54°Bx'], 'RAS-12'))
    """
    numbers: list[str] = []
    name: list[str] = []
    for word in words:
        (numbers if _begins_like_a_number(word) else name).append(word)
    return numbers, " ".join(name)


def _begins_like_a_number(word: str) -> bool:
    """Whether it does; "2:1" is the name of a syrup."""
    first = word.lstrip("+-−.,")[:1]
    return first.isnumeric() and ":" not in word


def zero_or_more(text: str, option: str, kind: Kind, unit: str, high: float) -> float:
    """A number that may be zero, with or without its unit."""
    try:
        if parse_number(text) == 0.0:
            return 0.0
    except QuantityError:
        pass
    return measure(text, option, kind, unit, low=0.0, high=high)


def brix(text: str, option: str) -> float:
    """A strength in °Bx."""
    return measure(text, option, "strength", "°Bx", low=0.0, high=85.0)


def tolerance(text: str, option: str) -> float:
    """A tolerance in %."""
    return measure(text, option, "share", "%", low=0.0, high=50.0)


def uncertainty(text: str, option: str) -> float:
    """A standard uncertainty in °Bx."""
    return measure(text, option, "strength", "°Bx", low=0.0, high=20.0)


def volume(text: str, option: str, measures: Measures) -> float:
    """A volume in ml. It needs its unit."""
    found = _quantity(text, option)
    if found.kind != "volume":
        raise _wrong(option, f'"{text}" is not a volume', f"use {known_units('volume')}")
    ml = measures.ml(found)
    if not 0.0 < ml <= 100_000.0:
        raise _wrong(option, f'"{text}" cannot be poured', "give an amount above 0 and up to 100 l")
    return ml


def mass(text: str, option: str) -> float:
    """A mass in g. It needs its unit: 2 could be grams or kilograms."""
    found = _quantity(text, option, "write it with its unit, like 2kg")
    if found.kind != "mass":
        raise _wrong(option, f'"{text}" is not a mass', "weigh it: g or kg")
    if not 0.0 < found.base <= 1_000_000.0:
        raise _wrong(option, f'"{text}" cannot be right', "give a mass above zero")
    return found.base


def concentration(text: str, option: str) -> Quantity:
    """A content of acid or sugar, in g/l or g/kg."""
    found = _quantity(text, option, "write it like 46g/l or 9g/kg")
    if found.kind != "concentration" or not 0.0 <= found.value <= 1600.0:
        raise _wrong(option, f'"{text}" is not a content', "write it like 46g/l or 9g/kg")
    return found


def cause(text: str) -> Cause:
    """Why a batch is off."""
    for known in CAUSES:
        if text.strip().casefold() == known:
            return known
    raise _wrong("--cause", f'"{text}" is not a cause known here', f"choose {', '.join(CAUSES)}")


def _quantity(text: str, option: str, wanted: str = "") -> Quantity:
    try:
        return parse_quantity(text)
    except QuantityError as error:
        remedy = error.remedy
        if error.code == "unit-missing":
            remedy = wanted or f"write it with its unit, like {text.strip()}ml"
        elif wanted and error.code != "number-ambiguous":
            remedy = wanted
        raise _wrong(option, error.reason, remedy) from None


def _wrong(option: str, message: str, remedy: str) -> UsageError:
    return UsageError("usage", f"{option}: {message}", remedy)
