"""How long tonight's page takes, of the demo house and of 200 drinks: warm, after a change, and from the start.

    python tests/benchmarks/page.py

The page is served by a process of its own; times are of one request over a connection that is open, by the clock.
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from tests.benchmarks.menu import house_with, menu  # noqa: E402 - runs as a script, from anywhere
from tests.benchmarks.report import Report  # noqa: E402
from tests.web.browsing import SPECS  # noqa: E402
from tests.web.serving import Device, served  # noqa: E402

ROUNDS = 50
WARM_LIMIT_MS, CHANGED_LIMIT_MS, COLD_LIMIT_S = 100.0, 500.0, 5.0
DRINKS = 200


def measured(report: Report, name: str, specs: Path, state: Path) -> None:
    """Report the times of one house."""
    began = time.perf_counter()
    with served(specs, state) as page:
        cold_s = time.perf_counter() - began
        device = Device(page.port)
        first = [_ask_ms(device)]
        warm = [_ask_ms(device) for _ in range(ROUNDS)]
        changed = []
        for _ in range(ROUNDS // 10):
            with (specs / "house.yaml").open("a", encoding="utf-8") as file:
                file.write("# changed\n")
            changed.append(_ask_ms(device))
        device.close()
        memory = page.memory_mib
    report.ratio(f"/ warm, {name}, ms", statistics.median(warm), WARM_LIMIT_MS, f"slowest of {ROUNDS}: {max(warm):.0f}")
    report.ratio(f"/ after a file has changed, {name}, ms", statistics.median(changed), CHANGED_LIMIT_MS, "read again")
    report.ratio(f"from the start to an answer, {name}, s", cold_s, COLD_LIMIT_S, f"then / first {first[0]:.0f} ms")
    print(f"  memory {memory:.0f} MiB")


def _ask_ms(device: Device) -> float:
    began = time.perf_counter()
    status, _ = device.get("/")
    if status != 200:
        raise SystemExit(f"/ answers {status}")
    return (time.perf_counter() - began) * 1000


def main() -> int:
    """Measure both houses."""
    report = Report()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        measured(report, "demo house", shutil.copytree(SPECS, folder / "demo"), folder / "state")
        measured(report, f"{DRINKS} drinks", house_with(menu(DRINKS), folder), folder / "state")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
