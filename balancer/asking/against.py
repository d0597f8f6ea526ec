"""What a person means by the other drink of `totals --against`: of the house, of a file outside it, or as printed."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final, NamedTuple

from balancer.asking import names
from balancer.desk.desk import Desk
from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.against import DrinkSource
from balancer.errors import CannotError, ProblemsError, UsageError
from balancer.files.house.base import read_file
from balancer.files.house.load import Loaded, load
from balancer.files.house.printed import read_printed
from balancer.files.house.printed_spec import specs_as_printed
from balancer.files.reading import is_there
from balancer.models.drink import Drink
from balancer.models.names import slug
from balancer.output.words.numbers import some

OPTION: Final = "--against"
PRINTED: Final = "printed"
_PRINTED: Final = (PRINTED, f"as-{PRINTED}")
_FILE: Final = re.compile(r"(?P<path>.+?\.ya?ml)(?::(?P<name>.*))?", re.IGNORECASE | re.DOTALL)
_MOST: Final = 6


class OtherDrink(NamedTuple):
    """A drink, what it is worked out with, and where it is from."""

    bar: Bar
    drink: Drink
    origin: DrinkSource


def other_drink(desk: Desk, text: str, of: Drink) -> OtherDrink:
    """The drink to set another one against.

    A text that ends in .yaml or .yml, holds a slash or begins with ~ is a file, with :NAME behind it where it holds
    several drinks; `printed` is the card of that other one. A drink of the house that is called just so goes before.
    Raises BalancerError where nothing or several things are meant, or it cannot be read.
    """
    identity = desk.specs.drink_names.whole(text)
    path, name = _path(text)
    if path is not None and (identity is None or is_there(path)):
        return _of_file(desk, path, name)
    if identity is None and slug(text) in _PRINTED:
        return _as_printed(desk, of)
    return OtherDrink(desk.bar, names.drink(desk.loaded, text), DrinkSource())


def _path(text: str) -> tuple[Path | None, str]:
    """The file that a text names, and the drink in it; None where it is no path."""
    found = _FILE.fullmatch(text)
    if found is None and not ("/" in text or "\\" in text or text.startswith("~")):
        return None, ""
    path, name = (Path(found["path"]), found["name"] or "") if found else (Path(text), "")
    try:
        return path.expanduser(), name
    except RuntimeError:  # nobody has that home
        return path, name


def _of_file(desk: Desk, path: Path, name: str) -> OtherDrink:
    """A drink of a file, with the house's ingredients and syrups. What else is wrong in the file is noticed."""
    if not is_there(path):
        raise UsageError(
            "usage", f'{desk.calls(OPTION)}: there is no file "{path}"', "name a file of drinks, like drinks/NAME.yaml"
        )
    document = read_file(path)
    if document.lost is not None:
        raise ProblemsError([document.lost])
    loaded = load(desk.folder, besides={"drinks": [document]}, saved_drinks=False)
    if name and not loaded.specs.drink_names.find(name):
        held = [each.name for each in loaded.specs.drinks.values()] + loaded.left_out("drinks")
        remedy = f"it holds {some(held, _MOST) or 'none'}"
        raise UsageError("unknown-name", f'{desk.calls(OPTION)}: "{path}" holds no drink called "{name}"', remedy)
    drink = names.drink(loaded, name or _only(desk, path, loaded))
    desk.noticed += document.problems()
    return OtherDrink(Bar(loaded.specs), drink, DrinkSource("file", path=str(path)))


def _only(desk: Desk, path: Path, loaded: Loaded) -> str:
    """The id of the only drink of a file; a person is asked where there are several."""
    called = {drink.name: drink.id for drink in loaded.specs.drinks.values()}
    called |= {entry.name or entry.id: entry.id for entry in loaded.broken_of("drinks")}
    if not called:
        raise ProblemsError(loaded.problems)
    if len(called) == 1:
        return next(iter(called.values()))
    told = f'{desk.calls(OPTION)}: "{path}" holds {len(called)} drinks'
    chosen = desk.choose(f"{told}:", list(called)[:_MOST]) if desk.can_ask and desk.choose else None
    if chosen is None:
        remedy = f'say which: {desk.calls(OPTION)} "{path}:{next(iter(called))}"'
        raise UsageError("ambiguous-name", f"{told}: {some(called, _MOST)}", remedy)
    return called[chosen]


def _as_printed(desk: Desk, of: Drink) -> OtherDrink:
    """The drink as its card was printed last."""
    card = read_printed(desk.folder).get(of.id)
    if card is None:
        remedy = f"print one: balancer cards {of.id} --out card.pdf; cards from then on are kept"
        raise CannotError("printed", f"no card of {of.name} was printed yet", remedy)
    specs = specs_as_printed(card, desk.folder)
    return OtherDrink(Bar(specs), specs.drinks[of.id], DrinkSource(PRINTED, version=card.version, date=card.date))
