"""How long a cold `rescale` takes, against a script that does no more than load the same libraries and files.

    python tests/benchmarks/start_up.py

Both run on the demo house as processes of their own, by turns, with compiled modules; medians are compared.
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

from tests.benchmarks.report import Report  # noqa: E402 - runs as a script, from anywhere

RUNS = 21
LIMIT = 1.25
BARE = """
from pathlib import Path

import typer
from pydantic import BaseModel
from ruamel.yaml import YAML


class Model(BaseModel):
    name: str
    number: int = 0


app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False, add_completion=False)


@app.command()
def main(folder: Path) -> None:
    for path in sorted(folder.rglob("*.yaml")):
        YAML(typ="safe").load(path.read_text(encoding="utf-8"))
    print(Model(name="bare"))


app()
"""

OURS = "from balancer.cli.app import main\n\nmain()\n"
"""What an installed `balancer` holds."""


def seconds(command: list[str]) -> tuple[float, float]:
    """By the clock, and of CPU."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    environment["PYTHONPATH"] = str(CHECKOUT)
    before, start = os.times(), time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment, cwd=CHECKOUT)
    after, end = os.times(), time.perf_counter()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return end - start, used


def main() -> int:
    specs = str(CHECKOUT / "specs")
    with tempfile.TemporaryDirectory() as folder:
        for name, code in (("bare.py", BARE), ("ours.py", OURS)):
            (Path(folder) / name).write_text(code, encoding="utf-8")
        bare = [sys.executable, f"{folder}/bare.py", specs]
        ours = [
            sys.executable,
            f"{folder}/ours.py",
            "rescale",
            "--syrup",
            "raspberry",
            "--brix",
            "54",
            "--specs",
            specs,
        ]
        for command in (bare, ours):
            seconds(command)  # compiles, and fills the disk's cache
        times = [seconds(bare) + seconds(ours) for _ in range(RUNS)]
    bare_s, bare_used, ours_s, ours_used = (statistics.median(column) for column in zip(*times, strict=True))
    report = Report()
    note = f"medians of {RUNS}: {1000 * ours_s:.0f} ms against {1000 * bare_s:.0f}; CPU {ours_used / bare_used:.2f}"
    report.ratio("rescale, cold, against a bare script", ours_s / bare_s, LIMIT, note)
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
