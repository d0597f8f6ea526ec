"""`start` as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from balancer.models.pantry import FromPantry


def start_data(folder: Path, written: Sequence[Path], pantry: FromPantry) -> dict[str, Any]:
    """The JSON object of `start`."""
    files = [str(path) for path in written]
    return {"folder": str(folder), "files": files, **_pantry(pantry)}


def pantry_data(folder: Path, found: FromPantry) -> dict[str, Any]:
    """The same of a house that was there: files are those it got."""
    return {"folder": str(folder), "files": [str(path) for path in found.files], **_pantry(found)}


def _pantry(found: FromPantry) -> dict[str, Any]:
    return {
        "added": [{"ingredient": one.name, "kind": one.kind, "group": one.group} for one in found.added],
        "already_there": [{"ingredient": one.name, "house_name": one.house_name} for one in found.there],
    }
