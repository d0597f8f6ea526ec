"""How many examples hypothesis tries: a part of them in the fast tests, all of them in .ci/run."""

from __future__ import annotations

import os
from typing import Final

ALL: Final = os.environ.get("BALANCER_EXAMPLES") == "all"
_PART: Final = 1.0 if ALL else 0.1
USUAL: Final = 100


def examples(number: int) -> int:
    """The part of a test's examples that this run tries."""
    return max(5, round(number * _PART))
