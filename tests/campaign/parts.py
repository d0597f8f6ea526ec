"""The parts of the campaign, each cut into slices: a long run can be stopped between two of them, and go on later."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final, NamedTuple

from tests.campaign.disks import harms
from tests.campaign.files import files
from tests.campaign.lines import lines
from tests.campaign.tally import Slice
from tests.campaign.world import world

SEED: Final = 14
"""Of the first slice; the next ones follow. The same for every run, so that what is found is the change's."""


class Part(NamedTuple):
    """A part: how it begins in a folder, in how many slices it is measured, and the names it counts under."""

    begin: Callable[[Path], Slice]
    slices: int
    names: tuple[str, ...]


PARTS: Final = {
    "files": Part(files, 20, ("files",)),
    "lines": Part(lines, 20, ("lines",)),
    "harms": Part(harms, 20, ("kills", "disks", "read-only", "small disks")),
    "world": Part(world, 1, ("clocks", "zones", "locales", "endings", "windows")),
}
NAMES: Final = {name: part.slices for part in PARTS.values() for name in part.names}
"""Every name with the number of its slices."""
