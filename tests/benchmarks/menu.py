"""How time and memory grow with the menu: ten thousand drinks, made of the demo's own.

    python tests/benchmarks/menu.py

Time is told as a part of what ruamel's C loader takes for the same text; memory of a drink at one size of the
menu against another. Collection of garbage is off, as it is in the command line.
"""

from __future__ import annotations

import gc
import itertools
import statistics
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path
from shutil import copytree

from ruamel.yaml import YAML

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from balancer.engine.drink.bar import Bar  # noqa: E402 - runs as a script, from anywhere
from balancer.engine.drink.totals import totals  # noqa: E402
from balancer.engine.service.rescale import rescale  # noqa: E402
from balancer.files.house.load import load  # noqa: E402
from balancer.models.specs import Specs  # noqa: E402
from tests.benchmarks.report import Report  # noqa: E402

SIZES = (2_500, 5_000, 10_000)
A_FILE = 1_000
ROUNDS = 3
TOTALS_LIMIT = 0.25
RESCALE_LIMIT = 0.5
MEMORY_LIMIT = 1.1


def menu(size: int) -> list[str]:
    """The demo's drinks over and over, each with a name of its own: texts of a thousand drinks, as lists."""
    files = [path.read_text(encoding="utf-8") for path in sorted((CHECKOUT / "specs" / "drinks").glob("*.yaml"))]
    entries = []
    for number, text in zip(range(size), itertools.cycle(files), strict=False):
        first, *rest = text.splitlines()
        entries.append("\n".join([f"- {first} {number}", *(f"  {line}" for line in rest)]))
    return ["\n".join(entries[start : start + A_FILE]) + "\n" for start in range(0, size, A_FILE)]


def house_with(texts: list[str], folder: Path) -> Path:
    """The demo house with another menu."""
    specs = folder / "specs"
    copytree(CHECKOUT / "specs", specs)
    for path in (specs / "drinks").iterdir():
        path.unlink()
    for number, text in enumerate(texts):
        (specs / "drinks" / f"{number}.yaml").write_text(text, encoding="utf-8")
    return specs


def seconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def bytes_of(size: int) -> int:
    """What the loaded menu and its totals keep, in bytes."""
    with tempfile.TemporaryDirectory() as folder:
        specs = house_with(menu(size), Path(folder))
        gc.collect()
        tracemalloc.start()
        bar = Bar(load(specs).specs)
        results = [totals(bar, drink) for drink in bar.specs.drinks.values()]
        kept, _ = tracemalloc.get_traced_memory()
        tracemalloc.stop()
    assert len(results) == size
    return kept


def times_of(specs: Specs, texts: list[str]) -> tuple[float, float, float]:
    """Seconds for all totals, for one rescale, and for ruamel's C loader on the texts."""
    bar, drinks = Bar(specs), list(specs.drinks.values())
    for_totals = seconds(lambda: [totals(bar, drink) for drink in drinks])
    other = Bar(specs)
    for_rescale = seconds(lambda: rescale(other, "raspberry-syrup", 54.0))
    return for_totals, for_rescale, seconds(lambda: [YAML(typ="safe").load(text) for text in texts])


def main() -> int:
    gc.disable()
    report = Report()
    texts = menu(SIZES[-1])
    with tempfile.TemporaryDirectory() as folder:
        loaded = load(house_with(texts, Path(folder)))
    assert (loaded.problems, len(loaded.specs.drinks)) == ((), SIZES[-1])
    times = [times_of(loaded.specs, texts) for _ in range(ROUNDS)]
    del loaded
    yaml_s = statistics.median(yaml for _, _, yaml in times)
    note = f"of {yaml_s:.1f} s that ruamel's C loader takes; median of {ROUNDS}"
    of_totals = statistics.median(for_totals / yaml for for_totals, _, yaml in times)
    report.ratio(f"totals of all {SIZES[-1]:,} drinks", of_totals, TOTALS_LIMIT, note)
    of_rescale = statistics.median(for_rescale / yaml for _, for_rescale, yaml in times)
    report.ratio(f"rescale of {SIZES[-1]:,} drinks", of_rescale, RESCALE_LIMIT, note)
    each = {size: bytes_of(size) / size for size in SIZES}
    for smaller, larger in itertools.pairwise(SIZES):
        note = f"{each[larger]:,.0f} bytes a drink against {each[smaller]:,.0f}"
        report.ratio(f"memory of a drink, {larger:,} to {smaller:,}", each[larger] / each[smaller], MEMORY_LIMIT, note)
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
