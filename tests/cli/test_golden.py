"""What the commands print has not changed unnoticed; see tests/cli/golden.py."""

from __future__ import annotations

import pytest

from tests.cli.golden import CASES, FOLDER, Case


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_regression_snapshot(case: Case) -> None:
    assert case.text() == case.path.read_text(encoding="utf-8"), "if wanted: python -m tests.cli.golden"


def test_every_snapshot_belongs_to_a_case() -> None:
    assert {path.stem for path in FOLDER.iterdir()} == {case.name for case in CASES}
