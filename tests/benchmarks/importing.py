"""Sheets that are no sheets of specs are told within 200 MB and 5 s, each in a process of its own.

python tests/benchmarks/importing.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Final

sys.path.insert(0, str(Path(__file__).resolve().parent.parent.parent))

from tests.benchmarks.report import Report
from tests.cli.runner import CHECKOUT, HOUSE

MOST_SECONDS: Final = 5.0
MOST_MB: Final = 200.0
MB: Final = 1024 * 1024
HEAD: Final = "Drink,Ingredient,Amount,Method\n"


def wide() -> str:
    """Nearly 500 columns of amounts under names that nobody knows."""
    columns = range(490)
    head = ",".join(["Drink", *(f"zork {column}" for column in columns), "Method"])
    cells = [",".join("60 ml" if column % 100 == row % 100 else "" for column in columns) for row in range(100)]
    return head + "\n" + "".join(f"D {row},{cells[row % 100]},shaken\n" for row in range(10_000))


SHEETS: Final[dict[str, Callable[[], str]]] = {
    "8 MB of blank lines": lambda: "\n" * (8 * MB - 1),
    "8 MB of blank lines before a last row": lambda: HEAD + "\n" * (8 * MB - 100) + "B,gin,50 ml,stir\n",
    "8 MB of empty cells": lambda: HEAD + "A,gin,50 ml,stir\n" + ",,,\n" * (2 * MB - 100),
    "49,000 unknown names, a drink each": lambda: (
        HEAD + "".join(f"D {n},zork {n} x,60 ml,shaken\n" for n in range(49_000))
    ),
    "49,000 unknown names in one drink": lambda: (
        HEAD + "D,gin,60 ml,shaken\n" + "".join(f",zork {n} x,60 ml,\n" for n in range(49_000))
    ),
    "1,990 unknown names": lambda: HEAD + "".join(f"D {n},zork {n} x,60 ml,shaken\n" for n in range(1_990)),
    "9,900 blocks": lambda: "".join(f"Drink {n}\n60 ml zork {n}\n20 ml y {n}\nMethod: shake\n\n" for n in range(9_900)),
    "490 columns of 10,000 rows": wide,
}


def measured(text: str) -> tuple[float, float]:
    """Processor seconds and peak megabytes of one import."""
    with tempfile.TemporaryDirectory() as folder:
        sheet = Path(folder) / "menu.csv"
        sheet.write_text(text, encoding="utf-8", newline="")
        words = [sys.executable, "-m", "balancer", "import", str(sheet), "--specs", str(HOUSE)]
        with subprocess.Popen(words, cwd=CHECKOUT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as running:
            _, _, used = os.wait4(running.pid, 0)
            running.returncode = 0
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024


def main() -> int:
    """Print the figures; 1 when one is over its limit."""
    report = Report()
    for name, make in SHEETS.items():
        seconds, megabytes = measured(make())
        report.ratio(f"{name}, seconds", seconds, MOST_SECONDS, f"{seconds:.2f} s")
        report.ratio(f"{name}, MB", megabytes, MOST_MB, f"{megabytes:.0f} MB")
    return report.exit_code()


if __name__ == "__main__":
    sys.exit(main())
