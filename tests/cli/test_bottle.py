"""`bottle` as a person types it, and `chill` as a person writes it."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.log.batch_log import read_log
from tests.cli.runner import Run, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:04+01:00"}
MADE = '- {"batch": "BER-1", "syrup": "berry syrup", "event": "made", "brix": 54, "mass": 2000}\n'
DRINK = """
- drink: Test Bottle
  method: shaken
  pours: [60 ml gold rum, 22.5 ml lime juice, 22.5 ml berry syrup]
"""


def bottle(folder: Path, *arguments: str) -> Run:
    return run("bottle", *arguments, specs=folder, env=NOW)


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    folder = copy_of_house(tmp_path, drinks__bottle=DRINK)
    (folder / "batches.yaml").write_text(MADE, encoding="utf-8")
    return folder


def test_the_answer_comes_first_and_fits(specs: Path) -> None:
    """720 ml of rum at 40 % vol weighs 682.6 g ([ALCOHOL-TABLE] 0.94805 g/ml)."""
    answer = bottle(specs, "test bottle", "--serves", "12")

    assert answer.code == 0
    assert answer.first.startswith("12 serves of Test Bottle: 1.9")
    assert "683 g    720 ml  gold rum" in answer.out
    assert "use by" not in answer.first
    assert max(len(line) for line in answer.out.splitlines()) <= 80


def test_a_vessel_is_filled(specs: Path) -> None:
    data = bottle(specs, "test bottle", "--volume", "750ml", "--headspace", "3%", "--json").data

    assert data["total"]["volume_ml"] == pytest.approx(727.5)
    assert sum(line["g"] for line in data["lines"]) == pytest.approx(data["total"]["mass_g"])
    assert data["lines"][-1]["ingredient"] == "water"
    assert data["serves"] == pytest.approx(727.5 / data["serve_ml"])


def test_steps_end_in_the_sum(specs: Path) -> None:
    working = bottle(specs, "test bottle", "--serves", "12", "--steps").out

    assert "gold rum: 56.8827 g × 12 = 682.59 g" in working
    assert "  all: " in working


def test_a_batch_goes_in_at_its_strength_and_is_logged_when_asked(specs: Path) -> None:
    """20.46 ml at 54 °Bx hold what 22.5 ml hold at 50."""
    before = read_log(specs).entries
    data = bottle(specs, "test bottle", "--serves", "12", "--from", "ber-1", "--json").data
    assert read_log(specs).entries == before
    logged = bottle(specs, "test bottle", "--serves", "12", "--from", "BER-1", "--log", "--json").data
    *_, last = read_log(specs).entries

    assert data["from"]["exact_ml"] == pytest.approx(20.46, abs=0.02)
    assert (data["from"]["logged"], logged["from"]["logged"]) == (False, True)
    assert (last.batch, last.event, last.brix) == ("BER-1", "reading", None)
    assert last.note == "bottled: 12 serves of test-bottle at 54 °Bx"


def test_tonight_leaves_it_out_and_rescues_it(specs: Path) -> None:
    run("batch", "open", "BER-1", specs=specs, env=NOW)
    bottle(specs, "test bottle", "--serves", "12", "--from", "BER-1", "--log")
    data = run("tonight", "--json", specs=specs, env=NOW).data
    assert "test-bottle" not in [row["drink"] for row in data["drinks"]]
    assert [(item["drink"], item["rescue"]) for item in data["bottled"]] == [("test-bottle", None)]

    run("batch", "reading", "BER-1", "--brix", "50", specs=specs, env={"BALANCER_NOW": "2026-11-25T19:04+01:00"})
    answer = run("tonight", specs=specs, env={"BALANCER_NOW": "2026-11-25T20:04+01:00"})

    assert "bottled Test Bottle (BER-1): sugar −7 %; if 12 serves" in answer.out
    assert "in bottles, so left out: Test Bottle" in " ".join(answer.out.split())


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("--serves", "12", "--volume", "1l"),
        ("--serves", "0"),
        ("--serves", "a few"),
        ("--volume", "750"),
        ("--serves", "2", "--headspace", "80%"),
        ("--serves", "2", "--log"),
        ("--serves", "2", "--from", "LIM-9"),
    ],
)
def test_wrong_usage(specs: Path, arguments: tuple[str, ...]) -> None:
    answer = bottle(specs, "test bottle", *arguments)

    assert (answer.code, answer.out) == (2, "")
    assert answer.err


def test_what_cannot_be_bottled(specs: Path) -> None:
    (specs / "batches.yaml").write_text(MADE.replace(', "brix": 54', ""), encoding="utf-8")
    answer = bottle(specs, "test bottle", "--serves", "2", "--from", "BER-1")

    assert answer.code == 1
    assert "no strength in the log" in answer.err


def test_a_house_that_states_its_ice(tmp_path: Path) -> None:
    """Freezer ice: a sour gets 40 % of mix instead of 52, by a worked heat balance."""
    house = (copy_of_house(tmp_path / "a") / "house.yaml").read_text("utf-8")
    chilled = copy_of_house(
        tmp_path / "b", drinks__bottle=DRINK, house=f"{house}\nchill: {{ice: 120 g, ice temperature: -18 °C}}\n"
    )
    dilution = run("totals", "test bottle", "--json", specs=chilled).data["dilution"]
    answer = run("totals", "test bottle", "--steps", specs=chilled)

    assert dilution["basis"] == "energy"
    assert dilution["percent_of_mix"] == pytest.approx(40.0, abs=1.0)
    assert "(energy, −8 °C)" in answer.out
    assert "energy balance of drink, ice and vessel" in answer.out


def test_a_chill_that_cannot_be_is_told_where_it_stands(tmp_path: Path) -> None:
    broken = copy_of_house(tmp_path, drinks__bottle=DRINK + "  chill: {stop: 40 °C}\n")
    answer = run("check", specs=broken)

    assert answer.code == 1
    assert "drinks/bottle.yaml:5:17" in answer.out
    assert '"40 °C" cannot be right' in answer.out
