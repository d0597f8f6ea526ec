"""How long a million drinks take to draw and decide on, and how much faster arrays are than one drink after another.

    python tests/benchmarks/simulate.py

A menu of fifty drinks on eight syrups, every third of two of them. Only the work is timed, not the reading of files.
"""

from __future__ import annotations

import gc
import itertools
import sys
import time
from pathlib import Path

CHECKOUT = Path(__file__).absolute().parents[2]
sys.path.insert(0, str(CHECKOUT))

from balancer.engine.drink.bar import Bar  # noqa: E402 - runs as a script, from anywhere
from balancer.engine.simulate.simulate import simulate  # noqa: E402
from tests.benchmarks.report import Report  # noqa: E402
from tests.engine.builders import LIME, RUM, bar, drink, syrup  # noqa: E402

DRINKS = 50
SYRUPS = 8
MILLION = 1_000_000
PLAIN_DRAWS = 400
SD_BRIX = 2.0
ROUNDS = 3
SECONDS_LIMIT = 10.0
RATIO_LIMIT = 1.0 / 8.0
"""Of the time that a drink takes one by one: an eighth at most in arrays."""
GROWTH_LIMIT = 1.15
"""Of the time for each draw when there are twice as many: 1 is linear."""


def menu() -> Bar:
    """Drinks of one syrup, and of two, in pours that jiggers make."""
    names = [f"syrup {number}" for number in range(SYRUPS)]
    pours = itertools.cycle(("15 ml", "22.5 ml", "20 ml", "30 ml"))
    drinks = []
    for number in range(DRINKS):
        parts = [f"{next(pours)} {names[number % SYRUPS]}"]
        if number % 3 == 0:
            parts.append(f"{next(pours)} {names[(number + 3) % SYRUPS]}")
        drinks.append(drink(f"Drink {number}", "60 ml gold rum", "22.5 ml lime juice", *parts))
    return bar(RUM, LIME, *[syrup(name) for name in names], *drinks, jigger_step="2.5 ml")


def seconds(draws: int, *, vectors: bool) -> float:
    """The least of some rounds."""
    times = []
    for _ in range(ROUNDS):
        made = menu()
        start = time.perf_counter()
        simulate(made, sd_brix=SD_BRIX, draws=draws, vectors=vectors)
        times.append(time.perf_counter() - start)
    return min(times)


def main() -> int:
    gc.disable()
    report = Report()
    seconds(100, vectors=True)  # numpy is imported
    draws = MILLION // DRINKS
    arrays, twice = seconds(draws, vectors=True), seconds(2 * draws, vectors=True)
    plain = seconds(PLAIN_DRAWS, vectors=False)
    report.ratio(
        f"s, {draws * DRINKS:,} drinks in arrays", arrays, SECONDS_LIMIT, f"{MILLION / arrays / 1e6:.2f} M a s"
    )
    each = plain / PLAIN_DRAWS
    report.ratio("a drink in arrays to one by one", arrays / draws / each, RATIO_LIMIT, f"{1e6 * each / DRINKS:.0f} µs")
    report.ratio("a draw of twice as many", twice / arrays / 2.0, GROWTH_LIMIT, f"{twice:.2f} s")
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
