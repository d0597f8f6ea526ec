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


STIRRED = """\
drink: Weighed Plank
method: stirred
pours:
  - 60 ml dry gin
  - 22.5 ml plain syrup
chill: {stop: 1.5 °C}
weighed: {before: 84.5 g, after: 110 g}
"""


def test_a_stirred_drink_gives_the_vessel_of_its_glass_above_zero_too(tmp_path: Path) -> None:
    """Its line in place of the weighing: the same drink takes up the same water."""
    specs = copy_of_house(tmp_path, drinks__weighed=STIRRED)
    assert run("check", specs=specs).code == 0
    done = run("calibrate", "weighed", specs=specs)
    assert "the drinks stirred like this one" in done.first
    assert "stop: 1.5 °C}" in " ".join(done.out.split())
    data = run("calibrate", "weighed", "--json", specs=specs).data
    assert data["stop_c"] == 1.5
    spec = STIRRED.rpartition("chill:")[0] + f"chill: {{stop: 1.5 °C, vessel: {data['vessel_j_per_k']} J/K}}\n"
    (specs / "drinks" / "weighed.yaml").write_text(spec, encoding="utf-8")
    again = run("totals", "weighed plank", "--json", specs=specs).data["dilution"]
    assert (again["basis"], again["final_temperature_c"]) == ("energy", 1.5)
    assert again["melt_water_g"] == pytest.approx(25.5, abs=1e-6)


def test_what_nobody_says_of_the_chilling_is_told(tmp_path: Path) -> None:
    """The constant hangs on the ice, its temperature and the start: what was taken for them is no secret."""
    some = WEIGHED + "chill: {ice: 150 g, start: 20 °C}\n"
    done = run("calibrate", "weighed", specs=copy_of_house(tmp_path / "some", drinks__weighed=some))
    assert "not stated, so taken: ice at 0 °C\n" in done.out

    none = copy_of_house(tmp_path / "none", drinks__weighed=WEIGHED)
    assert "taken: 120 g of ice, ice at 0 °C, a start at 22 °C" in run("calibrate", "weighed", specs=none).out
    assert run("calibrate", "weighed", "--json", specs=none).data["assumed"] == ["ice", "ice temperature", "start"]

    every = WEIGHED + "chill: {ice: 150 g, ice temperature: -5 °C, start: 20 °C}\n"
    assert "taken" not in run("calibrate", "weighed", specs=copy_of_house(tmp_path / "all", drinks__weighed=every)).out


def test_a_stirred_drink_that_does_not_say_how_cold_it_got_tells_nothing(tmp_path: Path) -> None:
    """Taken to its freezing point, as a shaken one, it would give a vessel that melts far too little."""
    spec = STIRRED.replace("chill: {stop: 1.5 °C}\n", "")
    done = run("calibrate", "weighed", specs=copy_of_house(tmp_path, drinks__weighed=spec))
    assert done.code == 1
    assert "how cold Weighed Plank was" in done.err


@pytest.mark.parametrize(
    "changed", [WEIGHED.rpartition("weighed:")[0], WEIGHED + "dilution: 45 %\n"], ids=["not weighed", "stated"]
)
def test_what_was_not_weighed_cannot_calibrate(tmp_path: Path, changed: str) -> None:
    """It cannot be done, and what would make it possible is said."""
    done = run("calibrate", "weighed", specs=copy_of_house(tmp_path, drinks__weighed=changed))
    assert done.code == 1
    assert "weigh" in done.err
