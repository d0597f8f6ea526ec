"""How far the energy balance is from published relations and measured drinks: docs/reference/dilution.md.

`python tests/dilution_page.py` prints the page, `--write` renews it. The drinks are worked out from what is
published about them; what the balance gives stands beside what was measured.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import NamedTuple

if not __package__:  # run as a script: make the project importable
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from balancer.components import Composition, composition
from balancer.engine.drink.dilution import Dilution, by_energy
from balancer.engine.drink.energy import Chilling, Melt, melt
from balancer.models.chill import Chill
from balancer.properties import dilution, mixture
from balancer.properties.ethanol import ETHANOL_KG_M3
from balancer.properties.sucrose import WATER_KG_M3

PAGE = Path(__file__).resolve().parents[1] / "docs" / "reference" / "dilution.md"
STRENGTHS = (0.0, 5.0, 10.0, 15.0, *(float(abv) for abv in range(18, 34, 3)), 35.0, 40.0, 45.0)
AMOUNTS_G = (120.0, 150.0, 200.0, 250.0)
JUDGED = 4.0
BOOK_ML, BOOK_SUGAR, BOOK_ACID = 105.0, 10.5, 1.3
"""Middle of the book's shaken drinks before ice: ml, and g in 100 ml."""


HEAD = """\
# Dilution: what it stands on

Dilution is melt water in percent of the mix, by volume.

A drink's water comes from the first of these that says anything: its own `dilution`; `weighed` before and
after; ice among its pours (an ingredient with `melts: true`), all of which melts; `chill`, the energy balance;
the published relation of its method, shaken or stirred. Weighing one strained drink beats any model.

## The energy balance

`chill: {ice: 120 g, ice temperature: 0 °C, start: 22 °C, vessel: 64 J/K, stop: -2 °C}` in a drink, or without
`stop` in house.yaml for every shaken drink. Drink, ice and vessel hold as much heat after chilling as before.
Shaking ends at the freezing point of the drink; stirring and large ice at the `stop` that is given. The vessel
constant, 64 J/K, also stands for the room, the hands and ice that does not follow: it is the one number fitted
to the published relation, a calibration and no property of a tin. Judged error: shaken ±4 points of mix at 15 to
35 % vol, ±6 beyond, ±1 K; strained at a temperature ±7 points.
"""
TAIL = """\
## Without data

- Blended drinks: no measurement was found (one remembered figure, 90 % of mix, could not be confirmed). The ice is
  weighed and poured like anything else, and all of it melts.
- Below 15 % vol and without alcohol: no measurement of a shaken drink was found. The relation gives 20 % of mix at
  0 % vol, the balance 32 %; the balance rests on heat alone and is taken where a house states its ice.
- Swizzled, thrown, built over ice and crushed ice: no relation. State it, weigh it, or give the `stop`.
- Freezer ice: no weighed drink. What it takes off is in the table above, by how much of it goes in; half of what the
  cold below −10 °C takes off is added to the ±. Water that clings to wet ice is not in it: 5 g on a 105 ml drink is
  5 points more.
"""


def mix(volume_ml: float, abv_percent: float, sugar_percent: float, acid_percent: float) -> Composition:
    """A mix of a volume, with sugar and acid in g per 100 ml."""
    ethanol_g = volume_ml * abv_percent / 100.0 * ETHANOL_KG_M3 / 1000.0
    sugar_g, acid_g = volume_ml * sugar_percent / 100.0, volume_ml * acid_percent / 100.0
    water_g = mixture.water_for_volume(volume_ml, ethanol_g, sugar_g, acid_g)
    return composition({"water": water_g, "ethanol": ethanol_g, "sucrose": sugar_g, "citric": acid_g})


def fraction(found: Melt, volume_ml: float) -> float:
    """Melt water over mix, by volume."""
    return found.water_g / WATER_KG_M3 * 1000.0 / volume_ml


def shaken(abv_percent: float) -> Melt:
    """The book's shaken drink by the balance: 120 g of ice at 0 °C, start at 22 °C."""
    return melt(mix(BOOK_ML, abv_percent, BOOK_SUGAR, BOOK_ACID), Chilling())


def stirred(abv_percent: float) -> Melt:
    """The book's stirred drink by the balance, strained at the temperature that was fitted to the relation."""
    return melt(mix(92.0, abv_percent, 6.0, 0.15), Chilling(stop_c=2.1 - 0.143 * abv_percent))


def colder(ice_g: float, ice_c: float) -> Dilution:
    """The book's shaken drink at 24 % vol with so much ice, so cold."""
    made = mix(BOOK_ML, 24.0, BOOK_SUGAR, BOOK_ACID)
    return by_energy("shaken", made, BOOK_ML, 24.0, Chill(ice=ice_g, **{"ice temperature": ice_c}))


class Measured(NamedTuple):
    """A measured drink. melt_g and final_c as published, None where not."""

    what: str
    mix: Composition
    chilling: Chilling
    melt_g: float | None
    final_c: float | None
    remark: str


MEASURED = (
    Measured(
        "vodka, 70 g of 40 % vol, shaken [VODKA-TEST]", mix(73.84, 40.0, 0.0, 0.0),
        Chilling(ice_g=175.0, start_c=22.8, stop_c=-1.7), 46.0, -1.7,
        "seven cubes of 25 g taken at 0 °C, strained at the -1.7 °C measured; contradicts itself: shown, not used",
    ),
    Measured(
        "daiquiri, one home test, 97.5 ml", mix(97.5, 24.6, 12.9, 1.06), Chilling(start_c=26.0), None, -6.0,
        "forum post of 2024; ice drained and tempered to 0 °C, its mass taken as 120 g",
    ),
    Measured(
        "a typical shaken drink [ARNOLD]", mix(BOOK_ML, 25.0, BOOK_SUGAR, BOOK_ACID), Chilling(), None, -7.0,
        "his statement of 2009 for ice at 0 °C; the drink taken from the middle of the book's ranges",
    ),
)  # fmt: skip


def _cold_ice() -> list[str]:
    """What colder ice takes off a shaken drink, by how much of it goes in."""
    lines = [
        "### Shaken, with colder ice",
        "",
        "The same drink at 24 % vol, by the balance alone: melt in % of mix, and in brackets how many points that is",
        "below ice at 0 °C, with the judged ± where it is wider than 4 points. The amount of ice decides how much its",
        "cold takes off, so a house that keeps its ice cold should state it; without an amount 120 g is taken, and",
        "what 250 g would give is told beside it.",
        "",
        f"| ice at | {' | '.join(f'{ice_g:.0f} g' for ice_g in AMOUNTS_G)} |",
        f"|---:|{'---:|' * len(AMOUNTS_G)}",
    ]
    for ice_c in (0.0, -5.0, -10.0, -18.0, -25.0):
        cells = []
        for ice_g in AMOUNTS_G:
            found, wet = (colder(ice_g, cold) for cold in (ice_c, 0.0))
            less = (wet.percent_of_mix or 0.0) - (found.percent_of_mix or 0.0)
            wide = found.plus_minus_percent or 0.0
            said = [f"−{less:.0f}"] if ice_c else []
            said += [f"±{wide:.0f}"] if wide > JUDGED else []
            cells.append(f"{found.percent_of_mix:.0f}" + (f" ({', '.join(said)})" if said else ""))
        lines.append(f"| {ice_c:g} °C | {' | '.join(cells)} |")
    return lines


def page() -> str:
    """docs/reference/dilution.md."""
    relation = dilution.RELATIONS["shaken"]
    lines = [
        HEAD,
        "### Shaken, against the published relation [ARNOLD]",
        "",
        "105 ml, 10.5 g sugar and 1.3 g acid in 100 ml; 120 g of ice at 0 °C, start at 22 °C. The relation is",
        f"judged sound at {relation.low_percent:g} to {relation.high_percent:g} % vol.",
        "",
        "| % vol before ice | relation, % of mix | balance, % of mix | balance − relation | balance, °C |",
        "|---:|---:|---:|---:|---:|",
    ]
    for abv in STRENGTHS:
        found = shaken(abv)
        ours, book = 100.0 * fraction(found, BOOK_ML), 100.0 * dilution.shaken(abv)
        lines.append(f"| {abv:g} | {book:.1f} | {ours:.1f} | {ours - book:+.1f} | {found.final_c:.1f} |")
    lines += ["", *_cold_ice()]
    lines += [
        "",
        "### Stirred, against the published relation [ARNOLD]",
        "",
        "92 ml, 6 g sugar and 0.15 g acid in 100 ml, strained at 2.1 − 0.143 × (% vol) °C: a line fitted to the",
        "relation, so this shows only that one plausible line of temperatures gives it.",
        "",
        "| % vol before ice | strained at, °C | relation, % of mix | balance, % of mix | balance − relation |",
        "|---:|---:|---:|---:|---:|",
    ]
    for abv in (20.0, 25.0, 29.0, 35.0, 40.0, 43.0):
        found = stirred(abv)
        ours, book = 100.0 * fraction(found, 92.0), 100.0 * dilution.stirred(abv)
        lines.append(f"| {abv:g} | {found.final_c:.1f} | {book:.1f} | {ours:.1f} | {ours - book:+.1f} |")
    lines += [
        "",
        "### Measured drinks",
        "",
        "| drink | melt measured, g | balance, g | measured, °C | balance, °C | remark |",
        "|---|---:|---:|---:|---:|---|",
    ]
    for drink in MEASURED:
        found = melt(drink.mix, drink.chilling)
        melted = "–" if drink.melt_g is None else f"{drink.melt_g:g}"
        cold = "–" if drink.final_c is None else f"{drink.final_c:g}"
        lines.append(
            f"| {drink.what} | {melted} | {found.water_g:.0f} | {cold} | {found.final_c:.1f} | {drink.remark} |"
        )
    lines += ["", TAIL, "<!-- Written by `python tests/dilution_page.py --write`. -->", ""]
    return "\n".join(lines)


def main(arguments: list[str]) -> None:
    if arguments == ["--write"]:
        PAGE.write_text(page(), encoding="utf-8")
    elif arguments:
        sys.exit("usage: python tests/dilution_page.py [--write]")
    else:
        print(page())


if __name__ == "__main__":
    main(sys.argv[1:])
