"""What comes in a swap.

It is something of the house, or a syrup that does not exist yet, like "50 °Bx, acid 9 g/kg".
"""

from __future__ import annotations

from balancer.asking import names
from balancer.desk.desk import Desk
from balancer.desk.swapping import LIKE, made_up
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.made_up import with_syrup
from balancer.engine.swaps.roles import is_sour, is_sweet
from balancer.errors import UsageError
from balancer.models.names import slug


def coming(desk: Desk, text: str, option: str, out_id: str | None = None) -> tuple[Bar, str, bool]:
    """The bar with what comes in it, its id, and whether it is made up.

    out_id  what goes: where it is a sour, a raw ingredient of that name is meant, else a sweetener
    Raises UsageError for what is neither, and for a made-up syrup that cannot be.
    """
    syrup = made_up(text, desk.calls(option))
    if syrup is not None:
        return with_syrup(desk.bar, syrup), syrup.id, True
    try:
        return desk.bar, named(desk, text, option, out_id), False
    except UsageError as error:
        if error.problems()[0].code != "unknown-name":
            raise
        told = error.problems()[0]
        hint = f"{told.remedy}; one that no file has yet is written {LIKE}"
        raise UsageError("unknown-name", told.message, hint) from None


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
