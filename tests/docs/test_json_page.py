"""docs/reference/json.md has every key that the commands print, and no other."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from tests.docs.commands_page import leaves
from tests.docs.json_runs import RUNS, answers, paths
from tests.docs.pages import DOCS
from tests.docs.tables import tables, ticked

SECTIONS = {heading: found[0] for heading, found in tables(DOCS / "reference" / "json.md").items()}
UNITS = {
    "plus_minus_percent": "points",
    "abv_percent": "% vol",
    "abv_points": "% vol",
    "g_per_100ml": "g/100 ml",
    "g_per_kg": "g/kg",
    "g_per_ml": "g/ml",
    "g_per_l": "g/l",
    "percent": "%",
    "brix": "°Bx",
    "days": "days",
    "kcal": "kcal",
    "kj": "kJ",
    "ml": "ml",
    "g": "g",
    "c": "°C",
}
"""The unit that the end of a key stands for; the first that fits."""

_OTHER = {
    "check": "check",
    "correct": "correct",
    "sheet test": "totals --against",
    "set standard": "correct",
    "tonight": "rescale",
    "totals without DRINK": "totals",
    "totals --against": "totals",
}
"""The section that says what is in an object of one whose row ends in `.*`; `swap` of the others."""


def printed() -> dict[str, set[str]]:
    """The keys of each section, of all its runs together."""
    found: dict[str, set[str]] = {}
    for section, line, data in answers():
        refused = set(data) == {"problems"} and data["problems"]
        assert section == "Problems" or not refused, f"{line}: {data}"
        found.setdefault(section, set()).update(paths(data))
    # A key that is null or empty in one run and holds an object in another is the object's keys.
    return {section: {key for key in keys if not _is_held(key, keys)} for section, keys in found.items()}


def _is_held(key: str, keys: Iterable[str]) -> bool:
    return any(other.startswith((f"{key}.", f"{key}[].")) for other in keys)


def documented(section: str) -> list[str]:
    return [str(ticked(row[0])) for row in SECTIONS[section].rows]


def is_told(key: str, section: str) -> bool:
    """Whether a key has its row, or lies in an object that holds what rows of this section or another say."""
    rows = documented(section)
    if key in rows:
        return True
    for whole in (row.removesuffix(".*") for row in rows if row.endswith(".*")):
        rest = key.removeprefix(f"{whole}.")
        if whole == "counting" and rest != key:  # the keys are ids
            return True
        if whole in ("obstacle.misses_percent", "held_misses_percent") and rest != key:
            return rest in ("sugar", "acid", "volume", "abv", "sweetness")
        if rest != key:
            if whole.endswith("taste_first[]"):
                rest = f"taste_first[].{rest}"
            other = _OTHER.get(section, "swap")
            return is_told(rest, other) or _is_held(rest, documented(other))
    return False


@pytest.mark.slow
def test_every_key_is_documented_and_exists() -> None:
    """One test, because every command has to run for it."""
    found = printed()
    untold = {name: sorted(key for key in keys if not is_told(key, name)) for name, keys in found.items()}
    assert {name: keys for name, keys in untold.items() if keys} == {}
    lost = {name: _never_seen(name, seen) for name, seen in found.items()}
    assert {name: keys for name, keys in lost.items() if keys} == {}


def _never_seen(section: str, seen: set[str]) -> list[str]:
    return [key for key in documented(section) if key not in seen and not _is_held(key.removesuffix(".*"), seen)]


def test_every_command_has_a_section() -> None:
    batch = {"add", "open", "empty", "discard", "correct", "reading", "combine"}
    wanted = {"batch" if path[-1] in batch and path[0] == "batch" else " ".join(path) for path, _ in leaves()}
    assert wanted <= set(SECTIONS)
    assert set(SECTIONS) == set(dict(RUNS))


def test_units() -> None:
    """The unit of a row is the one its key ends in."""
    wrong = []
    for table in SECTIONS.values():
        for key, unit, meaning in table.rows:
            last = str(ticked(key)).split(".")[-1]
            wanted = next((is_in for end, is_in in UNITS.items() if f"_{last}".endswith(f"_{end}")), unit)
            wrong += [key] * (unit != wanted or not meaning)
    assert wrong == []
