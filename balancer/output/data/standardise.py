"""`standardise` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.prep.standardise import StandardisePlan, Task


def standardise_data(plan: StandardisePlan) -> dict[str, Any]:
    """The JSON object of `standardise`."""
    return {"date": plan.today.isoformat(), "batches": [_data(task) for task in plan.tasks]}


def _data(task: Task) -> dict[str, Any]:
    batch, result = task.batch, task.corrected
    best = result.best if result else None
    return {
        "batch": batch.id,
        "syrup": batch.liquid,
        "name": task.item.name,
        "state": batch.state,
        "discard": batch.discard.isoformat() if batch.discard else None,
        "todo": task.todo,
        "reason": task.why or None,
        "brix": batch.brix,
        "standard_brix": task.item.standard_brix,
        "mass_g": batch.mass,
        "per_kg": task.per_kg,
        "add": best.additive.id if best and best.additive else None,
        "add_g": best.add_g if best else None,
        "first_add_g": best.first_add_g if best else None,
        "final_mass_g": best.final_mass_g if best else None,
        "log": task.command or None,
    }
