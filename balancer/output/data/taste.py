"""What to taste first, as JSON."""

from __future__ import annotations

from typing import Any

from balancer.engine.swaps.taste import Tasted, Tasting


def taste_data(tasting: Tasting) -> dict[str, Any]:
    """The keys of what a guest may notice, ranked, and of what nobody can tell."""
    return {"taste_first": [_tasted_data(item) for item in tasting.first], "taste_unknown": list(tasting.untold)}


def _tasted_data(item: Tasted) -> dict[str, Any]:
    found = item.threshold
    return {
        "quantity": item.quantity,
        "change": item.change,
        "unit": item.unit,
        "words": item.words,
        "subject": item.subject.id if item.subject else None,
        "why": item.why,
        "range": {"low": item.low, "high": item.high} if item.is_range else None,
        "sources_disagree": item.disagree,
        "none_before": item.was_none,
        "sour_stays": item.sour_stays,
        "times_published": item.times,
        "published": {"low": found.low, "high": found.high, "unit": found.unit, "source": found.source}
        if found
        else None,
    }
