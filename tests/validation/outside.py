"""What others published, by the task that uses it: how many values, and how far the tool is from them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from functools import cache
from statistics import median
from typing import Final, NamedTuple

from balancer.components import COMPONENTS, INDEX, STANDARD_DRINK_G, composition, energy_kcal, energy_kj
from balancer.engine.prep.chart import RANGE_LIMIT, RANGE_OF_TWO, individuals
from tests.deviations import by_label
from tests.engine.test_published_drinks import KINDS, SHAKEN, STIRRED, made
from tests.engine.test_worked_examples import ANSWERS, ROWS, pairs
from tests.reference import MEMORY, QUANTITIES, Row, read_rows
from tests.reference.facts import facts
from tests.test_pantry import cited_sugar, number, total


class Task(NamedTuple):
    """What a bar asks, the tables of tests/reference that its formulas rest on, and the worked examples of it."""

    name: str
    tables: tuple[str, ...]
    examples: tuple[str, ...] = ()


class Line(NamedTuple):
    """One source of one thing. Figures are text, because every table has its own unit.

    printed  what one of the last digit is; empty where the print is what was put in
    exact    how many agree to half of the last printed digit; None where the print is what was put in
    again    the same prints as in another table, met from the other side
    recalled of how many the print was not seen
    path     of the values, from the root of the checkout
    """

    what: str
    source: str
    values: int
    largest: str
    typical: str
    printed: str
    exact: int | None
    recalled: int
    path: str
    again: bool = False


def _examples(*ranges: tuple[int, int]) -> tuple[str, ...]:
    return tuple(
        f"WE-{place:02}" for low, high in ranges for place in range(low, high + 1) if f"WE-{place:02}" in ANSWERS
    )


_SOLUTES: Final = ("sucrose", "glucose", "fructose", "maltose", "lactose", "ethanol", "citric_acid", "lactic_acid")
TASKS: Final = (
    Task(
        "Measure: what a refractometer says",
        (
            "sucrose_refractive_index",
            "sucrose_brix_from_refractive_index",
            "refractometer_temperature_correction",
            "refractometer_citric_correction",
            "refractometer_citric_reading",
            "refractometer_invert_solids",
            "refractometer_honey_solids",
            "refractometer_glucose_syrup",
        ),
        _examples((42, 46), (68, 68)),
    ),
    Task(
        "Grams and millilitres of a syrup: pours, diluted samples, hydrometers",
        ("sucrose_density", "sucrose_brix_from_density"),
        _examples((3, 7), (12, 14), (34, 40)),
    ),
    Task("Correct a batch up or down", (), _examples((23, 28), (70, 70))),
    Task("Make: what a recipe gives", (), _examples((1, 2), (8, 10), (15, 22), (29, 33), (69, 69))),
    Task(
        "Keeping and pouring: crystals, water activity, thickness",
        ("sucrose_solubility", "sucrose_solubility_per_100_g_water", "sucrose_water_activity", "sucrose_viscosity"),
        _examples((67, 67)),
    ),
    Task(
        "ABV",
        (
            "ethanol_density",
            "ethanol_density_old_ml",
            "ethanol_density_by_abv",
            "ethanol_mass_percent",
            "ethanol_abv_percent",
            "ethanol_abv_percent_60f",
            "ethanol_specific_gravity_in_air",
            "ethanol_contraction_60f",
        ),
    ),
    Task(
        "Volume of a drink",
        (
            *(f"mixture_density_{solute}" for solute in _SOLUTES),
            "mixture_contraction",
            "mixture_water_for_volume",
            "mixture_hidden_proof",
        ),
        _examples((59, 59), (64, 64)),
    ),
    Task("Dilution by method, and a bottled drink", ("dilution_shaken", "dilution_stirred"), _examples((61, 63))),
    Task(
        "Dilution by heat, and freezing",
        (
            "enthalpy_heat_capacity",
            "enthalpy_of_water",
            "enthalpy_of_ice",
            "enthalpy_of_melting",
            "enthalpy_of_mixing",
            "ethanol_freezing_point",
            "sucrose_freezing_point_depression",
            "freezing_glucose",
            "freezing_fructose",
            "freezing_citric_acid",
        ),
    ),
    Task("Ounces, spoons and scales", (), _examples((47, 47), (54, 58))),
)

NAMES: Final = {
    "ethanol_abv_percent_60f": "% vol from % mass, at 60 °F",
    "ethanol_density_old_ml": "ethanol density, per old ml",
    "refractometer_honey_solids": "solids of honey by its index",
    "refractometer_invert_solids": "solids of invert sugar by its index",
    "refractometer_glucose_syrup": "solids of glucose syrup: not corrected",
    "mixture_density_lactic_acid": "mixture density lactic acid",
    "refractometer_citric_reading": "index of citric acid in water",
    "mixture_hidden_proof": "proof that 0.1 g of sugar hides",
    "mixture_contraction": "what 50 ml and 50 ml make",
    "ethanol_contraction_60f": "what 100 ml and 81.8 ml make",
}


BACKWARDS: Final = (
    "sucrose_brix_from_density",
    "sucrose_brix_from_refractive_index",
    "refractometer_invert_solids",
    "mixture_water_for_volume",
)
"""Tables whose printed values are what is put in: what comes out is a round strength or mass."""

AGAIN: Final = (
    "sucrose_brix_from_density",
    "sucrose_brix_from_refractive_index",
    "sucrose_solubility_per_100_g_water",
    "mixture_density_sucrose",
    "mixture_density_ethanol",
    "mixture_water_for_volume",
    "ethanol_abv_percent",
)
"""Tables of prints that another table has already."""


@cache
def published() -> tuple[Row, ...]:
    """Every printed value, read once."""
    return tuple(read_rows())


def checked(stem: str) -> dict[str, list[Row]]:
    """The asserted rows of a table by source, those whose print was not seen apart; what is only shown if none is."""
    table = [row for row in published() if row.stem == stem]
    rows = [row for row in table if row.use == "check"] or table
    return dict(sorted(by_label(rows).items()))


def of_tables(task: Task) -> Iterator[Line]:
    """A line for every table and source of a task."""
    for stem in task.tables:
        unit = QUANTITIES[stem].unit.removesuffix(" (old)")
        for label, rows in checked(stem).items():
            off = [row.deviation() for row in rows]
            worst = max(rows, key=lambda row: abs(row.deviation()))
            near = sum(abs(each) <= row.half_digit * (1.0 + 1e-9) for each, row in zip(off, rows, strict=True))
            backwards = stem in BACKWARDS
            yield Line(
                NAMES.get(stem, stem.replace("_", " ")),
                f"[{label.partition(',')[0]}]",
                len(rows),
                f"{signed(worst.deviation())} {unit}".strip() + f" at {_where(worst)}",
                plain(median(map(abs, off))),
                "" if backwards else _printed([row.expected for row in rows]),
                None if backwards else near,
                len(rows) if MEMORY in label else 0,
                f"tests/reference/{stem}.csv",
                stem in AGAIN,
            )


class Example(NamedTuple):
    """One figure of a worked example: ours, theirs, how near it has to be, and what stands behind it."""

    identity: str
    name: str
    ours: float
    theirs: float
    tolerance: float
    by_hand: bool
    recalled: bool


def examples(task: Task) -> list[Example]:
    """Every figure of the worked examples of a task."""
    found = []
    for identity in task.examples:
        row = ROWS[identity]
        answer, tolerance = ANSWERS[identity](pairs(row["inputs"])), pairs(row["tolerance"])
        for name, value in pairs(row["expected"]).items():
            found.append(
                Example(
                    identity,
                    name,
                    answer[name],
                    float(value),
                    float(tolerance[name]),
                    row["provenance"] == "derived",
                    MEMORY in " ".join(row.values()),
                )
            )
    return found


def of_examples(task: Task) -> Iterator[Line]:
    """A line for the published examples of a task, and one for those worked by hand from published densities."""
    every = examples(task)
    for by_hand in (False, True):
        some = [one for one in every if one.by_hand is by_hand]
        if not some:
            continue
        relative = [100.0 * (one.ours / one.theirs - 1.0) for one in some]
        worst, at = max(zip(relative, some, strict=True), key=lambda pair: abs(pair[0]))
        yield Line(
            "worked by hand from printed densities" if by_hand else "worked examples, published",
            "by hand" if by_hand else "each its own",
            len(some),
            f"{signed(worst)} % at {at.identity}, {at.name.replace('_', ' ')} {at.theirs:g}"
            if abs(worst) > 1e-9
            else "none",
            plain(median(map(abs, relative))),
            _printed([Decimal(str(one.theirs)) for one in some]),
            sum(abs(one.ours - one.theirs) <= _half(one.theirs) for one in some),
            sum(one.recalled for one in some),
            "tests/reference/facts/worked_examples.csv",
        )


def of_facts() -> Iterator[Line]:
    """Constants and small tables that the tool takes over or works out: energy, acids, charts, ingredients, drinks."""
    per_gram = []
    for row in facts("energy_factors"):
        gram = composition({{"sugar": "sucrose", "ethanol": "ethanol", "acid": "citric"}[row["kinds"].split()[0]]: 1.0})
        per_gram += [(energy_kj(gram), row["kj_per_g"], row["nutrient"]), (energy_kcal(gram), row["kcal_per_g"], "")]
    yield _constants("energy of a gram, kJ and kcal", "Regulation (EU) No 1169/2011", per_gram, "energy_factors")
    yield _constants(
        "a standard drink, g",
        "seven bodies",
        [(STANDARD_DRINK_G[row["key"]], row["ethanol_g"], row["key"]) for row in facts("standard_drinks")],  # type: ignore[index]
        "standard_drinks",
    )
    rows = [row for row in facts("acids") if row["g_per_g_citric"]]
    yield _constants(
        "a gram of citric in other acids, g",
        "molar masses",
        [(1.0 / COMPONENTS[INDEX[row["acid"]]].as_citric, row["g_per_g_citric"], row["acid"]) for row in rows],
        "acids",
    )
    chart = {row["name"]: row["expected"] for row in facts("individuals_chart")}
    lines = individuals([float(value) for name, value in chart.items() if name.startswith("flowrate")])
    ours = {"centre": lines.centre, "mean range": lines.mean_range, "upper": lines.upper, "lower": lines.lower,
            "d2": RANGE_OF_TWO, "D4": RANGE_LIMIT}  # fmt: skip
    yield _constants(
        "chart limits, constants",
        "e-Handbook, MNL 7A",
        [(value, chart[name], name) for name, value in ours.items()],
        "individuals_chart",
        recalled=True,
    )
    cited = [
        (number(item.keys["sugar"], "g/kg"), f"{10.0 * total(item).value:.1f}", item.name) for item in cited_sugar()
    ]
    yield _constants("sugar of the pantry, g/kg", "USDA SR28", cited, "", path="tests/test_pantry.py")


def of_drinks() -> Line:
    """Usual drinks inside the published structure of their family; what is outside counts as a deviation, in %."""
    outside, places = [], []
    for kind, family in ((KINDS[0], STIRRED), (KINDS[3], SHAKEN), (KINDS[5], SHAKEN)):
        result = made(kind)
        mix, served = result.mix, result.served
        assert served is not None
        values = (
            mix.volume_ml,
            mix.abv_percent,
            100.0 * mix.sugar_g / mix.volume_ml,
            100.0 * mix.acid_g / mix.volume_ml,
            result.dilution.percent_of_mix or 0.0,
            served.abv_percent,
            result.sugar_g_per_100ml or 0.0,
            result.acid_g_per_100ml or 0.0,
        )
        for name, (low, high), value in zip(family._fields, family, values, strict=True):
            near = min(max(value, low), high)
            outside.append(100.0 * (value / near - 1.0))
            places.append(f"{kind.name}, {name.replace('_', ' ')}")
    worst, at = max(zip(outside, places, strict=True), key=lambda pair: abs(pair[0]))
    return Line(
        "usual drinks in printed ranges",
        "[ARNOLD]",
        len(outside),
        f"{signed(worst)} % at {at}",
        plain(median(map(abs, outside))),
        "ranges",
        sum(not each for each in outside),
        0,
        "tests/engine/test_published_drinks.py",
    )


def _constants(
    what: str,
    source: str,
    found: Sequence[tuple[float, str, str]],
    table: str,
    *,
    recalled: bool = False,
    path: str = "",
) -> Line:
    """Ours, the printed text and its name."""
    off = [ours - float(text) for ours, text, _ in found]
    worst, at = max(zip(off, found, strict=True), key=lambda pair: abs(pair[0]))
    halves = [0.5 * 10.0 ** int(Decimal(text).as_tuple().exponent) for _, text, _ in found]
    same = sum(abs(each) <= half * (1.0 + 1e-9) for each, half in zip(off, halves, strict=True))
    return Line(
        what,
        source,
        len(found),
        f"{signed(worst)} at {at[2]}" if abs(worst) > 1e-12 else "none",
        plain(median(map(abs, off))),
        _printed([Decimal(text) for _, text, _ in found]),
        same,
        len(found) if recalled else 0,
        path or f"tests/reference/facts/{table}.csv",
    )


def signed(value: float) -> str:
    """Two digits, with a true minus."""
    return ("−" if value < 0.0 else "+") + plain(abs(value))


def plain(value: float) -> str:
    """Two digits, without a sign and never as a power of ten; what is only the rounding of a float is nothing."""
    return "0" if value < 1e-9 else f"{value:.0f}" if value >= 10.0 else f"{Decimal(f'{value:.2g}'):f}"


def _half(value: float) -> float:
    return 0.5 * 10.0 ** int(Decimal(str(value)).as_tuple().exponent) * (1.0 + 1e-9)


def _where(row: Row) -> str:
    units = {
        "brix": "°Bx", "reading_brix": "°Bx", "temperature_c": "°C", "abv_percent": "% vol", "mass_percent": "% mass",
        "acid_percent": "% acid", "mole_percent": "mol %", "water_g": "g water", "ethanol_g": "g ethanol",
        "sugar_g": "g sugar", "acid_g": "g acid",
    }  # fmt: skip
    given = [(name, value) for name, value in row.inputs.items() if value or not name.endswith("_g")]
    return ", ".join(f"{value:g} {units.get(name, '')}".strip() for name, value in given).replace("-", "−")


def _printed(values: Iterable[Decimal]) -> str:
    """What one of the last printed digit is, over a table."""
    digits = sorted({int(value.as_tuple().exponent) for value in values})
    low, high = (f"{10.0**digit:.{max(0, -digit)}f}" for digit in (digits[0], digits[-1]))
    return low if low == high else f"{low} to {high}"
