"""The batch log: what happened to each making of a syrup, one entry a line, and the batch it adds up to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Final, Literal, get_args

from balancer.units import Quantity

Event = Literal["made", "reading", "open", "empty", "correct", "discard", "undo"]
EVENTS: Final[tuple[Event, ...]] = get_args(Event)

Cause = Literal["boiled", "watered", "sugar"]
CAUSES: Final[tuple[Cause, ...]] = get_args(Cause)
"""Why a batch may be off: boiled down, watered, or made with too much or too little sugar."""

BatchState = Literal["made", "open", "empty", "discarded"]
"""made: not yet in use; open: in use; empty: used up; discarded: taken out of use."""


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One line of batches.yaml.

    batch        the batch's id, short enough for tape; for an undo, the batch it is about
    liquid       id of the syrup or ingredient (key `syrup`); None where the batch says it already
    brix         strength, °Bx; uncertainty its standard uncertainty, °Bx
    mass         g
    discard      last day of use, the day made being day 1
    at           when it was logged; entries of one command share it, and it is unique to the command;
                 None in a line written by hand without it: the order of the lines counts
    refers       batches this one replaces or is combined from; for an undo, the `at` of what it undoes
    acid         of an ingredient that was measured, g/l or g/kg
    only         of an undo: it takes back this event of its batch alone, of all that the moment has. "reading" is
                 also what was read when it was made. None: everything logged at the moment
    """

    batch: str
    event: Event
    at: datetime | None
    liquid: str | None = None
    brix: float | None = None
    uncertainty: float | None = None
    cause: Cause | None = None
    mass: float | None = None
    made: date | None = None
    discard: date | None = None
    by: str | None = None
    refers: tuple[str, ...] = ()
    note: str | None = None
    acid: Quantity | None = None
    only: Event | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """What the log says of one batch now.

    liquid     id of its syrup or ingredient; as the log has it where the files know none
    brix       its strength, °Bx: as read, or as predicted where not verified; None when unknown
    mass       g when it was last weighed, or as a correction was reckoned to leave it; None when unknown
    discard    last day of use; None when unknown
    at_latest  where that is unknown because it is weaker than its standard: the last day it would have had else
    by         who made it
    opened     when it was opened; None before, and when the log does not say
    readings   every strength read, oldest first, °Bx
    verified   the strength was read, and after the last correction or combination
    parts      ids of the batches it was combined from
    """

    id: str
    liquid: str
    state: BatchState
    brix: float | None
    uncertainty: float | None
    cause: Cause | None
    mass: float | None
    made: date | None
    discard: date | None
    by: str | None
    opened: datetime | None
    readings: tuple[float, ...]
    verified: bool
    parts: tuple[str, ...]
    acid: Quantity | None
    note: str | None
    at_latest: date | None = None

    @property
    def ends(self) -> date | None:
        """The day after which it is past: its last day of use or, where that is unknown, the last it could be."""
        return self.discard or self.at_latest
