"""`totals --against` as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.against import Against, BesidePours, SidePour
from balancer.output.data.swap import moved_data, noticed_data
from balancer.output.data.taste import taste_data
from balancer.output.data.totals import totals_data


def against_data(result: Against) -> dict[str, Any]:
    """The JSON object of `totals --against`. What moved is from the other drink to this one."""
    origin = result.origin
    return {
        "drink": totals_data(result.ours),
        "against": totals_data(result.theirs),
        "from": {"kind": origin.kind, "path": origin.path, "version": origin.version, "date": origin.date},
        "moved": moved_data(result.moved),
        "noticed": noticed_data(result.noticed),
        **taste_data(result.tasting),
        "allergens": {"gained": list(result.gained), "lost": list(result.lost), "unknown": list(result.unknown)},
        "alcohol_added_g": result.ethanol_g,
        "pours": [_beside(pair) for pair in result.pours],
        "said": [{"what": said.what, "drink": said.ours, "against": said.theirs} for said in result.said],
    }


def _beside(pair: BesidePours) -> dict[str, Any]:
    return {
        "ingredient": pair.id,
        "name": pair.name,
        "drink": _side(pair.ours),
        "against": _side(pair.theirs),
        "differs": list(pair.differs),
        "same": pair.is_same,
    }


def _side(pour: SidePour | None) -> dict[str, Any] | None:
    if pour is None:
        return None
    return {
        "written": str(pour.pour.amount),
        "volume_ml": pour.volume_ml,
        "mass_g": pour.mass_g,
        "standard_brix": pour.standard_brix,
        "own_standard_brix": pour.own_standard_brix,
        "abv_percent": pour.abv_percent,
        "top": pour.is_top,
    }
