"""The parts of the campaign."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

from tests.campaign.files import files
from tests.campaign.kills import harms
from tests.campaign.lines import lines
from tests.campaign.tally import Tally
from tests.campaign.world import world

SEED: Final = 14
"""The same for every run, so that what is found is the change's."""

Part = Callable[[Path, float, int], dict[str, Tally]]
PARTS: Final[dict[str, Part]] = {
    "files": lambda folder, share, seed: {"files": files(folder, share, seed)},
    "lines": lambda folder, share, seed: {"lines": lines(folder, share, seed)},
    "harms": harms,
    "world": lambda folder, share, seed: {"world": world(folder, share, seed)},
}
"""Each counts under a name or several."""


def campaign(folder: Path, share: float, seed: int, only: str = "") -> dict[str, Tally]:
    """What was counted and found, by name; only one part where it is named."""
    found: dict[str, Tally] = {}
    for name, part in PARTS.items():
        if only in ("", name):
            found |= part(folder / name, share, seed)
    return found
