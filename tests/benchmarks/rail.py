"""The rail of a long menu, end to end: seconds and memory, and whether twice the drinks take twice the time.

    python tests/benchmarks/rail.py

`sheet rail` runs as a process on 150 and on 300 made-up drinks, by turns. Time is CPU time; the least of the rounds is
told, as others use the machine too.
"""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import NamedTuple

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from tests.benchmarks.report import Report  # noqa: E402 - runs as a script, from anywhere

DRINKS = (150, 300)
ROUNDS = 4
SECONDS, RATIO, MEGABYTES = 1.5, 2.2, 300.0
OURS = "from balancer.cli.app import main\n\nmain()\n"
_WORDS = ("pier", "tide", "slip", "barge", "lamp", "rope", "weir", "reed", "keel", "mast", "dock", "quay")
_LIQUIDS = (
    "60 ml gold rum", "45 ml gin", "30 ml rye whiskey", "22.5 ml lime juice", "22.5 ml lemon juice",
    "15 ml honey syrup", "20 ml raspberry syrup", "22.5 ml sweet vermouth", "20 ml egg white", "60 ml soda water",
    "2 dashes aromatic bitters",
)  # fmt: skip


class Cost(NamedTuple):
    """What a process took: CPU time in s, the most memory it held in MB."""

    seconds: float
    megabytes: float


def house(folder: Path, drinks: int) -> Path:
    """The invented bar with a made-up menu: no two drinks alike, three to six pours, names of one to five words."""
    rng = random.Random(drinks)  # noqa: S311 - made up, and the same every time
    specs = folder / str(drinks)
    shutil.copytree(CHECKOUT / "specs", specs, ignore=shutil.ignore_patterns("drinks"))
    lines = []
    for number in range(drinks):
        name = " ".join(rng.choices(_WORDS, k=rng.randint(1, 4))).title()
        lines += [f"- drink: {name} {number}", "  method: shaken", f"  time: {rng.randint(8, 15)} s", "  glass: wine"]
        lines += ["  pours:", *(f"    - {pour}" for pour in rng.sample(_LIQUIDS, rng.randint(3, 6)))]
        lines += [f"  garnish: {' '.join(rng.choices(_WORDS, k=rng.randint(1, 5)))}", "  strain: double"]
    (specs / "drinks").mkdir()
    (specs / "drinks" / "all.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return specs


def cost(specs: Path, out: Path) -> Cost:
    """What one printing takes."""
    own = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    environment = own | {"PYTHONPATH": str(CHECKOUT), "BALANCER_NOW": "2026-11-25T18:00+01:00"}
    command = [sys.executable, "-c", OURS, "--specs", str(specs), "sheet", "rail", "--out", str(out)]
    with subprocess.Popen(command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        _, _, used = os.wait4(process.pid, 0)
        process.returncode = 0
    if not out.exists():
        raise SystemExit("nothing was printed")
    return Cost(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024.0)


def main() -> int:
    """Print the ratios and what they come to."""
    report = Report()
    with tempfile.TemporaryDirectory() as folder:
        menus = [house(Path(folder), drinks) for drinks in DRINKS]
        costs = [[cost(specs, Path(folder) / f"{turn}-{specs.name}.pdf") for specs in menus] for turn in range(ROUNDS)]
    half, whole = (min(found) for found in zip(*costs, strict=True))
    report.ratio(f"rail of {DRINKS[1]} drinks, in s", whole.seconds, SECONDS, f"limit of {SECONDS} s")
    report.ratio(
        f"{DRINKS[1]} against {DRINKS[0]} drinks", whole.seconds / half.seconds, RATIO, f"{half.seconds:.2f} s"
    )
    report.ratio("its memory, in MB", whole.megabytes, MEGABYTES, f"{half.megabytes:.0f} MB for {DRINKS[0]}")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
