"""`labels` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.service.labels import Label
from balancer.engine.service.opened import OpenedBottle
from balancer.output.data.batches import batch_data
from balancer.output.data.rescale import conversions_data, exceptions_data
from balancer.output.paper.labels import LabelRun, care_text, cautions_text


def labels_data(run: LabelRun) -> dict[str, Any]:
    """The JSON object of `labels`."""
    return {
        "date": run.today.isoformat(),
        **run.done.data,
        "labels": [_label_data(label, run) for label in run.result.labels],
        "opened": [_opened_data(bottle, run) for bottle in run.opened],
        "refused": [
            {
                "batch": refusal.item.batch.id,
                "syrup": refusal.item.batch.liquid or None,
                "name": refusal.item.name,
                "why": refusal.why,
                "discard": refusal.item.batch.discard.isoformat() if refusal.item.batch.discard else None,
            }
            for refusal in run.result.refused
        ],
    }


def _label_data(label: Label, run: LabelRun) -> dict[str, Any]:
    identity, extra = label.item.batch.id, label.correct
    return {
        **batch_data(label.item),
        "printed": identity in run.done.printed,
        "doubted": label.is_doubted,
        "correct": None if extra is None else {"add": extra.add, "g_per_kg": extra.g_per_kg},
        "storage_c": label.storage_c,
        "allergens": list(label.brings.allergens),
        "allergens_unknown": list(label.brings.unknown),
        "cautions": cautions_text(label),
        "care": list(care_text(label)),
        "conversions": conversions_data(label.lines.conversions),
        **exceptions_data(label.lines),
        "hanging": [{"drink": drink.id, "name": drink.name} for drink in label.hanging],
        "left_off": run.done.left_off(identity),
    }


def _opened_data(bottle: OpenedBottle, run: LabelRun) -> dict[str, Any]:
    name = bottle.source.name
    return {
        "ingredient": bottle.source.id,
        "name": name,
        "opened": bottle.opened.isoformat(),
        "use_by": bottle.use_by.isoformat() if bottle.use_by else None,
        "storage_c": bottle.storage_c,
        "allergens": None if bottle.allergens is None else list(bottle.allergens),
        "cautions": list(bottle.cautions),
        "printed": name in run.done.printed,
        "left_off": run.done.left_off(name),
    }
