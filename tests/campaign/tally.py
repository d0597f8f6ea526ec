"""What a part of the campaign counted, and what it found."""

from __future__ import annotations

import traceback
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

MOST_TOLD: Final = 20


@dataclass
class Tally:
    """Counts by what was counted, and findings in words: each a promise that was broken."""

    counts: Counter[str] = field(default_factory=Counter)
    findings: list[str] = field(default_factory=list)

    def count(self, what: str, number: int = 1) -> None:
        self.counts[what] += number

    def held(self, is_held: object, finding: str) -> bool:
        """Note a finding where a promise was not held; returns whether it was."""
        if not is_held:
            self.findings.append(finding)
        return bool(is_held)

    def tried(self, what: str, attempt: Callable[[], None]) -> None:
        """Make an attempt; whatever it raises is a finding, and the campaign goes on."""
        try:
            attempt()
        except Exception:
            lines = traceback.format_exc().splitlines()
            self.findings.append(f"{what}: {' | '.join(line.strip() for line in lines[-7:])}"[:1500])

    def add(self, other: Tally) -> None:
        self.counts.update(other.counts)
        self.findings += other.findings


Slice = Callable[[float, int], dict[str, Tally]]
"""A share of a part, by a seed: what was counted and found, by name."""
