"""What drinks say of their own chill, as written: once loaded, a shaken drink has the house's mixed in."""

from __future__ import annotations

from pathlib import Path

from balancer.files.house.entries import entries_of
from balancer.files.yaml.validate import check
from balancer.models.chill import Chill


def own_chills(directory: Path) -> dict[str, Chill]:
    """The `chill` of every drink that has one, by the drink's id; of two with one id, as of other trouble, the first.

    Reads the files of the drinks again.
    """
    found: dict[str, Chill] = {}
    for entry in entries_of(directory, "drinks"):
        said = entry.data.get("chill")
        chill = check(Chill, said)[0] if said is not None and entry.id not in found else None
        if chill is not None:
            found[entry.id] = chill
    return found
