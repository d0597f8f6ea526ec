"""The record of a batch, and what was taken back of it, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.engine.batch.notes import BatchNow
from balancer.engine.batch.record import BatchRecord, Deed, RecordLine
from balancer.engine.service.strips_moved import StripsMoved
from balancer.models.batch import Batch, LogEntry
from balancer.output.data.batches import batch_data, labels_data, moved_data


def record_data(found: BatchRecord, item: BatchNow | None, name: str) -> dict[str, Any]:
    """The JSON object of `batch show`: of the batch only its id and syrup where its making does not count."""
    gone = {"batch": found.id, "syrup": found.liquid or None, "name": name or None, "state": None}
    return (batch_data(item) if item else gone) | {"entries": [_line(line) for line in found.lines]}


def undone_data(
    deeds: Sequence[Deed], items: Sequence[BatchNow], moved: StripsMoved, *, restored: bool
) -> dict[str, Any]:
    """The JSON object of `batch undo`: what it changed, and how the batches stand now."""
    listed = [{"batch": deed.entry.batch, "event": deed.event, "at": _at(deed.entry)} for deed in deeds]
    return {"restored" if restored else "undone": listed, "batches": [_stands(item.batch) for item in items]} | {
        "strips": moved_data(moved),
        "labels": labels_data(moved),
    }


def _stands(batch: Batch) -> dict[str, Any]:
    return {"batch": batch.id, "state": batch.state, "brix": batch.brix, "mass_g": batch.mass}


def _line(line: RecordLine) -> dict[str, Any]:
    entry, undo = line.deed.entry, line.undone_by
    return {
        "number": line.number,
        "batch": entry.batch,
        "event": line.deed.event,
        "when_made": line.deed.is_first_reading,
        "at": _at(entry),
        "by": entry.by,
        "brix": entry.brix,
        "uncertainty_brix": entry.uncertainty,
        "acid": {"value": entry.acid.value, "unit": entry.acid.unit} if entry.acid else None,
        "mass_g": entry.mass,
        "refers": list(entry.refers),
        "note": entry.note,
        "counts": line.standing == "counts",
        "undone": {"at": _at(undo), "by": undo.by} if undo else None,
        "reason": line.why or None,
    }


def _at(entry: LogEntry) -> str | None:
    return entry.at.isoformat() if entry.at else None
