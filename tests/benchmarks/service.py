"""How long an evening's answers take: a large menu end to end, and many off syrups on a fine scale.

    python tests/benchmarks/service.py

`rescale` and `tonight` with ten open batches run as processes on ten thousand drinks, by turns with a script that
does no more than load the same files with ruamel's C loader; the ratio of the medians of CPU time is told.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from tests.benchmarks.menu import house_with, menu  # noqa: E402 - runs as a script, from anywhere
from tests.benchmarks.report import Report  # noqa: E402

DRINKS = 10_000
ROUNDS = 5
RESCALE_LIMIT, TONIGHT_LIMIT = 1.25, 1.6
FINE_LIMIT_S = 1.0
RAW = """
import gc, pathlib, sys
from ruamel.yaml import YAML
gc.disable()
for path in sorted(pathlib.Path(sys.argv[1]).rglob("*.yaml")):
    if path.name != "batches.yaml":
        YAML(typ="safe").load(path.read_text(encoding="utf-8"))
"""
OURS = "from balancer.cli.app import main\n\nmain()\n"
NIGHT = "2026-11-25"
OPEN = (("rich", 63.0), ("passion-fruit", 53.5), ("lime-cordial", 48.0), ("agave", 47.0), ("demerara", 70.0))
"""Opened beside the demo's own, so that ten syrups are off."""


def cpu_seconds(command: list[str]) -> float:
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"PYTHONPATH": str(CHECKOUT), "BALANCER_NOW": f"{NIGHT}T18:00+01:00"}
    before = os.times()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment, cwd=CHECKOUT)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system


def opened(specs: Path) -> None:
    """More open batches in the log."""
    lines = []
    for number, (syrup, brix) in enumerate(OPEN):
        at = f"{NIGHT}T1{number}:00:00+01:00"
        batch = f'{{"batch": "NEW-{number}", "syrup": "{syrup}-syrup", "event": "made", "brix": {brix}, "at": "{at}"}}'
        batch = batch.replace("cordial-syrup", "cordial")
        lines += [
            f"- {batch}",
            f'- {{"batch": "NEW-{number}", "event": "open", "at": "{at.replace(":00:00", ":01:00")}"}}',
        ]
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write("\n".join(lines) + "\n")


def fine_house(folder: Path) -> Path:
    """Twenty drinks of four syrups, all off, weighed to a tenth of a gram."""
    specs = folder / "fine"
    for name in ("drinks", "syrups", "ingredients"):
        (specs / name).mkdir(parents=True)
    (specs / "house.yaml").write_text(
        "format: 1\nhouse: Fine Slip\npour style: scale\nscale: {division: 0.1 g}\n", encoding="utf-8"
    )
    (specs / "ingredients" / "gin.yaml").write_text("{ingredient: gin, abv: 45 %, sugar: 0 g/l}\n", encoding="utf-8")
    names = ("ash", "beech", "cedar", "damson")
    syrups = "".join(f"- {{syrup: {name} syrup, standard: 50 °Bx}}\n" for name in names)
    (specs / "syrups" / "all.yaml").write_text(syrups, encoding="utf-8")
    drinks = "".join(
        f"- drink: Fine {number}\n  method: shaken\n  pours:\n    - 50 ml gin\n"
        + "".join(f"    - {20 + (number + place) % 11} ml {name} syrup\n" for place, name in enumerate(names[:-1]))
        + f"    - {{pour: {15 + number} ml, of: damson syrup, fixed: true}}\n"
        for number in range(20)
    )
    (specs / "drinks" / "all.yaml").write_text(drinks, encoding="utf-8")
    log = ""
    for name, brix in zip(names, (55.3, 54.6, 53.9, 46.0), strict=True):
        batch = f'"batch": "{name[:3].upper()}-1"'
        log += f'- {{{batch}, "syrup": "{name}-syrup", "event": "made", "brix": {brix}, "at": "{NIGHT}T10:00+01:00"}}\n'
        log += f'- {{{batch}, "event": "open", "at": "{NIGHT}T10:01+01:00"}}\n'
    (specs / "batches.yaml").write_text(log, encoding="utf-8")
    return specs


def main() -> int:
    report = Report()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for file, code in (("raw.py", RAW), ("ours.py", OURS)):
            (folder / file).write_text(code, encoding="utf-8")
        specs = house_with(menu(DRINKS), folder)
        opened(specs)
        raw = [sys.executable, str(folder / "raw.py"), str(specs)]
        asked = {
            "rescale": (["rescale", "--syrup", "raspberry", "--brix", "54"], RESCALE_LIMIT),
            "tonight, ten open batches": (["tonight", "--date", NIGHT], TONIGHT_LIMIT),
        }
        for what, (words, limit) in asked.items():
            ours = [sys.executable, str(folder / "ours.py"), *words, "--specs", str(specs)]
            pairs = [(cpu_seconds(ours), cpu_seconds(raw)) for _ in range(ROUNDS)]
            ratio = statistics.median(one / other for one, other in pairs)
            note = f"of {statistics.median(other for _, other in pairs):.1f} s CPU that ruamel's C loader takes"
            report.ratio(f"{what}, {DRINKS:,} drinks, end to end", ratio, limit, note)
        fine = fine_house(folder)
        words = ["tonight", "--date", NIGHT, "--specs", str(fine)]
        start = time.perf_counter()
        cpu_seconds([sys.executable, str(folder / "ours.py"), *words])
        spent = time.perf_counter() - start
        report.ratio("tonight, 20 drinks, 4 off syrups, 0.1 g", spent, FINE_LIMIT_S, "seconds by the clock, cold")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
