"""Ingredients of the pantry, and what a house gets of them, for whoever shows it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final, NamedTuple

from balancer.models.ingredient import is_without_alcohol

_LEGAL_MINIMUM: Final = re.compile(r"(?m)^  sugar: .*# legal minimum")


class PantryEntry(NamedTuple):
    """One ingredient of the pantry. text is its entry as it stands in the file, ending in one line break."""

    name: str
    also: tuple[str, ...]
    kind: str
    group: str
    text: str

    @property
    def names(self) -> tuple[str, ...]:
        """Everything it answers to."""
        return (self.name, *self.also)

    @property
    def lacks_abv(self) -> bool:
        """Whether its alcohol is left to the label."""
        return not is_without_alcohol(self.kind)

    @property
    def is_counted(self) -> bool:
        """Whether it says what one of it weighs."""
        return "\n  each: " in self.text

    @property
    def is_least_sugar(self) -> bool:
        """Whether its sugar is the least that the law allows, as the comment behind the figure says."""
        return _LEGAL_MINIMUM.search(self.text) is not None


class PantryOffer(NamedTuple):
    """What the pantry has for a name. is_meant: it answers to that very name; otherwise it can only be asked about."""

    entry: PantryEntry
    is_meant: bool


class InHouse(NamedTuple):
    """An ingredient that is not taken, because something of the house answers to one of its names."""

    name: str
    house_name: str


class FromPantry(NamedTuple):
    """What a house gets out of the pantry: files with their bytes, what they hold, and what the house has already."""

    files: dict[Path, bytes]
    added: tuple[PantryEntry, ...] = ()
    there: tuple[InHouse, ...] = ()
