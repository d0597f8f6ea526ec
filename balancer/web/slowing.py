"""Wrong keys are slowed, and nobody who has the right one waits for what others do."""

from __future__ import annotations

import math
import time
from collections import OrderedDict
from dataclasses import dataclass, field
from typing import Final, NamedTuple


class _Tries(NamedTuple):
    """Wrong keys, and when the last one came, s."""

    many: int = 0
    last: float = -math.inf


_NONE: Final = _Tries()


@dataclass(slots=True)
class Slowing:
    """How long the next key of an address has to wait.

    free      wrong keys of one address that nothing follows from
    all_free  wrong keys of all together; after those an address has one free, not `free`
    wait_s    the first wait, twice as long after each further wrong key, most_s at the longest
    forgotten_s  after such a quiet time an address begins anew, and so do all together
    remembered   addresses kept in mind

    The first key of an address is always looked at: nobody can keep a new device out by typing wrong ones elsewhere.
    What that leaves to many addresses is a few dozen tries a day each, of 24 to the 16th possible keys.
    """

    free: int = 5
    all_free: int = 50
    wait_s: float = 30.0
    most_s: float = 3600.0
    forgotten_s: float = 86_400.0
    remembered: int = 10_000
    tries: OrderedDict[str, _Tries] = field(default_factory=OrderedDict)
    together: _Tries = _NONE

    def left_s(self, address: str, now: float | None = None) -> float:
        """How long an address has to wait still, s."""
        at = time.monotonic() if now is None else now
        free = self.free if self._fresh(self.together, at).many < self.all_free else 1
        found = self._fresh(self.tries.get(address, _NONE), at)
        over = found.many - free
        return max(found.last + min(self.wait_s * 2.0 ** min(over, 20), self.most_s) - at, 0.0) if over >= 0 else 0.0

    def wrong(self, address: str, now: float | None = None) -> None:
        """A wrong key came from an address."""
        at = time.monotonic() if now is None else now
        self.together = _Tries(self._fresh(self.together, at).many + 1, at)
        self.tries[address] = _Tries(self._fresh(self.tries.pop(address, _NONE), at).many + 1, at)
        while len(self.tries) > self.remembered:
            self.tries.popitem(last=False)

    def right(self, address: str) -> None:
        """The key came from an address."""
        self.tries.pop(address, None)

    def _fresh(self, found: _Tries, at: float) -> _Tries:
        return found if at - found.last < self.forgotten_s else _NONE


def wait_text(seconds: float) -> str:
    """How long to wait, in words.

    >>> wait_text(29.2), wait_text(600.5)
    ('30 s', '11 min')
    """
    return f"{math.ceil(seconds)} s" if seconds <= 90 else f"{math.ceil(seconds / 60)} min"
