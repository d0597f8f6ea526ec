"""Every published value in tests/reference against our formulas; `python tests/deviations.py` prints by how much."""

from __future__ import annotations

import pytest

from balancer.errors import OutOfRangeError
from tests.properties.inventory import public_formulas
from tests.reference import QUANTITIES, Row, read_rows

ROWS = read_rows()
ASSERTED = [row for row in ROWS if row.use != "listed"]


TABLES = {(row.stem, row.source): [each for each in ASSERTED if (each.stem, each.source) == (row.stem, row.source)]
          for row in ASSERTED}  # fmt: skip


def missed(row: Row) -> str:
    """What is wrong with a formula at a published value; empty when nothing is."""
    if row.use == "outside":
        with pytest.raises(OutOfRangeError):
            row.computed()
        return ""
    is_near = abs(row.deviation()) <= row.tolerance * (1.0 + 1e-9)
    return "" if is_near else f"{row.place} @ {row.where}: off by {row.deviation()}: {row.note}"


@pytest.mark.parametrize(("stem", "source"), TABLES, ids=str)
def test_published_values(stem: str, source: str) -> None:
    """Every row of a table; all that are missed are told at once."""
    assert [told for row in TABLES[stem, source] if (told := missed(row))] == []


def test_rows_are_used_in_one_of_three_ways() -> None:
    assert {row.use for row in ROWS} == {"check", "outside", "listed"}


def test_a_looser_tolerance_says_why() -> None:
    silent = [
        f"{row.stem} @ {row.where}" for row in ROWS
        if row.tolerance > row.half_digit * (1.0 + 1e-9) and not row.why_looser
    ]  # fmt: skip

    assert silent == []


def test_a_row_that_is_not_asserted_says_why() -> None:
    assert [f"{row.stem} @ {row.where}" for row in ROWS if row.use == "listed" and not row.note] == []


def test_every_public_formula_has_check_rows() -> None:
    checked = {formula for row in ROWS if row.use == "check" for formula in row.quantity.formulas}

    assert {f"{f.__module__}.{f.__name__}" for f in public_formulas() if f not in checked} == set()


def test_every_quantity_has_a_table() -> None:
    assert {row.stem for row in ROWS} == set(QUANTITIES)
