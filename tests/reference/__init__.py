"""Published check values: one CSV per quantity, every row with its source.

Columns: the inputs of the quantity, then
    expected     what the page prints, digit for digit, in the page's own unit
    tolerance    half the last printed digit, or what the source or the comparison of whole tables states
    source       key in docs/reference/sources.md
    place        table or page
    use          check: must agree; outside: must be refused; listed: shown in the table of deviations only
    note         how the row was obtained, what is wrong with it
    why_looser   why the tolerance is wider than half the last printed digit
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from tests.reference.quantities import QUANTITIES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from tests.reference.quantities import Quantity

__all__ = ["FOLDER", "MEMORY", "QUANTITIES", "Row", "read_rows"]

FOLDER = Path(__file__).parent
MEMORY = "from memory"
"""What a note says of a value whose print was not seen."""
_COMMON = ("expected", "tolerance", "source", "place", "use", "note", "why_looser")


@dataclass(frozen=True, slots=True)
class Row:
    """One printed value."""

    stem: str
    inputs: Mapping[str, float]
    expected: Decimal
    tolerance: float
    source: str
    place: str
    use: str
    note: str
    why_looser: str

    @property
    def quantity(self) -> Quantity:
        return QUANTITIES[self.stem]

    @property
    def where(self) -> str:
        return ", ".join(f"{name}={value:g}" for name, value in self.inputs.items())

    @property
    def is_from_memory(self) -> bool:
        """Whether the value was remembered, and its print not seen."""
        return MEMORY in self.note

    @property
    def half_digit(self) -> float:
        """Half of the last printed digit."""
        return 0.5 * 10.0 ** int(self.expected.as_tuple().exponent)

    def computed(self) -> float:
        return self.quantity.compute(**self.inputs)

    def deviation(self) -> float:
        """Ours minus the printed value."""
        return self.computed() - float(self.expected)


def read_rows() -> list[Row]:
    """Every row of every table, in order of file name."""
    rows: list[Row] = []
    for path in sorted(FOLDER.glob("*.csv")):
        with path.open(encoding="utf-8", newline="") as lines:
            rows.extend(_row(path.stem, record) for record in csv.DictReader(lines, strict=True))
    return rows


def _row(stem: str, record: dict[str, str]) -> Row:
    common = {name: record.pop(name) for name in _COMMON}
    return Row(
        stem=stem,
        inputs={name: float(text) for name, text in record.items()},
        expected=Decimal(common.pop("expected")),
        tolerance=float(common.pop("tolerance")),
        **common,
    )
