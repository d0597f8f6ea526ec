"""The demo house against open data: USDA SR28, and a source for every figure.

An entry that writes `source: USDA SR28 NDB 09160` promises that its sugar is that record's. Figures the
record only imputes prove nothing: they are left out of the checks, and the entry has to say so.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from ruamel.yaml import YAML

from tests.open_data import TOTAL_SUGARS, WATER, Foods, NotAnalysedError

SPECS = Path(__file__).parents[1] / "specs"
CITED = re.compile(r"USDA SR28 NDB (\d{5})")
HALF_PERCENT = 0.5  # the files write shares in whole percent

# What the house calls a food, and the word of the record.
STANDS_FOR = {"demerara": "turbinado", "nectar": "syrup", "ruby": "sweet", "fortified": "dessert"}


@dataclass(frozen=True)
class Entry:
    """An ingredient or syrup that cites a record."""

    name: str
    ndb: str
    keys: dict[str, Any]


class Check(NamedTuple):
    """A figure of ours, the record's, and how far apart they may be, in % by mass or % of the sugar."""

    what: str
    ours: float
    theirs: float
    allowed: float

    @property
    def is_wrong(self) -> bool:
        return abs(self.ours - self.theirs) > self.allowed + 1e-9


@cache
def entries(kind: str) -> tuple[Entry, ...]:
    """Every entry of specs/<kind>s that cites a record, read as plain YAML."""
    files = [YAML(typ="safe").load(path) for path in sorted((SPECS / f"{kind}s").glob("*.yaml"))]
    listed = [keys for loaded in files for keys in (loaded if isinstance(loaded, list) else [loaded])]
    return tuple(
        Entry(keys[kind], cited[1], keys) for keys in listed if (cited := CITED.search(keys.get("source", "")))
    )


@cache
def foods() -> Foods:
    return Foods({entry.ndb for entry in entries("ingredient") + entries("syrup")})


def number(text: str, unit: str) -> float:
    """'16.9 g/kg' as 16.9; the record is by mass, so an entry that cites it has to be."""
    value, written = text.split()
    assert written == unit, f"{text}: expected {unit}"
    return float(value)


def words(text: str) -> set[str]:
    """The words of a name, singular and plural alike."""
    return {word.removesuffix("s") for word in re.findall(r"[a-z]+", text.casefold())}


def sugar_check(entry: Entry) -> Check:
    total = foods().analysed(entry.ndb, TOTAL_SUGARS)
    return Check(entry.name, number(entry.keys["sugar"], "g/kg") / 10.0, total.value, total.spread)


def kind_checks(entry: Entry) -> list[Check]:
    kinds = foods().analysed_kinds(entry.ndb)
    total = sum(amount.value for amount in kinds.values())
    ours = {kind: number(share, "%") for kind, share in entry.keys.get("sugars", {"sucrose": "100 %"}).items()}
    assert set(ours) <= set(kinds), f"{entry.name}: the record does not know {set(ours) - set(kinds)}"
    return [
        Check(
            f"{kind} of {entry.name}",
            ours.get(kind, 0.0),
            100.0 * amount.value / total,
            max(HALF_PERCENT, 100.0 * amount.spread / total),
        )
        for kind, amount in kinds.items()
    ]


def sugar_share_check(entry: Entry) -> Check:
    """The part of a sweetener's solids that is sugar, which thinning with water does not change."""
    sugars, water = foods().analysed(entry.ndb, TOTAL_SUGARS), foods().analysed(entry.ndb, WATER)
    solids = 100.0 - water.value
    ours = number(entry.keys.get("sugar share", "100 %"), "%")
    allowed = max(HALF_PERCENT, 100.0 * (sugars.spread + water.spread) / solids)
    return Check(f"sugar share of {entry.name}", ours, 100.0 * sugars.value / solids, allowed)


def is_imputed(entry: Entry) -> bool:
    amount = foods().amount(entry.ndb, TOTAL_SUGARS)
    return amount is not None and not amount.is_analysed


def test_sugar_is_the_records() -> None:
    checks = [sugar_check(entry) for entry in entries("ingredient") if not is_imputed(entry)]
    assert [check for check in checks if check.is_wrong] == []
    assert len(checks) >= 15


def test_kinds_of_sugar_are_the_records() -> None:
    checks = []
    for entry in entries("ingredient") + entries("syrup"):
        try:
            checks.append(kind_checks(entry))
        except NotAnalysedError:
            # Where nobody told the sugars apart, the file keeps to its default, sucrose.
            assert "sugars" not in entry.keys, f"{entry.name} names kinds that its source does not know"
    assert [check for group in checks for check in group if check.is_wrong] == []
    assert len(checks) >= 20


def test_sugar_share_of_a_syrup_is_that_of_its_sweetener() -> None:
    checks = [sugar_share_check(entry) for entry in entries("syrup") if not is_imputed(entry)]
    assert [check for check in checks if check.is_wrong] == []
    assert {check.what for check in checks} == {"sugar share of agave syrup", "sugar share of demerara syrup"}


@pytest.mark.parametrize("times", [-3.0, 3.0])
def test_sugar_that_is_off_by_three_spreads_is_noticed(times: float) -> None:
    for entry in entries("ingredient"):
        if not is_imputed(entry):
            right = sugar_check(entry)
            moved = (right.theirs + times * right.allowed) * 10.0
            assert sugar_check(replace(entry, keys={**entry.keys, "sugar": f"{moved} g/kg"})).is_wrong


def test_imputed_figures_are_refused_as_checks_and_admitted() -> None:
    imputed = [entry for entry in entries("ingredient") if is_imputed(entry)]
    assert {"orange juice", "grapefruit juice", "passion fruit juice", "honey"} <= {entry.name for entry in imputed}
    for entry in imputed:
        with pytest.raises(NotAnalysedError):
            sugar_check(entry)
        assert "imputed" in entry.keys["note"], f"{entry.name} does not say that its sugar is imputed"


def test_the_number_cited_is_that_food() -> None:
    for entry in entries("ingredient"):
        description = foods().description(entry.ndb)
        named = {STANDS_FOR.get(word, word) for word in words(entry.name)}
        assert named <= words(description), f"NDB {entry.ndb} is {description}, not {entry.name}"


def ingredient_texts() -> list[str]:
    """Every ingredient as it stands in its file, comments included."""
    files = sorted((SPECS / "ingredients").glob("*.yaml"))
    return [text for path in files for text in path.read_text(encoding="utf-8").split("- ingredient: ")[1:]]


def test_every_figure_has_its_source() -> None:
    figures = [
        (text, line)
        for text in ingredient_texts()
        for line in re.findall(r"^  (?:abv|sugar|acid|density): .*$", text, re.MULTILINE)
    ]
    bare = [
        f"{text.splitlines()[0]}: {line.strip()}"
        for text, line in figures
        if "#" not in line and not (line.startswith("  sugar:") and CITED.search(text))
    ]
    assert bare == []
    assert len(figures) >= 70


def test_a_legal_minimum_is_told_as_a_lower_bound() -> None:
    minimums = [text for text in ingredient_texts() if "# legal minimum: a lower bound" in text]
    silent = [text for text in minimums if "  note: sugar is the legal minimum, a lower bound" not in text]
    assert silent == []
    assert len(minimums) >= 5
