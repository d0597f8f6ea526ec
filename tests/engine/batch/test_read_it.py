"""Which instrument tells what a batch holds, and the whole line to type."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import balancer
from balancer.engine.batch.read_it import Source, line_to_read, read_again, read_it
from tests.engine.builders import LIME, PLAIN, syrup

LIQUEUR = syrup("sloe syrup", abv="12 %")
MILD = syrup("shrub", abv="1 %")


@pytest.mark.parametrize(
    ("source", "line"),
    [
        (PLAIN, "balancer measure READING --batch X-1 --log"),
        (MILD, "balancer measure READING --batch X-1 --log"),
        (LIQUEUR, "balancer batch reading X-1 --brix …"),
        (LIME, "balancer batch reading X-1 --acid …"),
        (None, "balancer batch reading X-1 --brix …"),
    ],
)
def test_the_line_for_each_kind_of_thing(source: Source, line: str) -> None:
    assert line_to_read(source, "X-1") == line
    assert read_it(source, "X-1").endswith(f": {line}")
    assert read_again("so far off: stir and read again", source, "X-1").endswith(f": {line}")


def test_a_syrup_with_alcohol_is_not_sent_to_the_refractometer() -> None:
    for said in (read_it(LIQUEUR, "SLO-1"), read_again("far off; stir and read again", LIQUEUR, "SLO-1")):
        assert "balancer measure" not in said
        assert "its alcohol fools the refractometer: go by its recipe, or read it before the spirit goes in" in said


def test_no_other_module_writes_the_line_itself() -> None:
    """`batch reading` and `measure … --log` stand in one place; what an option is like may be said where it is read."""
    root = Path(balancer.__file__).parent
    found = {
        path.relative_to(root).as_posix()
        for path in root.rglob("*.py")
        if re.search(r"balancer (batch reading|measure READING) ", path.read_text(encoding="utf-8"))
    }
    assert found == {"engine/batch/read_it.py"}
