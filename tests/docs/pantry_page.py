"""docs/reference/pantry.md: what the pantry holds, group by group."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, Final

from ruamel.yaml import YAML

from balancer.files.house.pantry import FOLDER
from tests.docs.pages import DOCS

PAGE: Final = DOCS / "reference" / "pantry.md"
_SOUR: Final = ("juice", "fruit", "wine", "beer")
_NOTICE: Final = "<!-- Written by `python -m tests.docs.generate` from the files in balancer/pantry/. -->"
_HEAD: Final = """\
# The pantry

The files in `balancer/pantry/` say where each figure comes from; the sources are listed with
[the others](sources.md#ingredients). How to take some of it:
[start from the pantry](../how-to/start-from-the-pantry.md).

Acid is titratable, counted as citric, unless the acid is named. Nothing has an ABV here: it is on your label. A minimum
is marked ≥: the law asks at least so much, and the bottle may hold twice as much.

"""


def page() -> str:
    """The page as it should be."""
    groups = {path.stem: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.yaml"))}
    loaded = {group: YAML(typ="safe").load(text) for group, text in groups.items()}
    total = f"{sum(map(len, loaded.values()))} ingredients in {len(groups)} groups: " + ", ".join(
        f"[{group}](#{group}) {len(entries)}" for group, entries in loaded.items()
    )
    parts = [_HEAD + _filled(total + ".")]
    for group, text in groups.items():
        head = " ".join(line.lstrip("# ") for line in text.partition("\n\n")[0].splitlines())
        parts.append("\n".join([f"## {group}", "", _filled(head), "", *_table(loaded[group])]))
    return "\n\n".join([*parts, _NOTICE]) + "\n"


def _table(entries: list[dict[str, Any]]) -> Iterator[str]:
    yield "| ingredient | kind | sugar | acid | allergens |"
    yield "|---|---|---:|---:|---|"
    for entry in entries:
        also = entry.get("also", [])
        name = entry["ingredient"] + (f" ({', '.join(also)})" if also else "")
        least = "≥ " if "legal minimum" in entry.get("note", "") else ""
        sugar = least + entry["sugar"] if "sugar" in entry else "unknown"
        acid = entry.get("acid", "unknown" if entry["kind"] in _SOUR else "none")
        if "acid" not in entry and "acids" in entry:  # grams of the acid itself
            acid = ", ".join(f"{amount} {kind}" for kind, amount in entry["acids"].items())
        allergens = ", ".join(entry["allergens"]) or "none inherent" if "allergens" in entry else "unknown"
        yield f"| {name} | {entry['kind']} | {sugar} | {acid} | {allergens} |"


def _filled(text: str) -> str:
    """Words in lines of at most 120 characters."""
    return re.sub(r"(.{1,118})(?:\s+|$)", r"\1\n", text).rstrip("\n")
