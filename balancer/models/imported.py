"""What an import found in a spreadsheet, for whoever shows it."""

from __future__ import annotations

from typing import Literal, NamedTuple

from balancer.errors import Problem
from balancer.models.pantry import PantryEntry

CellState = Literal["ready", "written", "already there", "faulty"]


class ImportedDrink(NamedTuple):
    """One drink of the spreadsheet: the rows it takes, and its file when it is or would be written.

    method, pours  as they stand in that file
    left_out       what somebody said is not poured, as the sheet has it
    has_dilution   whether its method, or it itself, tells how much water it gets
    """

    id: str
    name: str
    rows: tuple[int, ...]
    state: CellState
    file: str | None = None
    method: str | None = None
    pours: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    has_dilution: bool = True


class Suggestion(NamedTuple):
    """What a name may mean: something of the house, or of the pantry."""

    name: str
    in_house: bool


class NewIngredient(NamedTuple):
    """Something poured that the house does not know.

    near    what the house, or else the pantry, has that is likeliest meant
    pantry  what the pantry has by that very name, to be asked about
    file    where it is or would be written; None while every drink that pours it has faults
    may_be  all that may be meant, likeliest first
    drinks  how many drinks pour it
    kept    whether the map says that it is called so, so that nobody is asked again
    """

    id: str
    name: str
    rows: tuple[int, ...]
    near: str | None = None
    file: str | None = None
    pantry: PantryEntry | None = None
    may_be: tuple[Suggestion, ...] = ()
    drinks: int = 0
    kept: bool = False


class UnknownGlass(NamedTuple):
    """A glass that the house does not list, as the sheet calls it, its rows, and the house's own that may be meant."""

    name: str
    rows: tuple[int, ...]
    near: str | None = None


class Lacking(NamedTuple):
    """Something that comes into the house without a figure that its drinks need: alcohol, sugar or acid."""

    name: str
    what: tuple[str, ...]


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
    """The whole of one import. files are those written, or those that would be; pantry is what it takes from there.

    layout   how its drinks are laid out: rows, blocks, a column for each ingredient or role
    lacking  what comes into the house without a figure
    map      the file of the map that was used or written, if any
    """

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
    layout: str = "rows"
    glasses: tuple[UnknownGlass, ...] = ()
    lacking: tuple[Lacking, ...] = ()
    map: str | None = None

    def number_of(self, *states: CellState) -> int:
        """How many drinks are in one of these states."""
        return sum(drink.state in states for drink in self.drinks)
