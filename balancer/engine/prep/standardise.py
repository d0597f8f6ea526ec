"""Bringing everything in the house to its standard: what to do about each batch, the most urgent first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import Final, Literal

from balancer.engine.batch.history import CLOSED
from balancer.engine.batch.notes import BatchNow, describe, is_confirmed
from balancer.engine.batch.read_it import line_to_read
from balancer.engine.drink.bar import Bar
from balancer.engine.prep.tub import Corrected, correct, tub_of
from balancer.errors import BalancerError
from balancer.models.batch import Batch

Todo = Literal["take out", "read", "correct", "leave"]
"""What to do about a batch: past its last day; strength unknown or not believed; off; within tolerance."""

TaskReason = Literal["past", "no strength", "no standard", "far", "far twice", "not read since", "trouble"]
"""Why a batch is to be read again or discarded; trouble: what to add cannot be worked out."""

_KILOGRAM_G: Final = 1000.0


@dataclass(frozen=True, slots=True)
class Task:
    """One batch.

    why        one sentence, for what is to be read again or discarded; empty else
    reason     the same in a word; None else
    corrected  what to add; for a kilogram of it where per_kg, because nobody logged its mass. None unless
               it is to be corrected
    """

    item: BatchNow
    todo: Todo
    why: str = ""
    corrected: Corrected | None = None
    per_kg: bool = False
    reason: TaskReason | None = None

    @property
    def batch(self) -> Batch:
        """The batch."""
        return self.item.batch

    @property
    def command(self) -> str:
        """What to type when it is done; empty when nothing is to be logged."""
        if self.todo == "take out":
            return f"balancer batch discard {self.batch.id}"
        if self.todo == "read":
            return line_to_read(self.item.source, self.batch.id)
        if self.corrected is None:
            return ""
        done = f"balancer batch correct {self.batch.id}"
        if self.per_kg:
            return done
        # A mass without a strength would log that it was only weighed.
        return f"{done} --brix {self.corrected.target_brix:.4g} --mass {self.corrected.best.final_mass_g:.0f}g"


@dataclass(frozen=True, slots=True)
class StandardisePlan:
    """Every batch of a syrup in the house, in the order to take them: the nearest last day of use first."""

    today: date
    tasks: tuple[Task, ...]

    def with_todo(self, *todos: Todo) -> tuple[Task, ...]:
        """The batches with one of some things to do, in the order of the plan."""
        return tuple(task for task in self.tasks if task.todo in todos)


def standardise(bar: Bar, batches: Iterable[Batch], today: date) -> StandardisePlan:
    """What brings every batch of a syrup to the house standard, in use or not.

    today  the date of the working day
    Rule:  a batch past its last day is discarded; one without a strength, corrected and not read since, or so
           far off that it is not believed before a second reading, is read; one within its syrup's tolerance
           is left; every other is corrected as `engine.tub.correct` recommends
    """
    found = [
        _task(bar, describe(bar, batch, today))
        for batch in batches
        if batch.state not in CLOSED and batch.liquid in bar.specs.syrups
    ]
    found.sort(key=lambda task: (task.batch.ends or date.max, task.batch.state != "open"))
    return StandardisePlan(today, tuple(found))


def _task(bar: Bar, item: BatchNow) -> Task:
    batch, tub = item.batch, tub_of(item.batch)
    if item.past:
        return Task(item, "take out", "past its last day", reason="past")
    if tub is None:
        return Task(item, "read", "no strength is logged", reason="no strength")
    if item.standard_brix is None:
        why = "its syrup has no standard that a reading could be compared with"
        return Task(item, "read", why, reason="no standard")
    if item.fit == "implausible" and not is_confirmed(batch):
        why = f"{tub.brix:g} °Bx is far from its {item.standard_brix:.3g}: stir first"
        return Task(item, "read", why, reason="far")
    if item.fit == "implausible":
        why = f"{tub.brix:g} °Bx, read twice, is far from its {item.standard_brix:.3g}"
        return Task(item, "take out", why, reason="far twice")
    if not batch.verified:
        return Task(item, "read", "corrected or combined, and not read since", reason="not read since")
    if not item.is_off:
        return Task(item, "leave")
    if tub.mass_g is None:
        tub = replace(tub, mass_g=_KILOGRAM_G)
    try:
        corrected = correct(bar, tub, item.standard_brix)
    except BalancerError as error:
        return Task(item, "read", error.problems()[0].message, reason="trouble")
    return Task(item, "correct", corrected=corrected, per_kg=batch.mass is None)
