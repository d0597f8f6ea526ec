"""What people use instead: a spreadsheet of the same menu, and the °Bx-ratio rule of thumb. Time, and grams of sugar.

    python -m tests.benchmarks.spreadsheet            measures and prints
    python -m tests.benchmarks.spreadsheet --write    and stores the figures, docs/performance.md and its plots
    python -m tests.benchmarks.spreadsheet --judged   what hangs on no machine anew; wants no LibreOffice
    python -m tests.benchmarks.spreadsheet --page     the page and its plots anew, of the figures that are stored

Wants LibreOffice and its bridge to Python (Debian: `apt-get install --no-install-recommends libreoffice-calc
python3-uno`). Its start is told apart from its work.
"""

from __future__ import annotations

import gc
import itertools
import json
import os
import platform
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from random import Random
from typing import Any, Final

import balancer
from balancer.engine.drink.bar import Bar
from balancer.engine.service.menu import Menu
from balancer.files.house.load import load
from tests.benchmarks.against import judged, menus, workbook
from tests.benchmarks.against.page import FIGURES, read, write
from tests.benchmarks.menu import CHECKOUT
from tests.benchmarks.report import Report
from tests.benchmarks.service import NIGHT, OURS

SIZES: Final = (10, 100, 1_000)
ROUNDS: Final = 5
ENOUGH_S: Final = 0.5
MOST: Final = 400
OFFSETS: Final = [half / 2.0 for half in range(-24, 25)]
SPREADS_BRIX: Final = (1.0, 2.0, menus.MADE_WITH_SD_BRIX, 5.0)
STEPS_ML: Final = (1.0, menus.STEP_ML, 5.0)
EVENINGS: Final = 100
TYPED: Final = "raspberry-syrup"
BOOKS: Final = {"whole": False, "blocks": True}
OFFICE_PYTHON: Final = "/usr/bin/python3"
COMMAND_LIMIT, WORK_LIMIT = 1.0, 1.0


def as_process(command: Sequence[str]) -> list[float]:
    """A process by the clock, and its CPU, s."""
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    environment |= {"PYTHONPATH": str(CHECKOUT), "BALANCER_NOW": f"{NIGHT}T18:00+01:00"}
    begun, before = time.perf_counter(), os.times()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=environment, cwd=CHECKOUT)
    after = os.times()
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return [time.perf_counter() - begun, used]


def repeated(work: Callable[[], object]) -> dict[str, float]:
    """Medians of repeated runs in this process, s."""
    clock: list[float] = []
    used: list[float] = []
    while len(clock) < ROUNDS or (sum(used) < ENOUGH_S and len(clock) < MOST):
        begun, before = time.perf_counter(), time.process_time()
        work()
        used.append(time.process_time() - before)
        clock.append(time.perf_counter() - begun)
    return {"clock": statistics.median(clock), "cpu": statistics.median(used)}


def medians(pairs: Sequence[Sequence[float]]) -> dict[str, float]:
    clock, used = (statistics.median(column) for column in zip(*pairs, strict=True))
    return {"clock": clock, "cpu": used}


def log_of(strengths: Mapping[str, float]) -> str:
    """A log in which a batch of every syrup is open, as strong as given."""
    lines = []
    for number, (syrup, brix) in enumerate(strengths.items(), start=1):
        made = {
            "batch": f"NEW-{number}",
            "syrup": syrup,
            "event": "made",
            "brix": brix,
            "at": f"{NIGHT}T10:00:00+01:00",
        }
        opened = {"batch": f"NEW-{number}", "event": "open", "at": f"{NIGHT}T11:00:00+01:00"}
        lines += [f"- {json.dumps(made)}", f"- {json.dumps(opened)}"]
    return "\n".join(lines) + "\n"


def tonight(bar: Bar) -> dict[str, float]:
    """The readings of the evening that is timed."""
    return menus.readings(judged.standards_of(bar), menus.MADE_WITH_SD_BRIX, Random(menus.SEED))  # noqa: S311


def decided(bar: Bar, strengths: dict[str, float]) -> Menu:
    """Every drink of the menu decided on."""
    menu = Menu(bar, strengths)
    for drink in bar.specs.drinks.values():
        menu.decide(drink)
    return menu


def ours(specs: Path, strengths: dict[str, float], folder: Path) -> dict[str, dict[str, float]]:
    """Our times on a menu: the command, and its parts in this process."""
    script = folder / "ours.py"
    script.write_text(OURS, encoding="utf-8")
    command = [sys.executable, str(script), "tonight", "--date", NIGHT, "--specs", str(specs)]
    as_process(command)  # compiles, and fills the disk's cache
    loaded = menus.loaded(specs)
    bar = Bar(loaded)
    decided(bar, strengths)
    typed = itertools.count(1)

    def another() -> Menu:
        return decided(bar, {**strengths, TYPED: strengths[TYPED] + 0.001 * next(typed)})  # never read before

    return {
        "command": medians([as_process(command) for _ in range(ROUNDS)]),
        "open": repeated(lambda: load(specs)),
        "all": repeated(lambda: decided(Bar(loaded), strengths)),
        "reading": repeated(another),
    }


def office(folder: Path, row: int) -> Any:
    """What LibreOffice takes for the workbooks in a folder, and what stands in them then."""
    names = [f"{book}-{size}" for size in SIZES for book in BOOKS]
    script = CHECKOUT / "tests" / "benchmarks" / "against" / "office.py"
    command = [OFFICE_PYTHON, str(script), str(folder), str(ROUNDS), str(row), *names]
    clean = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
    return json.loads(subprocess.run(command, check=True, capture_output=True, text=True, env=clean).stdout)


def agreed(bar: Bar, strengths: dict[str, float], values: Mapping[str, Sequence[Sequence[Any]]]) -> dict[str, float]:
    """Hold the cells of a workbook against its formulas in Python, and count what it says otherwise than we do.

    Raises AssertionError where the cells are not what the formulas should give: the comparison would be void.
    """
    sheet, menu = judged.Sheet(bar), Menu(bar, strengths)
    names = {syrup.name: syrup.id for syrup in bar.specs.syrups.values()}
    by_name = {drink.name: drink for drink in bar.specs.drinks.values()}
    cells: dict[str, dict[str, float]] = {}
    for name, what, *rest in values["Pours"][1:]:
        if what in names:
            cells.setdefault(name, {})[names[what]] = rest[12]
    other, apart = 0, []
    for row in values["Drinks"][2:]:
        drink = by_name[row[0]]
        found = menu.decide(drink)
        assert abs(row[1] - sheet.designed_g(drink.name)) < 1e-6, row
        mirrored = sheet.poured(drink.name, strengths)
        poured = cells.get(drink.name, {})
        assert all(abs(poured[each] - ml) < 1e-6 for each, ml in mirrored.items()), (drink.name, poured, mirrored)
        apart.append(abs(row[1] - found.sugar_g))
        pours = zip(found.parts, found.decision.poured, strict=True)
        other += any(abs(poured[part.pour.of] - amount.value) > 1e-6 for part, amount in pours)
    return {"drinks": len(apart), "mean_g": statistics.fmean(apart), "worst_g": max(apart), "other_pours": other}


def measured() -> Any:
    """Everything that the page tells."""
    gc.disable()  # as the command line does
    times: dict[str, Any] = {"sizes": list(SIZES), "ours": {}, "lines": {}}
    agreement = {}
    load_before = os.getloadavg()[0]
    with tempfile.TemporaryDirectory() as name:
        folder, bars, row = Path(name), {}, 0
        (folder / "books").mkdir()
        for size in SIZES:
            there = folder / str(size)
            there.mkdir()
            specs = menus.written(size, there)
            bar = bars[size] = Bar(menus.loaded(specs))
            strengths = tonight(bar)
            (specs / "batches.yaml").write_text(log_of(strengths), encoding="utf-8")
            for book, in_blocks in BOOKS.items():
                built = workbook.build(bar, strengths, in_blocks=in_blocks)
                workbook.save(built.sheets, folder / "books" / f"{book}-{size}.ods")
                row = built.syrup_rows[TYPED]
                times["lines"][str(size)] = len(built.lines)
            times["ours"][str(size)] = ours(specs, strengths, there)
        found = office(folder / "books", row)
        for size in SIZES:
            agreement[str(size)] = agreed(bars[size], strengths, found["books"][f"whole-{size}"]["values"])
    times["office"] = {"start": medians(found["start"])}
    for name, book in found["books"].items():
        again = {
            what: {"clock": statistics.median(book[what]["clock"]), "cpu": book[what]["cpu"]}
            for what in ("open", "all", "reading")
        }
        times["office"][name] = {"command": medians(found["command"][name]), **again}
    said = subprocess.run(["soffice", "--version"], check=True, capture_output=True, text=True).stdout  # noqa: S607
    return short(
        {
            "date": datetime.now().astimezone().date().isoformat(),
            "machine": {"cores": os.cpu_count(), "kind": platform.machine(), "system": platform.system()},
            "load": [round(load_before, 1), round(os.getloadavg()[0], 1)],
            "versions": {
                "balancer": balancer.__version__,
                "Python": platform.python_version(),
                "LibreOffice": said.split()[1],
            },
            "rounds": ROUNDS,
            "times": times,
            "agreement": agreement,
            **judgement(bars),
        }
    )


def short(value: Any) -> Any:
    """Figures to six digits, so that they can be read and compared where they are stored."""
    if isinstance(value, float):
        return float(f"{value:.6g}")
    if isinstance(value, dict):
        return {key: short(one) for key, one in value.items()}
    return [short(one) for one in value] if isinstance(value, list) else value


def judgement(bars: Mapping[int, Bar]) -> dict[str, Any]:
    """How far drinks end up off, by every way; it depends on no machine.

    bars  the house with a menu of each size
    """
    menu = bars[SIZES[-1]]
    evenings = {f"{sd:g}": judged.evenings(menu, sd, EVENINGS) for sd in SPREADS_BRIX}
    steps = {
        f"{step:g}": judged.evenings(judged.with_step(menu, step), menus.MADE_WITH_SD_BRIX, EVENINGS)
        for step in STEPS_ML
    }
    return {
        "tolerance": menu.specs.house.tolerance,
        "evening": {str(size): judged.evening(bar, tonight(bar)) for size, bar in bars.items()},
        "totals": judged.totals_apart(menu),
        "unknown": judged.unknown_sugar(menu),
        "evenings": {"count": EVENINGS, **evenings},
        "steps": steps,
        "sweep": judged.sweep(menu, OFFSETS),
    }


def judged_anew() -> Any:
    """The stored figures, with what hangs on no machine worked out again."""
    bars = {}
    for size in SIZES:
        with tempfile.TemporaryDirectory() as name:
            bars[size] = Bar(menus.loaded(menus.written(size, Path(name))))
    return short({**read(), **judgement(bars)})


def reported(figures: Mapping[str, Any]) -> int:
    """Print the ratios; 1 when a limit is missed."""
    report, times = Report(), figures["times"]
    for size in times["sizes"]:
        mine, theirs = times["ours"][str(size)], times["office"][f"blocks-{size}"]
        large = [("all", WORK_LIMIT), ("reading", WORK_LIMIT)] if size == SIZES[-1] else []
        for what, limit in [("command", COMMAND_LIMIT), *large]:
            note = f"CPU, {1000 * mine[what]['cpu']:.2f} ms against {1000 * theirs[what]['cpu']:.2f} of the workbook's"
            report.ratio(f"{what}, {size:,} drinks", mine[what]["cpu"] / theirs[what]["cpu"], limit, note)
    several = figures["evenings"][f"{menus.MADE_WITH_SD_BRIX:g}"]["several"]
    ratio = several["balancer"]["out_percent"] / several["ratio, jigger"]["out_percent"]
    report.ratio("out of tolerance, several syrups off", ratio, 1.0, "drinks, against the rule of thumb")
    return report.exit_code()


def main(arguments: list[str]) -> int:
    if arguments == ["--page"]:
        write(read())
        return 0
    if arguments not in ([], ["--write"], ["--judged"]):
        sys.exit("usage: python -m tests.benchmarks.spreadsheet [--write | --judged | --page]")
    if arguments != ["--judged"] and shutil.which("soffice") is None:
        sys.exit("LibreOffice is not here: apt-get install --no-install-recommends libreoffice-calc python3-uno")
    figures = judged_anew() if arguments == ["--judged"] else measured()
    if arguments:
        FIGURES.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")
        write(figures)
    return reported(figures)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
