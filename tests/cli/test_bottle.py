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


def logged(specs: Path, *lines: str) -> None:
    (specs / "batches.yaml").write_text("".join(f"- {{{line}}}\n" for line in lines), encoding="utf-8")


OPEN = '"event": "open", "at": "2026-11-24T17:00:00+01:00"'
BERRY = '"syrup": "berry-syrup", "event": "made", "made": "2026-11-20", "at": "2026-11-20T15:00:00+01:00"'


@pytest.mark.parametrize("label", [(), ("--out", "label.pdf")])
def test_what_is_open_past_its_last_day_leads(specs: Path, label: tuple[str, ...], tmp_path: Path) -> None:
    """Whoever bottles takes the bottle that stands there: nothing of it may go in."""
    logged(specs, f'"batch": "BER-1", "brix": 50, "discard": "2026-11-24", {BERRY}', f'"batch": "BER-1", {OPEN}')
    words = [str(tmp_path / word) if word.endswith(".pdf") else word for word in label]
    answer = bottle(specs, "test bottle", "--serves", "6", *words)
    told = "BER-1 berry syrup is past its last day (24 Nov): discard it; it needs a new batch"
    assert " ".join(answer.out.splitlines()[1].split() + answer.out.splitlines()[2].split()).startswith(told)


def test_past_beside_a_good_one_is_no_matter_of_the_bottle(specs: Path) -> None:
    logged(
        specs,
        f'"batch": "BER-1", "brix": 50, "discard": "2026-11-24", {BERRY}',
        f'"batch": "BER-1", {OPEN}',
        f'"batch": "BER-2", "brix": 50, "discard": "2026-11-30", {BERRY}',
        f'"batch": "BER-2", {OPEN}',
    )
    assert "past its last day" not in bottle(specs, "test bottle", "--serves", "6").out


def test_what_goes_in_otherwise_than_it_is_reckoned_with_is_a_row(specs: Path, tmp_path: Path) -> None:
    """The juice of this house counts on 46 g/l: 50.6 are +10 %."""
    logged(
        specs,
        f'"batch": "BER-1", "brix": 54, "discard": "2026-11-30", {BERRY}',
        f'"batch": "BER-1", {OPEN}',
        '"batch": "LIM-1", "syrup": "lime-juice", "event": "made", "acid": "50.6 g/l", "made": "2026-11-24",'
        ' "at": "2026-11-24T15:00:00+01:00"',
        f'"batch": "LIM-1", {OPEN}',
    )
    out = str(tmp_path / "label.pdf")
    shown = " ".join(bottle(specs, "test bottle", "--serves", "6", "--out", out).out.partition("more:")[0].split())
    told = "at standard strengths; BER-1 reads 54: --from BER-1 reckons with it; LIM-1 acid +10 % is not counted"
    assert told in shown
    assert "from BER-1, LIM-1" in shown  # they go in all the same
    named = " ".join(bottle(specs, "test bottle", "--serves", "6", "--from", "BER-1").out.split())
    assert "others at standard; LIM-1 acid +10 % is not counted" in named
