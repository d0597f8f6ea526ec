"""The logs of a group over a year, folded by DuckDB and by balancer's own fold under Dask: time, memory, slope.

    python -m tests.benchmarks.group_logs [BARS ...]      100, 300 and 1000 unless given; 2,000 lines a bar

Runs the scripts of docs/how-to/a-group-of-bars.md as its reader does, on logs made up under tests/group, and prints the
table of that page; the two folds have to agree, and to find what was planted.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NamedTuple

import duckdb
import numpy as np

from tests.benchmarks.report import Report
from tests.group.logs import Planted, planted, write_group
from tests.group.running import Took, export_all, run_script, save_scripts, scripts
from tests.group.test_group import KINDS, charted, differing, folded

SIZES: Final = (100, 300, 1_000)


MOST: Final = {"wall_s": 3_600.0, "cpu_s": 7_200.0, "memory_mb": 12_800.0}
"""What one machine gives: an hour of the night, on two processors, and four fifths of 16 GB."""


class Run(NamedTuple):
    """What a size took: all logs exported, DuckDB, and our fold on one process and on two. megabytes of Parquet."""

    bars: int
    lines: int
    export_s: float
    megabytes: float
    duckdb: Took
    one: Took
    two: Took


WAYS: Final[dict[str, Callable[[Run], Took]]] = {
    "DuckDB": lambda one: one.duckdb,
    "our fold, 1 process": lambda one: one.one,
    "our fold, 2 processes": lambda one: one.two,
}


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def run(folder: Path, bars: int) -> Run:
    """One size. Who drifts is drawn anew for each, so its logs are written anew."""
    folder.mkdir()
    lines = write_group(folder, bars, planted(bars))
    save_scripts(folder)
    export_s = seconds(lambda: export_all(folder))
    megabytes = sum(path.stat().st_size for path in (folder / "logs").rglob("*.parquet")) / 1e6
    (folder / "group.duckdb").unlink(missing_ok=True)
    took = run_script(folder, "ask.py"), run_script(folder, "fold.py", "1"), run_script(folder, "fold.py", "2")
    return Run(bars, lines, export_s, megabytes, *took)


def missed(folder: Path, drift: Planted) -> int:
    """How many of what was planted are not found, and how many are that were not."""
    with duckdb.connect(str(folder / "group.duckdb")) as database:
        rows = database.execute(scripts()["drift.sql"]).fetchall()
    named = {(row[0], row[1], row[2]) for row in rows}
    wanted = {("syrup", name, None) for name in drift.syrups} | {("bar", name, None) for name in drift.bars}
    return len(named ^ (wanted | {("maker", *maker) for maker in drift.makers}))


def slope(runs: Sequence[Run], figure: Callable[[Run], float]) -> tuple[float, float]:
    """What a bar more takes, and what no bars take, by least squares."""
    more, none = np.polyfit([one.bars for one in runs], [figure(one) for one in runs], 1)
    return float(more), float(none)


def main(sizes: Sequence[int]) -> int:
    """Measure every size; 1 when something is not in proportion, or not found."""
    report, runs = Report(), []
    print(f"{os.cpu_count()} processors")
    with tempfile.TemporaryDirectory() as name:
        for bars in sizes:
            folder = Path(name) / str(bars)
            runs.append(run(folder, bars))
            others = sum(len(differing(folded(folder, kind), charted(folder, kind))) for kind in KINDS)
            report.ratio(f"{bars} bars: charts and makers told otherwise", float(others), 0.0, "by the two folds")
            wrong = missed(folder, planted(bars))
            report.ratio(f"{bars} bars: named wrongly, of bars and makers", wrong / (5 * bars), 0.002, f"{wrong}")
    print("| bars | lines | DuckDB | | our fold, 1 process | | 2 processes | | 2 to 1 |")
    print("|---|---|---|---|---|---|---|---|---|")
    for one in runs:
        cells = [f"{took.wall_s:.1f} s | {took.memory_mb:.0f} MB" for took in one[4:]]
        print(f"| {one.bars:,} | {one.lines:,} | {' | '.join(cells)} | {one.two.wall_s / one.one.wall_s:.2f} |")
        used = ", ".join(f"{took.cpu_s:.1f} s" for took in one[4:])
        print(f"  export {one.export_s:.1f} s, {one.megabytes:.1f} MB; of processors: {used}")
    if len(runs) > 1:
        for what, took in WAYS.items():
            for unit in Took._fields:
                more, none = slope(runs, lambda one, took=took, unit=unit: getattr(took(one), unit))  # type: ignore[misc]
                enough = f"; {(MOST[unit] - none) / more:,.0f} bars are {MOST[unit]:,.0f}" if more > 0.0 else ""
                print(f"{what}, {unit}: {1000 * more:.1f} per 1,000 bars, and {none:.1f}{enough}")
        least, most = runs[0], runs[-1]
        scale = most.bars / least.bars
        report.ratio("DuckDB, in proportion", most.duckdb.cpu_s / least.duckdb.cpu_s / scale, 1.3, "processor time")
        report.ratio("our fold, in proportion", most.one.cpu_s / least.one.cpu_s / scale, 1.3, "processor time")
    return report.exit_code()


if __name__ == "__main__":
    sys.exit(main([int(word) for word in sys.argv[1:]] or SIZES))
