"""How well a staged correction does: 10,000 simulated batches for each instrument.

    python tests/benchmarks/staged_correction.py

A batch of unknown true strength and mass is read once, gets its first addition, is stirred, read again
and gets the rest. The additions are those of `balancer correct`; only the nature of the errors is made up
here, and it is printed. The exit code is 1 when a bound is missed.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable, Sequence
from math import hypot
from typing import Final, NamedTuple

from balancer.engine.drink.blend import DRY_SUGAR_BRIX, WATER_BRIX, addition_g
from balancer.engine.prep.correct import first_addition_g, full_addition
from balancer.engine.prep.readings import accuracy_of, uncertainty_of
from balancer.engine.prep.tub import ESTIMATED_PERCENT, UNSTIRRED_BRIX
from balancer.measured import Measured
from balancer.models.house import Instrument

SEED: Final = 20261125
BATCHES: Final = 10_000
TARGET_BRIX: Final = 50.0
TRUE_SPREAD_BRIX: Final = 3.0  # what kitchens make of a 1:1, common practice
MASSES_G: Final = (800.0, 6000.0)
CORRECTED_BEYOND_BRIX: Final = 1.0  # the demo house's batch tolerance
NEAR_BRIX: Final = 0.5
TRADE_BRIX: Final = (1.0, 2.0)  # "within a degree or two": common practice when adding by taste or all at once

Read = Callable[[float], float]


class Case(NamedTuple):
    """An instrument and how the first sample was taken, and the bounds that it must keep, in %."""

    name: str
    instrument: Instrument
    unstirred_brix: float
    most_past: float
    least_near: float | None


class Outcome(NamedTuple):
    """One batch: errors in °Bx once all is done, and whether an addition went past the target."""

    single_error: float
    single_past: bool
    first_past: bool
    waits: bool
    staged_error: float


CASES: Final = (
    Case("±0.2 °Bx, read to 0.1", Instrument(division=0.1, accuracy=0.2), UNSTIRRED_BRIX, 5.0, 95.0),
    Case("±0.5 °Bx, read to 0.5", Instrument(division=0.5, accuracy=0.5), UNSTIRRED_BRIX, 5.0, None),
    Case("±0.5 °Bx, stirred before", Instrument(division=0.5, accuracy=0.5), 0.0, 5.0, None),
)


def reader(instrument: Instrument, chance: random.Random) -> Read:
    """One instrument: off by the same amount all day, within what its maker states, and read to a division."""
    off = chance.uniform(-accuracy_of(instrument), accuracy_of(instrument))
    return lambda brix: instrument.division * round((brix + off) / instrument.division)


def additive(brix: float) -> float:
    return WATER_BRIX if brix > TARGET_BRIX else DRY_SUGAR_BRIX


def mixed(mass_g: float, brix: float, added_g: float, added_brix: float) -> float:
    return (mass_g * brix + added_g * added_brix) / (mass_g + added_g)


def went_past(before: float, after: float, added_brix: float) -> bool:
    """Whether something was added and the strength is now on the additive's side of the target."""
    return after != before and (after - TARGET_BRIX) * (added_brix - TARGET_BRIX) > 0.0


def simulate(case: Case, chance: random.Random) -> Outcome | None:
    """One batch; None when its first reading would let it pass."""
    true_brix = chance.gauss(TARGET_BRIX, TRUE_SPREAD_BRIX)
    true_g = chance.uniform(*MASSES_G)
    judged_g = true_g * (1.0 + chance.gauss(0.0, ESTIMATED_PERCENT / 100.0))
    read = reader(case.instrument, chance)
    shown = read(true_brix + chance.gauss(0.0, case.unstirred_brix))
    if abs(shown - TARGET_BRIX) <= CORRECTED_BEYOND_BRIX:
        return None
    with_brix = additive(shown)
    unsure = hypot(uncertainty_of(case.instrument), case.unstirred_brix)
    mass = Measured(judged_g, {"mass": ESTIMATED_PERCENT / 100.0 * judged_g})
    full = full_addition(mass, Measured(shown, {"brix": unsure}), TARGET_BRIX, with_brix)

    at_once = mixed(true_g, true_brix, full.value, with_brix)
    first_g = first_addition_g(full)
    after_first = mixed(true_g, true_brix, first_g, with_brix)

    again = read(after_first)
    rest_g = addition_g(judged_g + first_g, again, TARGET_BRIX, additive(again)) or 0.0
    end = mixed(true_g + first_g, after_first, rest_g, additive(again))
    return Outcome(
        single_error=at_once - TARGET_BRIX,
        single_past=went_past(true_brix, at_once, with_brix),
        first_past=went_past(true_brix, after_first, with_brix),
        waits=first_g == 0.0,
        staged_error=end - TARGET_BRIX,
    )


def outcomes(case: Case) -> list[Outcome]:
    chance = random.Random(SEED)  # noqa: S311 - a simulation that repeats, not a secret
    found: list[Outcome] = []
    while len(found) < BATCHES:
        outcome = simulate(case, chance)
        if outcome is not None:
            found.append(outcome)
    return found


def percent(flags: Sequence[bool]) -> float:
    return 100.0 * sum(flags) / len(flags)


def within(errors: Sequence[float], brix: float) -> float:
    return percent([abs(error) <= brix for error in errors])


def missed(case: Case) -> list[str]:
    """Print what one case comes to. Returns the bounds it misses."""
    found = outcomes(case)
    single, staged = [one.single_error for one in found], [one.staged_error for one in found]
    past = percent([one.first_past for one in found])
    past_of_added = percent([one.first_past for one in found if not one.waits])
    rows = [
        ("went past the target (first addition)", percent([one.single_past for one in found]), past),
        ("  of those that were added to", percent([one.single_past for one in found]), past_of_added),
        ("read again before adding any", 0.0, percent([one.waits for one in found])),
        *(
            (f"ends within ±{brix:g} °Bx", within(single, brix), within(staged, brix))
            for brix in (NEAR_BRIX, *TRADE_BRIX)
        ),
    ]
    print(f"\n{case.name}; the first sample ±{case.unstirred_brix:g} °Bx (one standard deviation)")
    print(f"  {'':38}{'all at once':>12}{'staged':>12}")
    for label, once, in_stages in rows:
        print(f"  {label:38}{once:11.2f}%{in_stages:11.2f}%")
    print(f"  {'worst, °Bx':38}{max(map(abs, single)):12.2f}{max(map(abs, staged)):12.2f}")
    degree, two = TRADE_BRIX
    near = within(staged, NEAR_BRIX)
    bounds = [
        (past < case.most_past, f"first additions past the target: under {case.most_past:g} %"),
        (near > within(single, NEAR_BRIX), f"more within ±{NEAR_BRIX:g} °Bx than all at once"),
        (within(staged, degree) > 99.0, f"better than a degree or two: over 99 % within {degree:g}"),
        (within(staged, two) == 100.0, f"better than a degree or two: all within {two:g}"),
    ]
    if case.least_near is not None:
        said = f"within ±{NEAR_BRIX:g} °Bx after one more reading: over {case.least_near:g} %"
        bounds.append((near > case.least_near, said))
    for kept, said in bounds:
        print(f"  {'kept  ' if kept else 'MISSED'} {said}")
    return [said for kept, said in bounds if not kept]


def main() -> int:
    print(
        f"{BATCHES:,} batches for each instrument, seed {SEED}; target {TARGET_BRIX:g} °Bx, made with a standard\n"
        f"deviation of {TRUE_SPREAD_BRIX:g}, {MASSES_G[0]:g} to {MASSES_G[1]:g} g, mass judged with one of "
        f"{ESTIMATED_PERCENT:g} %; corrected when the\nreading is more than {CORRECTED_BEYOND_BRIX:g} °Bx off"
    )
    return 1 if [bound for case in CASES for bound in missed(case)] else 0


if __name__ == "__main__":
    sys.exit(main())
