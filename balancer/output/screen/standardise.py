"""`standardise` on the screen."""

from __future__ import annotations

from balancer.engine.prep.standardise import StandardisePlan, Task
from balancer.models.days import day_text
from balancer.output.words.numbers import brix, count, trim
from balancer.output.words.page import ROWS, act, few, fine, page, watch


def standardise_text(plan: StandardisePlan) -> str:
    """The answer of `standardise`: what to do about each batch in order, then what to type when it is done."""
    busy = plan.with_todo("take out", "read", "correct")
    left = plan.with_todo("leave")
    room = ROWS // 2  # a row for the batch and one for its command, which has to stand on one line to be copied
    shown, more = few(busy, room, "batches")
    rows = [*[_row(task) for task in shown], *[task.command for task in shown]]
    more += ["log each with its line above"] if shown else []
    more += [f"within tolerance, leave: {_ids(left)}"] if left else []
    more += ["add the first part, stir, read, then the rest"] if plan.with_todo("correct") else []
    return page(_first(plan), rows, "; ".join(more or ["balancer batch add logs a batch"]))


def _first(plan: StandardisePlan) -> str:
    if not plan.tasks:
        return "no batch of a syrup is in the house"
    correct, read, out = (plan.with_todo(todo) for todo in ("correct", "read", "take out"))
    parts = [f"correct {_ids(correct)}"] if correct else []
    parts += [f"read {_ids(read)}"] if read else []
    parts += [f"discard {_ids(out)}"] if out else []
    if not parts:
        return fine(f"all {count(len(plan.tasks), 'batches')} at standard" if len(plan.tasks) > 1 else "at standard")
    return act("; ".join(parts))


def _row(task: Task) -> str:
    batch = task.batch
    lead = f"{batch.id} {task.item.name}"
    if batch.discard:
        lead += f", until {day_text(batch.discard)}"
    if task.corrected is None:
        discard = task.todo == "take out"
        return (act if discard else watch)(f"{lead}: {'discard' if discard else 'read'} it, {task.why}")
    result, best = task.corrected, task.corrected.best
    from_to = f"{trim(result.tub.brix, 1)} → {brix(result.target_brix)}"
    name = best.additive.name if best.additive else ""
    if task.per_kg:
        return f"{lead}: {from_to}, mass not logged: {trim(best.add_g, 0)} g {name} per kg"
    about = "about " if result.tub.estimated else ""
    weighed = "logged" if result.tub.estimated else "weighed"
    start = "read again before adding any" if best.reads_first else f"first {trim(best.first_add_g, 0)} g"
    amount = f"add {about}{trim(best.add_g, 0)} g {name}, {start}"
    return f"{lead}: {from_to}, {amount}, for {trim(result.batch.mass.value, 0)} g {weighed}"


def _ids(tasks: tuple[Task, ...]) -> str:
    return ", ".join(task.batch.id for task in tasks)
