"""`labels` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.output.data.batches import batch_data
from balancer.output.data.rescale import conversions_data, exceptions_data
from balancer.output.paper.labels import LOST, LabelRun, care_text, cautions_text


def labels_data(run: LabelRun) -> dict[str, Any]:
    """The JSON object of `labels`."""
    return {
        "date": run.today.isoformat(),
        "files": [str(path) for path in run.written],
        "size": run.size.word,
        "copies": run.copies,
        "pages": run.pages,
        "labels": [
            {
                **batch_data(label.item),
                "printed": label.item.batch.id not in run.unfit,
                "doubted": label.is_doubted,
                "storage_c": label.storage_c,
                "allergens": list(label.brings.allergens),
                "allergens_unknown": list(label.brings.unknown),
                "cautions": cautions_text(label),
                "care": care_text(label),
                "conversions": conversions_data(label.lines.conversions),
                **exceptions_data(label.lines),
                "left_off": [key for key in LOST if key in run.dropped.get(label.item.batch.id, {})],
            }
            for label in run.result.labels
        ],
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
