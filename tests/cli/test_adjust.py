"""`adjust` as a person types it: what is asked, the pours, and what cannot be had."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from balancer.files.house.demo import demo_folder
from tests.cli.arithmetic import mistakes, worked
from tests.cli.runner import run

MOVED = {"sugar_percent", "acid_percent", "abv_points", "volume_percent", "sweetness_percent"}


def test_the_answer_is_the_first_line() -> None:
    """Nine tenths of 22.5 ml are 20.25; the berry syrup is the only sugar to speak of."""
    done = run("adjust", "anchor", "--sugar", "-10%")

    assert (done.code, done.err) == (0, "")
    assert done.first == "Anchor Sour, sugar −10 %: 20 ml berry syrup, not 22.5"


@pytest.mark.parametrize("typed", [["--sugar=-10%"], ["--sugar", "-10 %"], ["--sugar", "−10%"], ["--sugar", "-10"]])
def test_less_may_be_typed_as_people_do(typed: list[str]) -> None:
    assert run("adjust", "anchor", *typed).first == "Anchor Sour, sugar −10 %: 20 ml berry syrup, not 22.5"


def test_json_has_the_promised_keys() -> None:
    done = run("adjust", "slipway", "--abv", "12%", "--json", specs=demo_folder())

    data = done.data
    assert (data["drink"], data["feasible"], data["asked"]["abv_percent"]) == ("slipway-sour", True, 12.0)
    assert [row["ingredient"] for row in data["pours"]] == ["gold-rum", "lime-juice", "raspberry-syrup"]
    assert {"spec_ml", "exact_ml", "poured_ml"} <= data["pours"][0].keys()
    assert data["moved"].keys() >= MOVED
    assert data["allergens"] == {"gained": [], "lost": [], "unknown": []}
    assert data["alcohol_added_g"] < 0.0
    assert data["served"]["abv_percent"] == pytest.approx(12.0, abs=0.3)  # 35 ml of rum; a step is 0.8 % vol


def test_the_last_row_is_what_else_a_guest_may_notice() -> None:
    """Less rum for 12 % ABV leaves as much sugar and acid in 117 ml, not 159: 36 % more of both in a mouthful."""
    out = run("adjust", "slipway", "--abv", "12%", specs=demo_folder()).out
    row = " ".join(out.split("  taste first")[1].split("more:")[0].split())

    found = re.match(r"sugar \+(\d+) % \(in a smaller drink\), then acid \+(\d+) % \(in a smaller drink\)", row)
    assert found is not None, row
    assert [int(found[1]), int(found[2])] == pytest.approx([36, 36], abs=1.5)
    assert "ABV" not in row  # it was asked


def test_what_cannot_be_had_says_so_first_and_exits_1() -> None:
    done = run("adjust", "port hand buoy", "--sugar", "-30%", specs=demo_folder())

    assert done.code == 1
    assert done.first == "Port Hand Buoy, sugar −30 %: cannot be had"
    assert "strawberry syrup: fixed" in done.out


@pytest.mark.parametrize(
    ("typed", "told", "remedy"),
    [
        (["--sugar", "10%"], '--sugar: "10%": more or less?', "--sugar +10%"),
        (["--sugar", "-10 g"], '--sugar: "-10 g": more or less?', "18g"),
        (["--sugar", "+-10%"], '--sugar: "+-10%": more or less?', "--sugar +10%"),
        (["--sugar=--10"], '--sugar: "--10": more or less?', "--sugar +10%"),
        (["--sugar", "-100%"], '--sugar: "-100%" cannot be right', "above -100 %"),
        (["--acid", "much"], '--acid: "much"', "--acid -10%"),
        (["--abv", "-2%"], '--abv: "-2%" could be points', "12%"),
        (["--abv", "90%"], '--abv: "90%" cannot be right', "up to 60 %"),
        (["--volume", "120"], "--volume: ", "120ml"),
        (["--volume", "120ml", "--glass", "coupe"], "--volume and --glass", "leave one out"),
        (["--glass", "mug"], '"mug" is no glass of the house', "house.yaml"),
        ([], "nothing says what it should become", "--glass"),
    ],
)
def test_what_is_typed_wrong_is_told_with_what_to_type(typed: list[str], told: str, remedy: str) -> None:
    done = run("adjust", "slipway", *typed, specs=demo_folder())

    assert done.code in (1, 2)
    assert told in done.err
    assert remedy in done.err


def test_every_line_of_the_working_adds_up() -> None:
    done = run("adjust", "slipway", "--sugar", "-10%", "--acid", "+5%", "--steps", specs=demo_folder())

    assert worked(done.out.splitlines()) >= 4
    assert mistakes(done.out.splitlines()) == []


def test_the_glass_that_was_asked_is_written_with_the_pours(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(demo_folder(), specs)
    file = specs / "drinks" / "last-lamp-on-pier-nine.yaml"
    before = file.read_text(encoding="utf-8").splitlines()
    before.remove("by: Ansgar")  # nobody is named

    done = run("adjust", "last lamp", "--glass", "coupe", "--write", "--yes", specs=specs)

    after = file.read_text(encoding="utf-8").splitlines()
    assert done.code == 0
    assert [line for line in after if line.startswith("glass:")] == ["glass: coupe"]
    changed = [line for line, now in zip(before, after, strict=True) if line != now]
    assert {line.split(":")[0].split()[-1] for line in changed} >= {"glass", "version", "date"}
    assert len(changed) == 6  # three pours, the glass, the version and the date


@pytest.mark.parametrize(("size", "told"), [("1l", "cannot be had"), ("300ml", "300 ml is more than the coupe holds")])
def test_what_no_bar_would_serve_so_is_said_first(size: str, told: str) -> None:
    done = run("adjust", "slipway", "--volume", size, specs=demo_folder())

    assert done.code == 1
    assert told in done.first


def test_half_a_standard_drink_more_is_said() -> None:
    """117.5 ml of rum at 40 % vol are 37.1 g, 2.6 US drinks of 14 g; 60 ml are 18.9 g, 1.4 (0.789 g in a ml)."""
    done = run("adjust", "slipway", "--glass", "highball", specs=demo_folder())

    assert "2.6 standard drinks in it, 1.4 before" in done.out
    assert "standard drinks" not in run("adjust", "slipway", "--sugar", "-10%", specs=demo_folder()).out


def test_what_no_bar_would_serve_is_not_written(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(demo_folder(), specs)
    before = {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}

    done = run("adjust", "slipway", "--abv", "18%", "--write", "--yes", specs=specs)

    assert done.code == 1
    assert "not written" in done.out
    assert {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()} == before


def test_a_new_drink_is_not_signed_by_who_wrote_the_old_one(tmp_path: Path) -> None:
    specs = tmp_path / "specs"
    shutil.copytree(demo_folder(), specs)
    assert "by: Runa" in (specs / "drinks" / "chandlers-cup.yaml").read_text(encoding="utf-8")

    run("adjust", "chandlers", "--sugar", "-10%", "--as", "Dry Cup", "--yes", specs=specs)
    run("adjust", "chandlers", "--sugar", "-10%", "--as", "Drier Cup", "--by", "Nia", "--yes", specs=specs)

    assert "by:" not in (specs / "drinks" / "dry-cup.yaml").read_text(encoding="utf-8")
    assert "by: Nia" in (specs / "drinks" / "drier-cup.yaml").read_text(encoding="utf-8")


@pytest.mark.parametrize("keep", [["--write"], ["--as", "Other Cup"]])
def test_a_weighed_drink_is_written_as_it_was_announced(tmp_path: Path, keep: list[str]) -> None:
    """Its grams were of other pours; the share of melt holds. Before, 130 ml announced came back as 149."""
    specs = tmp_path / "specs"
    shutil.copytree(demo_folder(), specs)

    done = run("adjust", "chandlers", "--volume", "130ml", *keep, "--yes", "--json", specs=specs)

    drink = "other cup" if "--as" in keep else "chandlers"
    served = run("totals", drink, "--json", specs=specs).data["served"]
    assert served["volume_ml"] == pytest.approx(done.data["served"]["volume_ml"], abs=0.1)
    assert served["abv_percent"] == pytest.approx(done.data["served"]["abv_percent"], abs=0.02)
