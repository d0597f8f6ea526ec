"""60 different strips, six to a page, each in the largest letters that fit: how long.

Run it with `python -m tests.benchmarks.strips`.
"""

from __future__ import annotations

import time
from typing import Any, Final

from tests.benchmarks.report import Report
from tests.output.paper.test_strips import fitted, item, pair

STRIPS: Final = 60
ROUNDS: Final = 3
SECONDS: Final = 1.0


def strips(seed: int) -> list[dict[str, Any]]:
    """Of one to three pours, some with drinks that pour otherwise or with a second bottle; no two alike."""
    return [
        item(
            name=f"RAS-{seed}{number}",
            code=f"RAS-{seed}{number}",
            syrup=[f"raspberry syrup {seed}{number}"],
            pairs=[pair(f"{20 + number / 2:g}", f"{17.5 + number / 2 + at:g}") for at in range(1 + number % 3)],
            own=[{"drink": f"Slipway Sour {number}", "said": "22.5 → 17.5 ml"}] * (number % 4 == 0),
            notes=[f"only RAS-{seed}{number}, not RAS-0"] * (number % 5 == 0),
        )
        for number in range(STRIPS)
    ]


def main() -> int:
    """Print the time and what it comes to."""
    report = Report()
    took = []
    for seed in range(ROUNDS):  # others each time: the typesetter remembers what it has set before
        page = strips(seed + 1)
        start = time.perf_counter()
        found = fitted("a4", *page)
        took.append(time.perf_counter() - start)
        assert (found.unfit, found.dropped) == ({}, {})
    report.ratio(f"{STRIPS} strips six-up, in s", min(took) / SECONDS, 1.0, f"{min(took):.2f} s")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
