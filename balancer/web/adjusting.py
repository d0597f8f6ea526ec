"""An adjusted drink that the page is asked for: understood out of its address, and worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.swapping import wanted
from balancer.engine.swaps.adjust import AdjustedDrink, adjust
from balancer.engine.swaps.adjust_goals import Asked
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.units import is_number
from balancer.web.swapping import drink_of
from balancer.web.typed import Typed, in_unit

WANTED: Final = ("sugar", "acid", "abv", "volume", "glass")
"""The fields that say what it should become."""
WAYS: Final = {"more": ("% more", "+{} %"), "less": ("% less", "−{} %"), "g": ("g in all", "{} g")}
"""What a number in the fields of sugar and acid means, as chosen and as typed. A number pad has no signs."""


@dataclass(slots=True)
class AskedAdjust:
    """One question about an adjusted drink, and its answer where there is one. typed: what is wrong with each field."""

    desk: Desk
    typed: Typed
    drink: Drink | None = None
    result: AdjustedDrink | None = None

    @property
    def fields(self) -> dict[str, str]:
        """The question as fields of a form."""
        found = {name: self.typed.text(name) for name in ("drink", *WANTED)}
        return {name: text for name, text in found.items() if text}

    @property
    def query(self) -> str:
        """The question as the end of an address."""
        return urlencode(self.fields)


def asked_adjust(desk: Desk, fields: Mapping[str, str]) -> AskedAdjust:
    """What a drink should become out of the fields of its form. What is wrong stands at its field."""
    typed = _typed(fields)
    asked = AskedAdjust(desk, typed, drink_of(desk, typed))
    if asked.drink is None:
        return asked
    measures, unit = desk.bar.measures, desk.house.show
    of_glass = in_unit(lambda text, name: values.volume(text, name, measures, values.POUR_UNITS), unit)
    what = Asked(
        typed.take("sugar", wanted),
        typed.take("acid", wanted),
        typed.take("abv", values.strength_of_drink),
        typed.take("volume", of_glass),
        typed.text("glass") or None,
    )
    if typed.text("volume") and what.glass:
        typed.refuse("volume", "the volume or the glass says how large: leave the other empty")
    if typed.wrong or not (what.sugar or what.acid or what.moves_spirits):
        return asked
    try:
        asked.result = adjust(desk.bar, asked.drink, what)
    except BalancerError as error:
        typed.refuse(_place(error, typed), error)
    return asked


def _typed(fields: Mapping[str, str]) -> Typed:
    """The fields, with the way that was chosen for sugar and acid said in them; refused beside what says its own."""
    typed = Typed(fields)
    for name in ("sugar", "acid"):
        text, way = typed.text(name), typed.text(f"{name}-way")
        if not text or way not in WAYS:
            continue
        if is_number(text) and text[0] not in values.SIGNS:
            typed.fields = {**typed.fields, name: WAYS[way][1].format(text), f"{name}-way": ""}
        else:
            typed.refuse(name, f'"{text}" beside "{WAYS[way][0]}": give the number alone, or choose "as typed"')
    return typed


def _place(error: BalancerError, typed: Typed) -> str:
    """The field that an error is about: the one that its code names, else the last that was asked."""
    words = error.problems()[0].code.split("-")
    given = [name for name in WANTED if typed.text(name)]
    return next((name for name in given if name in words), given[-1])
