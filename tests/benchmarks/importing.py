"""Sheets that are no sheets of specs are told within 200 MB and 5 s, each in a process of its own.

python tests/benchmarks/importing.py
"""

from __future__ import annotations

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
BEGIN: Final = """
import os, sys
child = os.fork()
if not child:
    os.dup2(os.open(os.devnull, os.O_RDWR), 1)
    os.dup2(1, 2)
    os.execv(sys.argv[1], sys.argv[1:])
used = os.wait4(child, 0)[2]
print(used.ru_utime + used.ru_stime, used.ru_maxrss)
"""
HEAD: Final = "Drink,Ingredient,Amount,Method\n"


def wide() -> str:
    """Nearly 500 columns of amounts under names that nobody knows."""
    columns = range(490)
    head = ",".join(["Drink", *(f"zork {column}" for column in columns), "Method"])
    cells = [",".join("60 ml" if column % 100 == row % 100 else "" for column in columns) for row in range(100)]
    return head + "\n" + "".join(f"D {row},{cells[row % 100]},shaken\n" for row in range(10_000))


SHEETS: Final[dict[str, Callable[[], str | bytes]]] = {
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
    "16 MB of rows": lambda: HEAD + "A,gin,50 ml,stir\n" * MB,
    "16 MB in one line": lambda: "x," * (8 * MB),
    "8 MB in one line": lambda: "x," * (4 * MB - 1),
    "8 MB in one word": lambda: "x" * (8 * MB - 1),
    "8 MB in one cell": lambda: HEAD + '"' + "x\n" * 200_000 + "y" * 7 * MB + '",gin,50 ml,stir\n',
    "8 lines of cells of two letters": lambda: ("xy," * 330_000 + "\n") * 8,
    "8 lines of quotes": lambda: HEAD + '"a,' * (8 * MB // 3 - 100),
    "cells of 12,000 pours": lambda: (
        "Drink,Pours\n" + "".join(f'D{n},"{"; ".join(["5 ml gin"] * 11_900)}"\n' for n in range(62))
    ),
    "49,000 drinks of 14 pours": lambda: (
        "Drink,Pours\n" + "".join(f'D{n},"{"; ".join(["50 ml gin"] * 14)}"\n' for n in range(49_000))
    ),
    "480 numbered columns of hidden signs": lambda: (
        ",".join(["Drink", *(f"Ingredient {n},Amount {n}" for n in range(1, 240))])
        + "\n"
        + "".join(f"D{n}," + "\x01,\x01," * 239 + "\n" for n in range(8_300))
    ),
    "8 MB of é on an old code page": lambda: HEAD.encode() + b"\xe9" * (8 * MB - 100),
    "8 MB of words on an old code page": lambda: HEAD.encode() + (b"\xe9 a" * 100_000 + b"\n") * 26,
    "49,000 wide names": lambda: HEAD + "".join(f"燈 {n} {'燈' * 40},gin,60 ml,shaken\n" for n in range(49_000)),
}


def measured(text: str | bytes) -> tuple[float, float]:
    """Processor seconds and peak megabytes of one import."""
    with tempfile.TemporaryDirectory() as folder:
        sheet = Path(folder) / "menu.csv"
        sheet.write_bytes(text if isinstance(text, bytes) else text.encode())
        words = [sys.executable, "-m", "balancer", "import", str(sheet), "--specs", str(HOUSE)]
        # A process has the most memory that its parent had when it began: it is begun by one that has little.
        done = subprocess.run(
            [sys.executable, "-S", "-c", BEGIN, *words], cwd=CHECKOUT, capture_output=True, check=True, text=True
        )
    seconds, kilobytes = done.stdout.split()
    return float(seconds), float(kilobytes) / 1024


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
