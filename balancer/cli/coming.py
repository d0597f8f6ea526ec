"""What comes in a swap, and at which strengths it is worked out.

It is something of the house, or a syrup that does not exist yet, like "50 °Bx, acid 9 g/kg".
"""

from __future__ import annotations

import re
from typing import Any, Final

from balancer.cli import names
from balancer.desk.desk import Desk
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.at import STANDARD, At
from balancer.engine.swaps.at import tonight as at_tonight
from balancer.engine.swaps.made_up import with_syrup
from balancer.engine.swaps.roles import is_sour, is_sweet
from balancer.errors import QuantityError, UsageError
from balancer.files.yaml.validate import check
from balancer.models.names import slug
from balancer.models.syrup import Syrup
from balancer.units import format_quantity, parse_number, parse_quantity

_LIKE: Final = '"50 °Bx, acid 9 g/kg, sugars fructose 100 %"'
_COMMA: Final = re.compile(r"[,;](?![0-9])")
_STRENGTH_FIRST: Final = re.compile(r"[0-9.,]+\s*[°º˚]?\s*(?:bx|brix)\b", re.IGNORECASE)
_SHARES: Final = ("sugars", "acids")
_KEYS: Final = ("sugar share", *_SHARES, "acid", "abv")
_SHARE: Final = re.compile(r"(?P<name>[^\W\d_][\w\s]*?)\s*:?\s*(?P<share>[0-9].*)")
_TURNED: Final = re.compile(r"(?P<value>[0-9].*\S)\s+(?P<key>acid|abv)")


def strengths(desk: Desk, *, tonight: bool) -> At:
    """For the spec, or as the open batches read; the log is read for tonight only."""
    return at_tonight(desk.bar, desk.in_use) if tonight else STANDARD


def coming(desk: Desk, text: str, option: str, out_id: str | None = None) -> tuple[Bar, str, bool]:
    """The bar with what comes in it, its id, and whether it is made up.

    out_id  what goes: where it is a sour, a raw ingredient of that name is meant, else a sweetener
    Raises UsageError for what is neither, and for a made-up syrup that cannot be.
    """
    syrup = made_up(text, option)
    if syrup is not None:
        return with_syrup(desk.bar, syrup), syrup.id, True
    try:
        return desk.bar, named(desk, text, option, out_id), False
    except UsageError as error:
        if error.problems()[0].code != "unknown-name":
            raise
        told = error.problems()[0]
        hint = f"{told.remedy}; one that no file has yet is written {_LIKE}"
        raise UsageError("unknown-name", told.message, hint) from None


def made_up(text: str, option: str) -> Syrup | None:
    """A syrup by its strength and what else is told of it, with the rules of a file; None for anything else.

    Nobody knows its allergens.
    Raises UsageError when a file could not hold it either.
    """
    first, *rest = [part.strip() for part in _COMMA.split(text)]
    try:
        strength = parse_quantity(first)
    except QuantityError:
        if _is_bare_number(first):
            raise UsageError("usage", f'{option}: "{text}" is no name', f"a made-up syrup is like {_LIKE}") from None
        if _STRENGTH_FIRST.match(first):
            raise UsageError("usage", f'{option}: "{text}" is not one strength', f"put commas: {_LIKE}") from None
        return None
    if strength.kind != "strength":
        return None
    data = {"standard": first, **_told(rest, option)}
    name = " and ".join([f"syrup of {format_quantity(strength, glyphs=False)}", *rest])
    found, errors = check(Syrup, {"syrup": name, "id": slug(name), **data})
    if found is None:
        told = errors[0]
        remedy = told.get("ctx", {}).get("remedy", f"write it like {_LIKE}")
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
                raise UsageError("usage", f'{option}: nothing of a syrup is "{part}"', f"write it like {_LIKE}")
            shares[share["name"].casefold()] = share["share"]
        else:
            data[key], shares = value, None
    return data


def _is_bare_number(text: str) -> bool:
    try:
        parse_number(text)
    except QuantityError:
        return False
    return True


def named(desk: Desk, text: str, option: str, out_id: str | None = None) -> str:
    """The id of something of the house. "ginger" is ginger syrup, although there is ginger to make it of.

    Nobody swaps a sweetener for what is neither sweet nor sour.
    """
    specs = desk.specs
    whole = specs.liquid_names.whole(text)
    is_raw = whole in specs.ingredients and not is_sweet(desk.bar, whole) and not is_sour(desk.bar, whole)
    if whole is None or not is_raw or (out_id is not None and is_sour(desk.bar, out_id)):
        return names.liquid(desk, text, option)
    key = f"{slug(text)}-"
    sweet = [*specs.syrups, *(each for each in specs.ingredients if is_sweet(desk.bar, each))]
    found = [each for each in sweet if each.startswith(key)]
    return names.one_of(desk, text, found, option) if found else names.liquid(desk, text, option)
