"""Looking for a drink by what somebody typed: by its name, by a name like it, or by what it pours."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches
from typing import Final

from balancer.models.drink import Drink
from balancer.models.names import slug
from balancer.models.specs import Specs

_CLOSE: Final = 0.7
_SO_MANY: Final = 3


def is_called(name: str, asked: str) -> bool:
    """Whether somebody who typed `asked` means a name: every word begins a word of it.

    >>> is_called("Slipway Sour", "sour sl"), is_called("Slipway Sour", "lip")
    (True, False)
    """
    names = slug(name).split("-")
    return all(any(one.startswith(part) for one in names) for part in slug(asked).split("-") if part)


def like(drinks: Sequence[Drink], asked: str) -> list[Drink]:
    """Drinks of which the name, or a word of it, is written much like `asked`; the closest first."""
    spelt: dict[str, list[Drink]] = {}
    for drink in drinks:
        name = slug(drink.name)
        for word in dict.fromkeys([name, *name.split("-")]):
            spelt.setdefault(word, []).append(drink)
    close = get_close_matches(slug(asked), list(spelt), n=_SO_MANY, cutoff=_CLOSE)
    return list({drink.id: drink for word in close for drink in spelt[word]}.values())


def that_pour(drinks: Sequence[Drink], specs: Specs, asked: str) -> list[Drink]:
    """Drinks that pour something of the name `asked`."""
    if not slug(asked):
        return []
    return [drink for drink in drinks if any(is_called(specs.name_of(pour.of), asked) for pour in drink.pours)]
