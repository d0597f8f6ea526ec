"""What a swap and an adjusted drink are asked for, out of texts: what is held, how much is wanted, a made-up syrup."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, Final

from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.swaps.adjust_goals import Wanted
from balancer.engine.swaps.at import STANDARD, At
from balancer.engine.swaps.at import tonight as at_tonight
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.search import QUANTITIES
from balancer.errors import QuantityError, UsageError
from balancer.files.yaml.validate import check
from balancer.models.names import slug
from balancer.models.syrup import Syrup
from balancer.units import format_quantity, is_number, parse_quantity

LIKE: Final = '"50 °Bx, acid 9 g/kg, sugars fructose 100 %"'
"""A syrup that no file has yet, as it is written."""
_COMMA: Final = re.compile(r"[,;](?![0-9])")
_STRENGTH_FIRST: Final = re.compile(r"[0-9.,]+\s*[°º˚]?\s*(?:bx|brix)\b", re.IGNORECASE)
_SHARES: Final = ("sugars", "acids")
_KEYS: Final = ("sugar share", *_SHARES, "acid", "abv")
_SHARE: Final = re.compile(r"(?P<name>[^\W\d_][\w\s]*?)\s*:?\s*(?P<share>[0-9].*)")
_TURNED: Final = re.compile(r"(?P<value>[0-9].*\S)\s+(?P<key>acid|abv)")


def strengths(desk: Desk, *, tonight: bool) -> At:
    """For the spec, or as the open batches read; the log is read for tonight only."""
    return at_tonight(desk.bar, desk.in_use) if tonight else STANDARD


def held_of(words: Iterable[str], option: str) -> tuple[Held, ...]:
    """What is to be held, each once, in the order written. Raises UsageError for what nobody can hold."""
    found: dict[Held, None] = {}
    for word in words:
        wanted = word.strip().casefold()
        known = next((quantity for quantity in QUANTITIES if quantity == wanted), None)
        if known is None:
            raise UsageError(
                "usage", f'{option}: "{word.strip()}" is nothing to hold', f"choose {', '.join(QUANTITIES)}"
            )
        found[known] = None
    return tuple(found)


def wanted(text: str, option: str) -> Wanted:
    """How much of something a drink should have. Raises UsageError as `change` does."""
    found = values.change(text, option)
    return Wanted(percent=found.value) if found.unit == "%" else Wanted(grams=found.value)


def made_up(text: str, option: str) -> Syrup | None:
    """A syrup by its strength and what else is told of it, with the rules of a file; None for anything else.

    Nobody knows its allergens.
    Raises UsageError when a file could not hold it either.
    """
    first, *rest = [part.strip() for part in _COMMA.split(text)]
    try:
        strength = parse_quantity(first)
    except QuantityError:
        if is_number(first):
            raise UsageError("usage", f'{option}: "{text}" is no name', f"a made-up syrup is like {LIKE}") from None
        if _STRENGTH_FIRST.match(first):
            raise UsageError("usage", f'{option}: "{text}" is not one strength', f"put commas: {LIKE}") from None
        return None
    if strength.kind != "strength":
        return None
    data = {"standard": first, **_told(rest, option)}
    name = " and ".join([f"syrup of {format_quantity(strength, glyphs=False)}", *rest])
    found, errors = check(Syrup, {"syrup": name, "id": slug(name), **data})
    if found is None:
        told = errors[0]
        remedy = told.get("ctx", {}).get("remedy", f"write it like {LIKE}")
        raise UsageError("usage", f"{option}: {told['msg']}", str(remedy))
    return found


def _told(parts: list[str], option: str) -> dict[str, Any]:
    """What is told of a syrup besides its strength, as a file has it."""
    data: dict[str, Any] = {}
    shares: dict[str, str] | None = None
    for part in parts:
        turned = _TURNED.fullmatch(part)
        text = f"{turned['key']} {turned['value']}" if turned else part
        key = next((each for each in _KEYS if re.match(rf"{each}\b", text, re.IGNORECASE)), None)
        value = text[len(key) :].lstrip(" :") if key else text
        if key in _SHARES:
            shares = data.setdefault(key, {})
        if key is None or key in _SHARES:
            share = _SHARE.fullmatch(value)
            if shares is None or share is None:
                raise UsageError("usage", f'{option}: nothing of a syrup is "{part}"', f"write it like {LIKE}")
            shares[share["name"].casefold()] = share["share"]
        else:
            data[key], shares = value, None
    return data
