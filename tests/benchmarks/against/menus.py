"""The menu that is compared: the demo's drinks, and copies of them with other pours, as many as asked for."""

from __future__ import annotations

import itertools
import random
import re
from pathlib import Path
from typing import Final

from balancer.files.house.load import load
from balancer.models.specs import Specs
from tests.benchmarks.menu import A_FILE, CHECKOUT, house_with

SEED: Final = 20261126
STEP_ML: Final = 2.5
"""The demo house's jigger step."""
MADE_WITH_SD_BRIX: Final = 3.0
"""How far kitchens come out off their standard, one standard deviation: common practice."""
_SECOND: Final = ("simple syrup", "ginger syrup", "honey syrup", "demerara syrup", "raspberry syrup")
_SYRUP_POUR: Final = re.compile(r"^(?P<head> *- )(?P<ml>[\d.]+) ml (?P<of>[^#\n]*(?:syrup|cordial))", re.MULTILINE)


def texts(size: int) -> list[str]:
    """The files of a menu. The first twenty drinks are the demo's as they are.

    Of the further ones every syrup's pour is moved by up to two jigger steps, and every third pours a second syrup
    that it has not. Two menus agree in all drinks that both have.
    """
    chance = random.Random(SEED)  # noqa: S311 - a menu that repeats, not a secret
    files = [path.read_text(encoding="utf-8") for path in sorted((CHECKOUT / "specs" / "drinks").glob("*.yaml"))]
    entries = []
    for number, text in zip(range(size), itertools.cycle(files), strict=False):
        changed = text if number < len(files) else _changed(text, number, chance)
        first, *rest = changed.splitlines()
        entries.append("\n".join([f"- {first} {number}", *(f"  {line}" for line in rest)]))
    return ["\n".join(entries[start : start + A_FILE]) + "\n" for start in range(0, size, A_FILE)]


def _changed(text: str, number: int, chance: random.Random) -> str:
    def moved(found: re.Match[str]) -> str:
        pour = max(2 * STEP_ML, float(found["ml"]) + STEP_ML * chance.randint(-2, 2))
        return f"{found['head']}{pour:g} ml {found['of']}"

    text = _SYRUP_POUR.sub(moved, re.sub(r"^glass: .*\n", "", text, flags=re.MULTILINE))  # it may not hold so much
    if number % 3:
        return text
    second = chance.choice([name for name in _SECOND if f"ml {name}" not in text and f"oz {name}" not in text])
    return text.replace("pours:\n", f"pours:\n  - {STEP_ML * chance.randint(3, 6):g} ml {second}\n", 1)


def written(size: int, folder: Path) -> Path:
    """The demo house with that menu, as files."""
    return house_with(texts(size), folder)


def loaded(specs: Path) -> Specs:
    """A folder that has no problem."""
    found = load(specs)
    if found.problems:
        raise AssertionError(found.problems[0])
    return found.specs


def readings(standards: dict[str, float], sd_brix: float, chance: random.Random) -> dict[str, float]:
    """What every syrup of the house reads tonight, °Bx to a tenth, drawn around its standard."""
    return {syrup: round(chance.gauss(standard, sd_brix), 1) for syrup, standard in standards.items()}
