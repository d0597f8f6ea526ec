"""`batches` as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from balancer.engine.batch.notes import BatchNow, Caution
from balancer.engine.service.strips_moved import StripsMoved
from balancer.output.words.batches import caution_text, last_day_text


def batch_data(item: BatchNow) -> dict[str, Any]:
    """The JSON object of one batch."""
    batch = item.batch
    return {
        "batch": batch.id,
        "syrup": batch.liquid or None,
        "name": item.source.name if item.source else None,
        "brix": batch.brix,
        "state": batch.state,
        "made": batch.made.isoformat() if batch.made else None,
        "discard": batch.discard.isoformat() if batch.discard else None,
        "at_latest": batch.at_latest.isoformat() if batch.at_latest else None,
        "standard_brix": item.standard_brix,
        "uncertainty_brix": batch.uncertainty,
        "verified": batch.verified,
        "readings_brix": list(batch.readings),
        "acid": {"value": batch.acid.value, "unit": batch.acid.unit} if batch.acid else None,
        "cause": batch.cause,
        "mass_g": batch.mass,
        "opened": batch.opened.isoformat() if batch.opened else None,
        "parts": list(batch.parts),
        "by": batch.by,
        "note": batch.note,
        "cautions": list(item.cautions),
    }


def list_data(items: Iterable[BatchNow]) -> dict[str, Any]:
    """The JSON object of `batch list`: every batch of the log, the closed ones too."""
    return {"batches": [batch_data(item) for item in items]}


def done_data(
    item: BatchNow, notes: Sequence[Caution], today: date, moved: StripsMoved, heed: str = ""
) -> dict[str, Any]:
    """The JSON object of a command that logs something about one batch. heed: what the cards do not tell of it."""
    warnings = [*([heed] if heed else []), *(caution_text(note, item, today) for note in notes)]
    if item.batch.discard is None and item.batch.state in ("made", "open"):
        warnings.append(f"last day of use {last_day_text(item, today)}")
    return batch_data(item) | {"warnings": warnings, "strips": moved_data(moved), "labels": labels_data(moved)}


def moved_data(moved: StripsMoved) -> dict[str, list[str]]:
    """What becomes of strips on the rail, as ids of batches."""
    return {
        "take_off": list(moved.off),
        "print_again": list(moved.again),
        "print_new": list(moved.new),
        "stay": list(moved.stay),
    }


def labels_data(moved: StripsMoved) -> dict[str, list[str]]:
    """What becomes of labels on bottles, as ids of batches."""
    return {"print_again": list(moved.labels)}
