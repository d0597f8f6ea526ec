"""`compare` as a person types it."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from balancer.engine.swaps.compare import compare
from balancer.files.house.load import load
from balancer.output.screen.compare import compare_text
from balancer.output.words.look import Look, looking
from balancer.output.words.numbers import width
from tests.cli.runner import HOUSE, copy_of_house, run
from tests.cli.test_swap import NOW, log


def test_the_answer_is_the_first_line() -> None:
    """66.7 °Bx over 50 °Bx is 14.4 ml for 10, as 1.3265 x 0.6667 over 1.2296 x 0.5 is 14.38."""
    done = run("compare", "rich")

    assert (done.code, done.err) == (0, "")
    assert done.first == "for the spec: 10 ml rich syrup: as much sugar as 14.4 ml plain 1:1 syrup"


def test_the_table_fits() -> None:
    done = run("compare")

    assert done.code == 0
    lines = done.out.splitlines()
    assert max(map(width, lines)) <= 80
    assert sum(line.startswith("  ") and not line.startswith("    ") for line in lines) <= 8
    assert {"plain syrup", "berry syrup", "honey syrup", "rich syrup"} <= {line[2:24].strip() for line in lines}


def test_json() -> None:
    data = run("compare", "rich", "honey", "--against", "plain", "--json").data

    assert (data["per_ml"], data["against"]["id"], data["against"]["brix"]) == (10.0, "plain-syrup", 50.0)
    rich, honey = data["sweeteners"]
    assert (rich["id"], honey["id"], honey["brix"]) == ("rich-syrup", "honey", None)
    assert rich["sugar_g"] == pytest.approx(8.85, abs=0.005)  # 6.67 x 1.3267
    assert set(rich["sweetness_g"]) == {"low", "usual", "high"}
    assert data["failed"] == []


def test_the_open_batch_is_said(tmp_path: Path) -> None:
    done = run(
        "compare", "berry", "--tonight", env=NOW, specs=log(copy_of_house(tmp_path), ("BER-1", "berry-syrup", 54.0))
    )

    assert "54 BER-1" in done.out


def test_what_cannot_be_compared_exits_1() -> None:
    done = run("compare", "herbal", "plain")

    assert done.code == 1
    assert "nobody knows how much sugar herbal liqueur holds" in done.out
    assert run("compare", "nonsuch").code == 2


@pytest.mark.parametrize("columns", [50, 60])
def test_the_table_fits_a_narrow_terminal(columns: int) -> None:
    """One line for the heading and one for each sweetener, so that no number stands under another's heading."""
    bar = Bar(load(HOUSE).specs)
    with looking(Look(columns)):
        lines = compare_text(compare(bar)).splitlines()
    start = next(place for place, line in enumerate(lines) if line.startswith("  in 10 ml"))
    end = next(place for place, line in enumerate(lines) if line.startswith("more: "))
    head, *rows = lines[start:end]
    assert max(map(width, lines)) <= columns
    assert len(rows) == min(7, len(bar.specs.syrups))
    assert [line for line in rows if line.startswith("   ")] == []
    assert all(width(line) <= width(head) for line in rows)
