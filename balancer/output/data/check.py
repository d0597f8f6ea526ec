"""`check` as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from balancer.errors import Problem
from balancer.models.checked import Checked
from balancer.models.layered import OverrideState
from balancer.output.words.problems import problems_data


def check_data(one: Checked) -> dict[str, Any]:
    """The problems of a folder; of one on a base also what it has in place of what that says."""
    told = problems_data(one.problems) | {
        "not_known": [{"what": each.what, "drinks": [*each.drinks]} for each in one.not_known]
    }
    if not one.bases:
        return told
    return told | {"base": list(one.bases), "overrides": [*map(_standing, one.standings)]}


def checks_data(found: Sequence[Checked], problems: Iterable[Problem]) -> dict[str, Any]:
    """Several folders, each with its own, and every problem once."""
    return {
        "folders": [
            {"folder": one.folder, "sound": one.is_sound, "base": [], "overrides": []} | check_data(one)
            for one in found
        ],
        **problems_data(problems),
    }


def agreed_data(names: Sequence[str]) -> dict[str, Any]:
    """What was noted."""
    return {"agreed": list(names)}


def _standing(one: OverrideState) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "id": one.id,
        "name": one.name,
        "place": one.place or None,
        "base_place": one.base_place or None,
        "since": one.since,
        "identical": one.is_identical,
        "changes": [{"key": change.key, "was": change.was, "now": change.now} for change in one.changes],
    }
