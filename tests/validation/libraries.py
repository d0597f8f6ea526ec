"""Second opinions: what general-purpose libraries give for the same question, as largest and typical difference."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from random import Random
from statistics import median
from typing import Any, Final, NamedTuple

from balancer.engine.drink.totals import contribute
from balancer.engine.swaps.adjust import _resized
from balancer.engine.swaps.adjust_goals import goals_of, target_ml
from balancer.engine.swaps.adjust_search import _HELD_SHARE as HELD_SHARE
from balancer.engine.swaps.adjust_search import AdjustSearch
from balancer.engine.swaps.moved import glass_of
from balancer.errors import BalancerError
from balancer.measured import Measured, propagate
from balancer.models.drink import Drink
from balancer.numerics import find_root, settle
from balancer.properties import enthalpy, ethanol, mixture, sucrose
from tests.engine.swaps.test_adjust import HOUSE, asked_for
from tests.validation.draws import SEED
from tests.validation.trials import random_spec

ATMOSPHERE_PA: Final = 101325.0
KELVIN: Final = 273.15
EXACT: Final = 400
MOST_ML: Final = 2000.0

Pair = tuple[str, float, float]
"""Where, ours, theirs."""


class Opinion(NamedTuple):
    """One question to one library. decimals: of the figures on the page."""

    key: str
    what: str
    unit: str
    library: str
    pairs: Callable[[], Iterable[Pair]]


class Apart(NamedTuple):
    """How far ours and theirs are apart, ours minus theirs: the largest with its place, and the median size."""

    points: int
    largest: float
    at: str
    typical: float


def apart(opinion: Opinion) -> Apart:
    """All points of one question."""
    found = [(ours - theirs, at) for at, ours, theirs in opinion.pairs()]
    largest, at = max(found, key=lambda one: abs(one[0]))
    return Apart(len(found), largest, at, median(abs(difference) for difference, _ in found))


def _of_fluid(output: str, fluid: str, temperature_c: float) -> float:
    from CoolProp.CoolProp import PropsSI  # noqa: PLC0415 - importing it takes seconds

    return float(PropsSI(output, "T", KELVIN + temperature_c, "P", ATMOSPHERE_PA, fluid))


def _liquid_c(temperature_c: float) -> float:
    """At 0 °C sharp the library has ice."""
    return max(temperature_c, 0.01)


def _water_density(ours: Callable[[float], float], most_c: int) -> Callable[[], Iterable[Pair]]:
    def pairs() -> Iterable[Pair]:
        for temperature in range(most_c + 1):
            yield f"{temperature} °C", ours(temperature), _of_fluid("D", "Water", _liquid_c(temperature))

    return pairs


def _water_viscosity() -> Iterable[Pair]:
    for temperature in range(10, 61):
        theirs = 1000.0 * _of_fluid("V", "Water", temperature)
        yield f"{temperature} °C", 100.0 * sucrose.viscosity(0.0, temperature) / theirs, 100.0


def _spirit_density() -> Iterable[Pair]:
    for percent in (11, 15, 20, 25, 30, 35, 40, 50, 60):
        for temperature in range(0, 41, 5):
            theirs = _of_fluid("D", f"INCOMP::MEA[{percent / 100.0}]", temperature)
            yield f"{percent} %, {temperature} °C", ethanol.density(percent / 100.0, temperature), theirs


def _spirit_freezing() -> Iterable[Pair]:
    for percent in range(11, 31):
        theirs = _of_fluid("T_FREEZE", f"INCOMP::MEA[{percent / 100.0}]", 20.0) - KELVIN
        yield f"{percent} %", ethanol.freezing_point(percent / 100.0), theirs


def _spirit_heat() -> Iterable[Pair]:
    for percent in (11, 15, 20, 25, 30, 35, 40, 45):
        fluid = f"INCOMP::MEA[{percent / 100.0}]"
        for temperature in range(-12, 31, 3):
            if KELVIN + temperature > _of_fluid("T_FREEZE", fluid, 20.0):
                theirs = _of_fluid("C", fluid, temperature) / 1000.0
                yield f"{percent} %, {temperature} °C", enthalpy.heat_capacity(percent / 100.0, temperature), theirs


def _water_heat() -> Iterable[Pair]:
    base = _of_fluid("H", "Water", 25.0)
    for temperature in range(31):
        theirs = (_of_fluid("H", "Water", _liquid_c(temperature)) - base) / 1000.0
        yield f"{temperature} °C", enthalpy.liquid_enthalpy(0.0, temperature), theirs


def _ice_heat() -> Iterable[Pair]:
    from CoolProp.HumidAirProp import HAProps_Aux  # noqa: PLC0415

    base = _of_fluid("H", "Water", 25.0)
    for temperature in range(-30, 1):
        ice, _ = HAProps_Aux("h_Ice", KELVIN + temperature, ATMOSPHERE_PA, 0.001)
        yield f"{temperature} °C", enthalpy.ice_enthalpy(temperature), (ice - base) / 1000.0


def _roots() -> Iterable[Pair]:
    """Every inverse of a formula, by Brent's method of scipy on the formula itself."""
    from scipy.optimize import brentq  # noqa: PLC0415

    asked: Sequence[tuple[str, Callable[[float], float], Callable[[float], float], float, float]] = (
        ("brix_from_density", sucrose.brix_from_density, sucrose.density, 0.0, 85.0),
        ("brix_from_refractive_index", sucrose.brix_from_refractive_index, sucrose.refractive_index, 0.0, 85.0),
        ("mass_fraction", ethanol.mass_fraction, ethanol.abv_percent, 0.0, 1.0),
        (
            "water_for_volume",
            lambda ml: mixture.water_for_volume(ml, 24.0, 12.0, 1.2),
            lambda g: mixture.volume_ml(g, 24.0, 12.0, 1.2),
            5.0,
            200.0,
        ),
    )
    for name, inverse, forward, low, high in asked:
        for part in range(1, 100):
            value = forward(low + (high - low) * part / 100.0)
            theirs = brentq(lambda x, f=forward, y=value: f(x) - y, low, high, xtol=1e-13)
            yield f"{name} of {value:.5g}", inverse(value), float(theirs)


def _hard_roots() -> Iterable[Pair]:
    """Made-up functions that are flat, steep or bent, none of them the tool's own."""
    from scipy.optimize import brentq  # noqa: PLC0415

    chance = Random(f"{SEED} roots")  # noqa: S311 - the same problems at every run
    shapes: Sequence[Callable[[float], float]] = (
        lambda x: x**3,
        lambda x: math.expm1(4.0 * x),
        lambda x: math.atan(30.0 * x),
        lambda x: x + 0.3 * math.sin(3.0 * x),
    )
    for number in range(1000):
        shape, at = shapes[number % len(shapes)], chance.uniform(-0.9, 0.9)

        def f(x: float, shape: Callable[[float], float] = shape, level: float = shape(at)) -> float:
            return shape(x) - level

        yield f"problem {number}", find_root(f, -1.0, 1.0), float(brentq(f, -1.0, 1.0, xtol=1e-14))


def _floors() -> Iterable[Pair]:
    """Least squares above a floor, as the exact pours of an adjusted drink: the sums of squares of both answers."""
    from scipy.optimize import lsq_linear  # noqa: PLC0415

    chance = Random(f"{SEED} floors")  # noqa: S311 - the same problems at every run
    for number in range(500):
        count = chance.randint(1, 6)
        rows = [[chance.uniform(-4.0, 4.0) for _ in range(count)] for _ in range(count + 2)]
        for place in range(count):
            rows[place][place] += 9.0  # well posed, so that the answer is one
        target = [chance.uniform(-4.0, 4.0) for _ in rows]
        floor = [chance.uniform(-4.0, 4.0) for _ in range(count)]

        def residuals(
            x: Sequence[float], rows: Sequence[Sequence[float]] = rows, target: Sequence[float] = target
        ) -> list[float]:
            return [sum(a * b for a, b in zip(row, x, strict=True)) - y for row, y in zip(rows, target, strict=True)]

        found = settle(residuals, [low + 1.0 for low in floor], [1.0] * count, floor)
        other = lsq_linear(rows, target, (floor, [math.inf] * count), tol=1e-12)
        yield f"problem {number}", sum(miss * miss for miss in residuals(found)), 2.0 * float(other.cost)


WISHES: Final = {"sugar": (-60, 100), "acid": (-60, 100), "abv": (4, 30), "volume": (50, 200)}
"""What is asked of an adjusted drink: changes in %, % vol, and % of the volume; often more than can be had."""


def _exact_pours() -> Iterable[Pair]:
    """The exact pours of adjusted drinks, whether all that is asked can be had or not: the sums of squares of both."""
    import numpy as np  # noqa: PLC0415
    from scipy.optimize import least_squares  # noqa: PLC0415

    chance, number = Random(f"{SEED} exact"), 0  # noqa: S311 - the same problems at every run
    while number < EXACT:
        spec = random_spec(chance)
        drawn = {name: float(chance.randint(*limits)) for name, limits in WISHES.items()}
        drawn["volume"] /= 100.0
        wish = {name: value for name, value in drawn.items() if chance.random() < 0.6}
        try:
            search = _adjusting(spec, wish)
            tolerance = HOUSE.specs.house.tolerance
            together = not search.missed(search._settled(1.0), tolerance)
            exact = search.solve(tolerance)
        except BalancerError:
            continue
        number += 1
        shares = np.array([1.0 if goal.asked or together else HELD_SHARE for goal in search.goals])
        free = [place for place, slot in enumerate(search.slots) if not slot.frozen]
        low = [search.slots[place].least for place in free]
        high = [min(search.slots[place].most, MOST_ML) for place in free]

        def misses(
            x: Any,
            /,
            search: AdjustSearch = search,
            exact: Sequence[float] = exact,
            free: Sequence[int] = free,
            shares: Any = shares,
        ) -> Any:
            amounts = list(exact)
            for place, amount in zip(free, x, strict=True):
                amounts[place] = float(amount)
            return shares * np.array(search.changes(amounts))

        ours = [exact[place] for place in free]
        starts = [
            ours,
            [search.slots[place].written for place in free],
            [chance.uniform(a, min(b, 200.0)) for a, b in zip(low, high, strict=True)],
        ]
        theirs = math.inf
        for start in starts:
            inside = [min(max(x, a + 1e-9), b - 1e-9) for x, a, b in zip(start, low, high, strict=True)]
            found = least_squares(misses, inside, bounds=(low, high), xtol=1e-14, ftol=1e-14, gtol=1e-14)
            theirs = min(theirs, 2.0 * float(found.cost))
        yield f"problem {number}", float(np.sum(misses(ours) ** 2)), theirs


def _adjusting(spec: Drink, wish: dict[str, float]) -> AdjustSearch:
    """What `adjust` sets up for a drink and a wish."""
    asked = asked_for(spec, wish)
    designed = contribute(HOUSE, spec, {}, {})
    old = glass_of(spec, designed)
    volume_ml = target_ml(HOUSE, spec, asked, old)
    ratio = volume_ml / old.as_drunk.volume_ml if volume_ml else 1.0
    goals = goals_of(HOUSE, asked, old, designed, volume_ml)
    return AdjustSearch(HOUSE, _resized(spec, ratio), asked, designed, goals, ratio)


def _slopes() -> Iterable[Pair]:
    """What an uncertainty becomes, by the derivative of scipy: in % of it."""
    import numpy as np  # noqa: PLC0415
    from scipy.differentiate import derivative  # noqa: PLC0415

    def f(x: float) -> float:
        return float(np.exp(-x) / x)

    for part in range(1, 101):
        x, u = 0.5 + part / 20.0, 0.01
        theirs = abs(float(derivative(np.vectorize(f), x, initial_step=0.1).df)) * u
        yield f"x = {x:g}", 100.0 * propagate(f, {"x": Measured(x, {"x": u})}).uncertainty / theirs, 100.0


OPINIONS: Final = (
    Opinion(
        "water density",
        "density of water, 0 to 80 °C, as in `sucrose.density`",
        "kg/m³",
        "CoolProp, IAPWS-95",
        _water_density(lambda t: sucrose.density(0.0, t), 80),
    ),
    Opinion(
        "water density 2",
        "the same, 0 to 40 °C, as in `ethanol.density`",
        "kg/m³",
        "CoolProp, IAPWS-95",
        _water_density(lambda t: ethanol.density(0.0, t), 40),
    ),
    Opinion("water viscosity", "viscosity of water, 10 to 60 °C", "%", "CoolProp, IAPWS", _water_viscosity),
    Opinion(
        "spirit density",
        "density of ethanol and water, 11 to 60 %, 0 to 40 °C",
        "kg/m³",
        "CoolProp, Melinder",
        _spirit_density,
    ),
    Opinion(
        "spirit freezing",
        "freezing point of ethanol and water, 11 to 30 %",
        "K",
        "CoolProp, Melinder",
        _spirit_freezing,
    ),
    Opinion(
        "spirit heat",
        "its heat capacity, 11 to 45 %, −12 to 30 °C",
        "J/(g K)",
        "CoolProp, Melinder",
        _spirit_heat,
    ),
    Opinion("water heat", "heat of water, 0 to 30 °C, above that at 25 °C", "J/g", "CoolProp, IAPWS-95", _water_heat),
    Opinion("ice heat", "heat of ice, −30 to 0 °C, above water at 25 °C", "J/g", "CoolProp, IAPWS-06", _ice_heat),
    Opinion("roots", "every inverse of a formula", "own unit", "scipy `brentq`", _roots),
    Opinion("hard roots", "roots of flat, steep and bent functions", "1", "scipy `brentq`", _hard_roots),
    Opinion(
        "floors",
        "least squares above a floor, as in `adjust`",
        "sum",
        "scipy `lsq_linear`",
        _floors,
    ),
    Opinion(
        "exact", "exact pours of `adjust`, all of it to be had or not", "sum", "scipy `least_squares`", _exact_pours
    ),
    Opinion("slopes", "what an uncertainty becomes", "%", "scipy `derivative`", _slopes),
)
