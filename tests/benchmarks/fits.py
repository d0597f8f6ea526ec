"""How long a menu against a shelf takes, and how it grows: 50, 100 and 200 drinks, 40 syrups each.

    python tests/benchmarks/fits.py

Only the work is timed, not the reading of files. Collection of garbage is off, as it is in the command line.
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
from balancer.engine.swaps.fits import DrinkFits, fits_all  # noqa: E402
from balancer.models.syrup import Syrup  # noqa: E402
from tests.benchmarks.report import Report  # noqa: E402
from tests.engine.builders import BERRY, LIME, RUM, bar, drink, syrup  # noqa: E402

SIZES = (50, 100, 200)
SYRUPS = 40
ROUNDS = 3
SECONDS_LIMIT = 5.0
GROWTH_LIMIT = 1.25
"""Of the time for each drink when the menu doubles: 1 is linear."""


def shelf() -> list[Syrup]:
    """Syrups of 30 to 69 °Bx, every other one with acid."""
    return [
        syrup(
            f"syrup {number}", standard=f"{30 + number} °Bx", allergens=[], **({"acid": "9 g/kg"} if number % 2 else {})
        )
        for number in range(SYRUPS)
    ]


def house(size: int, syrups: list[Syrup]) -> Bar:
    """A menu of shaken, stirred and built drinks, each with its own pours."""
    methods = itertools.cycle(("shaken", "stirred", "shaken"))
    drinks = [
        drink(
            f"Drink {number}",
            f"{40 + number % 25} ml gold rum",
            f"{15 + number % 15} ml lime juice",
            f"{10 + number % 20} ml berry syrup",
            f"{5 + number % 5} ml syrup {number % SYRUPS}",
            method=method,
        )
        for number, method in zip(range(size), methods, strict=False)
    ]
    return bar(RUM, LIME, BERRY, *syrups, *drinks)


def seconds(size: int, syrups: list[Syrup]) -> float:
    """The least of some rounds, each on a bar that has worked out nothing yet."""
    times = []
    for _ in range(ROUNDS):
        made = house(size, syrups)
        start = time.perf_counter()
        found = list(fits_all(made, "berry-syrup", list(made.specs.syrups)))
        times.append(time.perf_counter() - start)
        answers = [each for each in found if isinstance(each, DrinkFits)]
        assert len(answers) == size
        assert all(len(each.fits) == SYRUPS for each in answers)
    return min(times)


def main() -> int:
    gc.disable()
    report = Report()
    syrups = shelf()
    times = {size: seconds(size, syrups) for size in SIZES}
    for size, took in times.items():
        report.ratio(
            f"s, {size} drinks x {SYRUPS} syrups", took, SECONDS_LIMIT * size / SIZES[-1], f"least of {ROUNDS}"
        )
    for smaller, larger in itertools.pairwise(SIZES):
        ratio = times[larger] / times[smaller] / (larger / smaller)
        note = (
            f"{1e6 * times[larger] / larger / SYRUPS:.0f} µs a pour, {times[larger] / times[smaller]:.2f} times as long"
        )
        report.ratio(f"a drink of {larger} to one of {smaller}", ratio, GROWTH_LIMIT, note)
    return report.exit_code()


if __name__ == "__main__":
    raise SystemExit(main())
