"""`balancer calibrate` as it is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

WEIGHED = """\
drink: Weighed Plank
method: shaken
pours:
  - 60 ml dry gin
  - 22.5 ml plain syrup
weighed: {before: 84.5 g, after: 130 g}
"""


def test_the_constant_gives_back_what_was_weighed(tmp_path: Path) -> None:
    """Written into house.yaml, and the weighing taken out, the same drink takes up the same water."""
    specs = copy_of_house(tmp_path, drinks__weighed=WEIGHED)
    data = run("calibrate", "weighed plank", "--json", specs=specs).data
    assert (data["drink"], data["melt_water_g"]) == ("weighed-plank", 45.5)
    house = specs / "house.yaml"
    line = f"chill: {{vessel: {data['vessel_j_per_k']} J/K}}\n"
    house.write_text(house.read_text(encoding="utf-8") + line, encoding="utf-8")
    (specs / "drinks" / "weighed.yaml").write_text(WEIGHED.rpartition("weighed:")[0], encoding="utf-8")
    again = run("totals", "weighed plank", "--json", specs=specs).data["dilution"]
    assert again["basis"] == "energy"
    assert again["melt_water_g"] == pytest.approx(45.5, abs=1e-6)


def test_the_answer_is_a_line_for_the_house(tmp_path: Path) -> None:
    """It can be typed as it stands: what `check` reads without a problem."""
    specs = copy_of_house(tmp_path, drinks__weighed=WEIGHED)
    done = run("calibrate", "weighed", specs=specs)
    assert done.first.startswith("vessel ")
    line = next(line.strip() for line in done.out.splitlines() if line.startswith("  chill:"))
    house = specs / "house.yaml"
    house.write_text(house.read_text(encoding="utf-8") + line + "\n", encoding="utf-8")
    assert run("check", specs=specs).code == 0


@pytest.mark.parametrize(
    "changed", [WEIGHED.rpartition("weighed:")[0], WEIGHED + "dilution: 45 %\n"], ids=["not weighed", "stated"]
)
def test_what_was_not_weighed_cannot_calibrate(tmp_path: Path, changed: str) -> None:
    """It cannot be done, and what would make it possible is said."""
    done = run("calibrate", "weighed", specs=copy_of_house(tmp_path, drinks__weighed=changed))
    assert done.code == 1
    assert "weigh" in done.err
