"""docs/performance.md and its plots are made of the stored figures; those that hang on no machine come out again."""

from __future__ import annotations

import copy
import re
from pathlib import Path

import pytest

from balancer.engine.drink.bar import Bar
from tests.benchmarks.against import judged, menus
from tests.benchmarks.against.page import PAGE, PLOTS, drawing, page, picture, read

FIGURES = read()
RENEW = "python -m tests.benchmarks.spreadsheet --page"


def test_page() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(FIGURES), RENEW


@pytest.mark.parametrize("name", PLOTS)
def test_plot(name: str) -> None:
    assert picture(name).read_text(encoding="utf-8") == drawing(name, FIGURES), RENEW


def test_other_figures_are_another_page() -> None:
    """Each part of the stored figures is shown."""
    for path in (
        ("times", "ours", "1000", "command", "cpu"),
        ("times", "office", "whole-100", "reading", "cpu"),
        ("times", "office", "start", "clock"),
        ("evenings", "3", "several", "ratio, jigger", "out_percent"),
        ("evenings", "3", "one", "ratio, exact", "mean_g"),
        ("steps", "1", "one", "balancer", "out_percent"),
        ("totals", "worst_g"),
        ("agreement", "1000", "other_pours"),
    ):
        changed = copy.deepcopy(FIGURES)
        place = changed
        for key in path[:-1]:
            place = place[key]
        place[path[-1]] = 3 * place[path[-1]] + 1
        assert page(changed) != page(FIGURES), path


def test_the_table_of_times_is_the_stored_one() -> None:
    """Read from the page, without the code that wrote it."""
    row = re.search(r"^\| \*\*cold\*\*: `balancer tonight` \|(.+)\|$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    assert row
    for cell, size in zip(row[1].split("|"), FIGURES["times"]["sizes"], strict=True):
        number, unit = cell.split("(")[0].split()
        seconds = float(number) * {"ms": 0.001, "s": 1.0}[unit]
        assert seconds == pytest.approx(FIGURES["times"]["ours"][str(size)]["command"]["cpu"], rel=0.06)


def test_what_the_page_claims_in_fixed_words() -> None:
    """Of other figures another page would have to be written."""
    drawn, steps = FIGURES["evenings"]["3"], FIGURES["steps"]
    one, several = ({way: row.get("out_percent") for way, row in drawn[room].items()} for room in ("one", "several"))
    assert several["ratio, jigger"] > several["workbook, jigger"] > several["balancer"]
    assert one["no pour"] > one["ratio, jigger"] - one["no pour"]  # the jigger costs more than the rule
    for way in ("ratio, jigger", "workbook, jigger", "balancer"):  # a finer jigger helps more than another way
        finer = steps["2.5"]["one"][way]["out_percent"] - steps["1"]["one"][way]["out_percent"]
        assert finer > one["ratio, jigger"] - one["balancer"]
    assert abs(one["workbook, jigger"] - one["balancer"]) < 0.5  # one syrup: as good
    at_4 = next(row for row in FIGURES["sweep"] if row["off_brix"] == 4.0)
    assert 0.1 < at_4["one"]["ratio, exact"]["mean_g"] < at_4["several"]["ratio, exact"]["mean_g"] < 0.5


@pytest.mark.slow  # if other figures are right: python -m tests.benchmarks.spreadsheet --judged
def test_figures_that_hang_on_no_machine(tmp_path: Path) -> None:
    bar = Bar(menus.loaded(menus.written(FIGURES["times"]["sizes"][-1], tmp_path)))
    stored = {row["off_brix"]: row for row in FIGURES["sweep"]}
    for found in judged.sweep(bar, [-8.0, -2.5, 0.0, 4.0, 12.0]):
        kept = stored[found["off_brix"]]
        for room in ("one", "several"):
            for way, figures in kept[room].items():
                assert found[room][way] == pytest.approx(figures, rel=1e-5, abs=1e-9), (found["off_brix"], room, way)
    evenings = judged.evenings(bar, menus.MADE_WITH_SD_BRIX, FIGURES["evenings"]["count"])
    for room, ways in FIGURES["evenings"][f"{menus.MADE_WITH_SD_BRIX:g}"].items():
        for way, figures in ways.items():
            assert evenings[room][way] == pytest.approx(figures, rel=1e-5, abs=1e-9), (room, way)
