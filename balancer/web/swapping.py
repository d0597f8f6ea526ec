"""A swap that the page is asked for: understood out of its address, and worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final
from urllib.parse import urlencode

from balancer.desk.desk import Desk
from balancer.desk.swapping import held_of, made_up, strengths
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.at import STANDARD, At
from balancer.engine.swaps.fits import DrinkFits, fits, main_sweetener, sweeteners
from balancer.engine.swaps.made_up import with_syrup
from balancer.engine.swaps.moved import Held
from balancer.engine.swaps.roles import is_sour, may_go, sours, usually_held
from balancer.engine.swaps.swap import Swap, check_going, swap
from balancer.errors import BalancerError, UsageError
from balancer.models.drink import Drink
from balancer.web.typed import Typed

TONIGHT: Final = "tonight"
_OF_HELD: Final = ("nothing-to-hold", "acid-unknown", "abv-unknown")
"""Errors of a swap that are about what is held."""


@dataclass(slots=True)
class AskedSwap:
    """One question about a swap, and as much of its answer as there is.

    typed     its fields, each with what is wrong with it
    drink     None where none is named
    at        at which strengths; out_id, into_id: what goes and what comes, "" where nobody says
    is_made_up  whether what comes is in no file
    bar       with what comes in it
    """

    desk: Desk
    typed: Typed
    bar: Bar
    drink: Drink | None = None
    at: At = STANDARD
    out_id: str = ""
    into_id: str = ""
    is_made_up: bool = False
    held: tuple[Held, ...] = ()
    result: Swap | None = None
    fits: DrinkFits | None = None
    goes: tuple[str, ...] = ()
    comes: list[str] = field(default_factory=list)

    @property
    def is_tonight(self) -> bool:
        """Whether open batches count."""
        return self.typed.text("at") == TONIGHT

    @property
    def is_sour(self) -> bool:
        """Whether a sour goes."""
        return bool(self.out_id) and is_sour(self.desk.bar, self.out_id)

    @property
    def fields(self) -> dict[str, str]:
        """The question as fields of a form."""
        found = {name: self.typed.text(name) for name in ("drink", "out", "in", "new", "at")}
        return {name: text for name, text in (found | {"hold": ",".join(self.held)}).items() if text}

    def query(self, **other: str) -> str:
        """The question as the end of an address, with some fields otherwise, left out where empty."""
        found = self.fields | other
        return urlencode({name: text for name, text in found.items() if text})


def asked_swap(desk: Desk, fields: Mapping[str, str], held: Sequence[str]) -> AskedSwap:
    """A swap out of the fields of its form; held are the words of what is held. What is wrong stands at its field."""
    asked = AskedSwap(desk, Typed(fields), desk.bar)
    typed = asked.typed
    asked.drink = drink_of(desk, typed)
    asked.at = strengths(desk, tonight=asked.is_tonight)
    if asked.drink is None:
        return asked
    asked.goes = may_go(desk.bar, asked.drink)
    asked.out_id = _out(asked, asked.drink)
    if not asked.out_id:
        return asked
    asked.held = _held(asked, held)
    _list_what_fits(asked, asked.drink)
    if _is_named(asked) and not typed.wrong:
        _work_out(asked, asked.drink)
    return asked


def drink_of(desk: Desk, typed: Typed) -> Drink | None:
    """The drink that a form is about, by its id; None where none is, and told where none has that id."""
    text = typed.text("drink")
    found = desk.specs.drinks.get(text)
    if text and found is None:
        typed.refuse("drink", f'no drink is called "{text}": choose one')
    return found


def _out(asked: AskedSwap, drink: Drink) -> str:
    """What goes: what is named, else its main sweetener, else the first that may."""
    text, bar = asked.typed.text("out"), asked.desk.bar
    if text:
        if all(pour.of != text for pour in drink.pours):
            asked.typed.refuse("out", f'{drink.name} does not pour "{text}": choose what it pours')
            return ""
        return text
    try:
        return main_sweetener(bar, drink)
    except BalancerError as error:
        if not asked.goes:
            asked.typed.refuse("out", f"{drink.name} pours no sweetener and no sour that may change")
        elif any(not is_sour(bar, each) for each in asked.goes):
            asked.typed.refuse("out", error)
        return next(iter(asked.goes), "")


def _held(asked: AskedSwap, words: Sequence[str]) -> tuple[Held, ...]:
    wanted = [word for text in words for word in text.split(",") if word.strip()]
    try:
        found = held_of(wanted, "hold")
    except UsageError as error:
        asked.typed.refuse("hold", error)
        found = ()
    return found or usually_held(asked.desk.bar, asked.out_id)


def _is_named(asked: AskedSwap) -> bool:
    """Whether it is said what comes."""
    typed, desk = asked.typed, asked.desk
    new, text = typed.text("new"), typed.text("in")
    if new and text:
        typed.refuse("new", "one of them comes: leave the other empty")
        return False
    if text:
        if desk.specs.find_liquid(text) is None:
            typed.refuse("in", f'no syrup or ingredient is called "{text}": choose one')
            return False
        asked.into_id = text
        return True
    if not new:
        return False
    try:
        syrup = made_up(new, "new")
    except UsageError as error:
        typed.refuse("new", error)
        return False
    if syrup is None:
        typed.refuse("new", f'"{new}" is no strength: write it like 50 °Bx, acid 9 g/kg')
        return False
    asked.bar, asked.into_id, asked.is_made_up = with_syrup(desk.bar, syrup), syrup.id, True
    asked.at = asked.at.inventing(syrup.id)
    return True


def _list_what_fits(asked: AskedSwap, drink: Drink) -> None:
    """What may come, the closest match first; sours, which nothing ranks, by name."""
    bar, specs = asked.desk.bar, asked.desk.specs
    if asked.is_sour:
        known = sorted(sours(bar), key=lambda each: specs.name_of(each).casefold())
        asked.comes = [each for each in known if each != asked.out_id]
        return
    ids = sweeteners(bar)
    try:
        asked.fits = fits(bar, drink, asked.out_id, ids, asked.at)
    except BalancerError as error:
        if not (asked.is_tonight or asked.typed.text("in") or asked.typed.text("new")):
            asked.typed.refuse("out", error)  # else the swap itself tells
        asked.comes = [each for each in ids if each != asked.out_id]
        return
    asked.comes = [*(fit.into.id for fit in asked.fits.fits), *(one.into.id for one in asked.fits.misfits)]


def _work_out(asked: AskedSwap, drink: Drink) -> None:
    """The swap, or what is wrong with which field."""
    try:
        check_going(asked.bar, drink, asked.out_id, asked.held, asked.at)
    except BalancerError as error:
        asked.typed.refuse("hold" if error.problems()[0].code in _OF_HELD else "out", error)
        return
    try:
        asked.result = swap(asked.bar, drink, asked.out_id, asked.into_id, asked.held, asked.at)
    except BalancerError as error:
        place = "new" if asked.is_made_up else "in"
        asked.typed.refuse("hold" if error.problems()[0].code in _OF_HELD else place, error)
