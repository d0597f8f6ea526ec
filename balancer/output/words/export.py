"""Words that `export` says on the screen and in JSON alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Literal, NamedTuple

What = Literal["drinks", "totals", "batches", "log"]


class Export(NamedTuple):
    """What was written where: how many of what, and the names of the drinks that are not in it."""

    what: What
    out: Path
    counts: Mapping[str, int]
    left_out: Sequence[str]
