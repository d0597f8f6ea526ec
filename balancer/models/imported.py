"""What an import found in a spreadsheet, for whoever shows it."""

from __future__ import annotations

from typing import Literal, NamedTuple

from balancer.errors import Problem
from balancer.models.pantry import PantryEntry

CellState = Literal["ready", "written", "already there", "faulty"]


class ImportedDrink(NamedTuple):
    """One drink of the spreadsheet: the rows it takes, and its file when it is or would be written.

    method, pours  as they stand in that file
    """

    id: str
    name: str
    rows: tuple[int, ...]
    state: CellState
    file: str | None = None
    method: str | None = None
    pours: tuple[str, ...] = ()


class NewIngredient(NamedTuple):
    """Something poured that the house does not know.

    near    what the house has that is called nearly so
    pantry  what the pantry has by that very name, to be asked about
    file    where it is or would be written; None while every drink that pours it has faults
    """

    id: str
    name: str
    rows: tuple[int, ...]
    near: str | None = None
    file: str | None = None
    pantry: PantryEntry | None = None


class Column(NamedTuple):
    """A column that was not read, counted from 0, and as a person finds it."""

    place: int
    letter: str
    heading: str


class SkippedRow(NamedTuple):
    """A row that was passed over, and why."""

    row: int
    why: str


class Imported(NamedTuple):
    """The whole of one import. files are those written, or those that would be; pantry is what it takes from there."""

    path: str
    encoding: str
    encoding_is_sure: bool
    delimiter: str
    heading_row: int | None
    drinks: tuple[ImportedDrink, ...]
    ingredients: tuple[NewIngredient, ...]
    unread: tuple[Column, ...]
    skipped: tuple[SkippedRow, ...]
    problems: tuple[Problem, ...]
    files: tuple[str, ...]
    is_written: bool
    pantry: tuple[PantryEntry, ...] = ()

    def number_of(self, *states: CellState) -> int:
        """How many drinks are in one of these states."""
        return sum(drink.state in states for drink in self.drinks)
