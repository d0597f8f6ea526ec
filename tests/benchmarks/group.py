"""`check` of a group: forty bars on one base, in one call, as the command is started.

    python tests/benchmarks/group.py

The base is the demo's 60 ingredients and syrups and 200 drinks made of its own; every bar has its own house.yaml,
five drinks and two ingredients in place of the base's, and a batch log of a hundred lines.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from tests.benchmarks.menu import house_with, menu  # noqa: E402 - runs as a script, from anywhere
from tests.benchmarks.report import Report  # noqa: E402

BARS = 40
DRINKS = 200
LINES = 100
LIMIT_SECONDS = 3.0
ROUNDS = 3
LINE = (
    '- {{"batch": "RAS-{0}", "syrup": "raspberry-syrup", "event": "made", "brix": 50, "made": "2026-11-20", '
    '"at": "2026-11-20T10:{1:02}:{2:02}+01:00"}}\n'
)


def group(folder: Path) -> list[Path]:
    """The base and its bars; the folders of the bars."""
    house_with(menu(DRINKS), folder).rename(folder / "group")
    (folder / "group" / "batches.yaml").unlink()
    drinks = sorted((CHECKOUT / "specs" / "drinks").glob("*.yaml"))[:5]
    bars = [folder / "bars" / f"{number:02}" for number in range(BARS)]
    for number, bar in enumerate(bars):
        (bar / "drinks").mkdir(parents=True)
        (bar / "house.yaml").write_text(f"format: 1\nhouse: Bar {number}\nbase: ../../group\n", encoding="utf-8")
        for place, drink in enumerate(drinks):
            first, rest = drink.read_text(encoding="utf-8").split("\n", 1)
            (bar / "drinks" / drink.name).write_text(f"{first} {place}\n{rest}", encoding="utf-8")
        log = "".join(LINE.format(line + 1, line // 60, line % 60) for line in range(LINES))
        (bar / "batches.yaml").write_text(log, encoding="utf-8")
    return bars


def seconds(folder: Path, *names: str) -> float:
    """The time of one call, from its start to its end; every folder in it is sound."""
    env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "balancer", "check", *names],
        cwd=folder, env={**env, "PYTHONPATH": str(CHECKOUT)}, check=True, capture_output=True, text=True,
    )  # fmt: skip
    took = time.perf_counter() - start
    assert done.stdout.startswith(("no problems", f"all {BARS} are sound")), done.stdout
    return took


def main() -> int:
    """Measure and compare with the limit."""
    report = Report()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        names = [str(bar.relative_to(folder)) for bar in group(folder)]
        seconds(folder, names[0])
        one = min(seconds(folder, names[0]) for _ in range(ROUNDS))
        all_ = min(seconds(folder, *names) for _ in range(ROUNDS))
        note = f"{all_:.2f} s for {BARS} bars of {DRINKS} drinks, {one:.2f} s for one"
        report.ratio(f"check of {BARS} bars, of {LIMIT_SECONDS:g} s", all_ / LIMIT_SECONDS, 1.0, note)
        report.ratio("the same, of so many calls for one each", all_ / (BARS * one), 0.5, "the base is read once")
    return report.exit_code()


if __name__ == "__main__":
    sys.exit(main())
