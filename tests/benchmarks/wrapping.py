"""Laying out an answer takes time in proportion: 10,000 letters with and without blanks, and ten times as many.

python tests/benchmarks/wrapping.py
"""

from __future__ import annotations

import sys
from functools import partial
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from balancer.output.words.page import wrap
from tests.benchmarks.reading import seconds
from tests.benchmarks.report import Report

MOST_SECONDS: Final = 0.05
LETTERS: Final = 10_000
TEXTS: Final = {"Latin": "x", "wide": "燈", "with marks": "e\u0301", "words": "ab ", "wide words": "燈 "}


def main() -> int:
    """Print the figures; 1 when one is over its limit."""
    report = Report()
    for name, piece in TEXTS.items():
        text = piece * (LETTERS // len(piece))
        taken = seconds(partial(wrap, text, 4))
        report.ratio(f"10,000 letters, {name}, seconds", taken, MOST_SECONDS, f"{1000 * taken:.0f} ms")
        ratio = seconds(partial(wrap, 10 * text, 4)) / taken / 10
        report.ratio(f"time per letter of ten times as many, {name}", ratio, 2.0, "against 10,000")
    return report.exit_code()


if __name__ == "__main__":
    sys.exit(main())
