"""The scripts of the page on a group of bars, run as its reader runs them, with what each run took."""

from __future__ import annotations

import os
import re
import resource
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Final, NamedTuple

import dask.bag

from balancer.desk.desk import Desk
from balancer.desk.log_export import export_log
from balancer.files.house.base import Shelf
from tests.cli.runner import CHECKOUT
from tests.docs.pages import blocks
from tests.group.logs import NOW

PAGE: Final = CHECKOUT / "docs" / "how-to" / "a-group-of-bars.md"
_FILE: Final = re.compile(r"<!-- file: (?P<name>\S+) -->\s*\Z")


class Took(NamedTuple):
    """What a run took: seconds by the wall, seconds of processors, and the most memory of its processes in MB."""

    wall_s: float
    cpu_s: float
    memory_mb: float


def scripts() -> dict[str, str]:
    """The files that the page has its reader save, by name."""
    found = ((_FILE.search(block.before), block.body) for block in blocks(PAGE.read_text(encoding="utf-8")))
    return {name["name"]: body for name, body in found if name}


def shown() -> str:
    """The table that the page shows `ask.py` to print."""
    (body,) = (block.body for block in blocks(PAGE.read_text(encoding="utf-8")) if block.body.startswith("┌"))
    return body


def save_scripts(folder: Path) -> None:
    for name, body in scripts().items():
        (folder / name).write_text(body, encoding="utf-8")


def run_script(folder: Path, *words: str) -> Took:
    """Run a script of the page in a folder; what it says stays beside it, in SCRIPT.txt.

    Raises AssertionError, with that, when it fails.
    """
    env = {**os.environ, "PYTHONPATH": str(CHECKOUT), "BALANCER_NOW": NOW}
    before, start = _children_s(), time.perf_counter()
    most: dict[int, float] = {}
    with (folder / f"{words[0]}.txt").open("w+b") as said:
        with subprocess.Popen([sys.executable, *words], cwd=folder, env=env, stdout=said, stderr=said) as running:
            while running.poll() is None:
                for process in _family(running.pid):
                    most[process] = max(most.get(process, 0.0), _peak_mb(process))
                time.sleep(0.02)
        said.seek(0)
        assert running.returncode == 0, said.read().decode(errors="replace")[-2000:]
    return Took(time.perf_counter() - start, _children_s() - before, sum(most.values()))


def _children_s() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def _family(process: int) -> Iterator[int]:
    """A process and those that it started, as far as the system tells (Linux)."""
    yield process
    for task in Path(f"/proc/{process}/task").glob("*/children"):
        with suppress(OSError):
            for child in task.read_text(encoding="ascii").split():
                yield from _family(int(child))


def _peak_mb(process: int) -> float:
    """The most memory that a process ever held; what the system counts for a child begins with its parent's."""
    with suppress(OSError):
        found = re.search(r"VmHWM:\s+(\d+) kB", Path(f"/proc/{process}/status").read_text(encoding="utf-8"))
        return int(found[1]) / 1024.0 if found else 0.0
    return 0.0


def _exported(out: Path, folders: list[str]) -> list[int]:
    os.environ["BALANCER_NOW"] = NOW
    shelf = Shelf()
    return [export_log(Desk(Path(folder), shelf=shelf), out).counts["lines"] for folder in folders]


def export_all(folder: Path, processes: int = 2) -> int:
    """What `balancer export log` writes for every bar of a group, into `logs/`; how many lines."""
    bars = dask.bag.from_sequence(  # type: ignore[no-untyped-call]
        sorted(map(str, (folder / "bars").iterdir())), npartitions=4 * processes
    )
    done = bars.map_partitions(partial(_exported, folder / "logs")).compute(
        scheduler="processes", num_workers=processes
    )
    return sum(done)
