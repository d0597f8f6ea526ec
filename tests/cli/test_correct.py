"""`correct` as a person types it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.arithmetic import mistakes, worked
from tests.cli.runner import Run, copy_of_house, edited_house, run

NOW = {"BALANCER_NOW": "2026-11-25T16:00+00:00"}
US_OUNCE = ("house.yaml", "ounce: 30 ml\n", "")
JUICED = """
ingredient: pineapple juice
sugar: 128 g/kg
acid: 9 g/kg
allergens: []
"""
KEYS = {
    "add",
    "add_g",
    "add_ml",
    "first_add_g",
    "final_mass_g",
    "final_volume_ml",
    "final_brix",
    "final_reading_brix",
    "fits",
    "warnings",
}


def correct(line: str, specs: Path | None = None) -> Run:
    done = run("correct", *line.split(), **({"specs": specs} if specs else {}), env=NOW)
    assert max(map(len, done.out.splitlines() or [""])) <= 80 or "--json" in line
    return done


def data(line: str, specs: Path | None = None) -> Any:
    done = correct(f"{line} --json", specs)
    assert (done.code, done.err) == (0, "")
    assert set(done.data) >= KEYS
    return done.data


def test_two_litres_with_water(tmp_path: Path) -> None:
    """WE-25: 200 g, which are 201 ml, and 2.20 l in the end; no folder is needed for it."""
    done = correct("--brix 54 --volume 2l --target 50 --with water", tmp_path / "nowhere")
    assert (done.code, done.err) == (0, "")
    assert done.first == "add 201 ml water to the syrup: 54 °Bx → 50, 2.00 l → 2.20 l"
    found = data("--brix 54 --volume 2l --target 50 --with water")
    assert found["add"] == "water"
    assert found["add_g"] == pytest.approx(200.0, abs=2.0)
    assert found["final_volume_ml"] == pytest.approx(2199.0, abs=5.0)
    assert found["final_brix"] == pytest.approx(50.0)
    assert found["final_reading_brix"] == pytest.approx(50.0)
    assert found["fits"] is None
    assert 0.0 < found["first_add_g"] < found["add_g"]


def test_with_a_scale_it_is_weighed() -> None:
    done = correct("--brix 54 --volume 2l --target 50 --with water")
    assert done.first == "add 200 g water to the syrup: 54 °Bx → 50, 2.00 l → 2.20 l"


def test_two_litres_with_sugar() -> None:
    """WE-26: 193 g, and 2122 ml in the end."""
    found = data("--syrup plain --brix 46 --volume 2l --with sugar")
    assert (found["add"], found["add_ml"]) == ("sugar", None)
    assert found["add_g"] == pytest.approx(193.0, abs=2.0)
    assert found["final_volume_ml"] == pytest.approx(2122.0, abs=5.0)


def test_the_trap_of_millilitres() -> None:
    """WE-27: taking ml for g adds 160 g and ends at 50.8 °Bx."""
    (warning,) = data("--brix 54 --volume 2l --target 50 --with water")["warnings"]
    assert "160 g" in warning
    assert "50.8 °Bx" in warning
    assert data("--brix 54 --mass 2kg --target 50 --with water")["warnings"] == []


def test_the_trap_of_ounces(tmp_path: Path) -> None:
    """WE-58: 16 oz of a 50 °Bx syrup on a scale are 12.5 US fluid ounces, 22 % short."""
    done = correct("--syrup plain --brix 50 --mass 16oz", edited_house(tmp_path, *US_OUNCE))
    assert (done.code, done.out) == (2, "")
    assert "12.5 fluid oz" in done.err
    assert "22 % short" in done.err
    assert "--volume 16oz" in done.err
    assert data("--syrup plain --brix 54 --volume 16oz")["mass_g"] == pytest.approx(16 * 30 * 1.2519, abs=0.2)


@pytest.mark.parametrize(
    ("line", "grams"),
    [
        ("--brix 54 --mass 2kg --target 50 --with water", 160.0),  # WE-24
        ("--brix 66.67 --mass 1000g --target 50 --with water", 333.4),  # WE-28
        ("--brix 12.8 --mass 1kg --target 50 --with sugar", 744.0),  # WE-29
        ("--brix 82 --mass 100g --target 50 --with water", 64.0),  # WE-31
        ("--brix 54 --mass 2kg --target 50 --with 12.8", 215.05),  # WE-70
        ("--brix 10 --mass 45g --target 15 --with 60°Bx", 5.0),  # WE-23
        ("--brix 54 --mass 2kg --target 50 --with 0", 160.0),
        ("--brix 46 --mass 2kg --target 50 --with 100", 160.0),
        ("--syrup honey --brix 46 --mass 1kg --with rich", 239.5),  # 1000 x 4/16.7
    ],
)
def test_grams_to_add(line: str, grams: float) -> None:
    """Worked examples, m (T - B)/(R - T)."""
    assert data(line)["add_g"] == pytest.approx(grams, abs=0.1)


def test_something_of_the_house(tmp_path: Path) -> None:
    """WE-70 with juice of 128 g/kg: 215 g, and its acid comes along: 215.05 × 9/2215 = 0.87 g/kg."""
    specs = copy_of_house(tmp_path, ingredients__juice=JUICED)
    found = data("--syrup plain --brix 54 --mass 2kg --with pine", specs)
    assert (found["add"], found["name"]) == ("pineapple-juice", "pineapple juice")
    assert found["add_g"] == pytest.approx(215.0, abs=0.5)
    assert found["acid_g_per_kg"]["after"] == pytest.approx(0.87, abs=0.01)
    assert "pineapple juice brings acid: 0 → 0.9 g/kg" in found["warnings"]


def test_a_hundred_ml_when_nobody_knows_how_much() -> None:
    """100 ml of 54 °Bx weigh 125.2 g: 10 ml of water."""
    done = correct("--syrup plain --brix 54")
    assert done.first == "add 10 ml water to every 100 ml of plain syrup: 54 °Bx → 50"
    weak = data("--syrup plain --brix 46")
    assert (weak["add"], weak["basis"]) == ("rich-syrup", "per 100 ml")
    assert weak["add_ml"] == pytest.approx(120.79 * 4.0 / 16.7 / 1.3267, abs=0.05)


def test_the_target_is_the_standard_unless_asked_for() -> None:
    assert data("--syrup rich --brix 70 --mass 1kg")["target_brix"] == pytest.approx(66.7)
    assert data("--syrup rich --brix 70 --mass 1kg --target 60")["target_brix"] == 60.0


def test_what_the_scale_shows_in_the_end() -> None:
    """Berry syrup with 9 g/kg acid, 8.33 after 80 g of water per kg: the table takes it off, invert sugar adds."""
    found = data("--syrup berry --brix 54 --mass 1kg")
    shown = found["final_reading_brix"]
    measured = run("measure", repr(shown), "--syrup", "berry", "--acid", f"{9 / 1.08}g/kg", "--json").data
    assert measured["brix"] == pytest.approx(50.0, abs=1e-6)
    assert shown > 50.0


def test_the_ways_side_by_side() -> None:
    done = correct("--syrup berry --brix 54 --mass 2kg")
    assert done.first.startswith("add 160 g water to berry syrup: ")
    assert "or leave it and pour " in done.out
    assert "9 % less flavour, 9 % less acid" in done.out
    assert [way["add"] for way in data("--syrup berry --brix 46 --mass 2kg")["alternatives"]] == ["rich-syrup"]


def test_stages() -> None:
    """2 kg at 54 to 50, unstirred: two of √(0.32² + 1²) °Bx are worth 84 g less at first."""
    done = correct("--syrup plain --brix 54 --mass 2kg")
    assert "first 76 g, stir, read again, then the rest: 54 may be 2.1 off unstirred" in done.out
    stirred = correct("--syrup plain --brix 54 --mass 2kg --stirred")
    assert "first 134 g, stir, read again, then the rest: 54 may be 0.6 off" in stirred.out
    assert "unstirred" not in stirred.out
    sure = data("--syrup plain --brix 54 --mass 2kg --uncertainty 0")
    assert sure["first_add_g"] == pytest.approx(160.0, abs=0.05)
    near = correct("--syrup plain --brix 51 --mass 2kg")
    assert "stir and read again before adding any" in near.out
    assert "or leave it: within 1 °Bx, which prep lets pass" in near.out


def test_nothing_to_add() -> None:
    done = correct("--syrup plain --brix 50 --mass 2kg")
    assert done.first == "nothing to add: plain syrup is at 50 °Bx"
    assert data("--syrup plain --brix 50 --mass 2kg")["add"] is None


@pytest.mark.parametrize(("line", "remedy"), [("46 --with water", "use sugar"), ("54 --with sugar", "use water")])
def test_a_target_that_is_not_between(line: str, remedy: str) -> None:
    done = correct(f"--syrup plain --mass 1kg --brix {line}")
    assert (done.code, done.out) == (1, "")
    assert "cannot bring" in done.err
    assert f"{remedy}: 80 g per kg" in done.err
    told = correct(f"--syrup plain --mass 1kg --brix {line} --json")
    assert (told.code, told.data["problems"][0]["code"]) == (1, "not-between")


def test_the_container() -> None:
    """2 l become 2.20 l: in 2 l only 1.82 l of it can be corrected."""
    done = correct("--syrup plain --brix 54 --volume 2l --container 2l")
    assert "does not fit: 2.20 l in 2.00 l; correct at most 1.82 l of it there" in done.out
    assert data("--syrup plain --brix 54 --volume 2l --container 2l")["fits"] is False
    fits = correct("--syrup plain --brix 54 --volume 2l --container 4l")
    assert "fits: 2.20 l in 4.00 l" in fits.out


def test_crystals() -> None:
    """WE-67: 66.7 °Bx is over-saturated in a refrigerator."""
    (warning,) = data("--syrup rich --brix 70 --mass 1kg")["warnings"]
    assert "crystals may grow at 4 °C" in warning
    assert data("--syrup plain --brix 54 --mass 1kg")["warnings"] == []


def test_ounces_where_the_house_shows_ounces(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "show: ml", "show: oz")
    done = correct("--syrup plain --brix 54 --volume 60oz", specs)
    assert done.first == "add 180 g water to plain syrup: 54 °Bx → 50, 60 oz → 66 oz"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("", "nothing says how strong the batch is"),
        ("--brix 54", "nothing says how strong it should become"),
        ("--syrup plain", "nothing says how strong the batch is"),
        ("--brix nan --target 50", "--brix: "),
        ("--brix 54 --target 0", "--target: "),
        ("--brix 54 --target 50 --mass 2", "--mass: "),
        ("--brix 54 --target 50 --mass 0g", "--mass: "),
        ("--brix 54 --target 50 --mass 2l", "--mass: "),
        ("--brix 54 --target 50 --volume 2kg", "--volume: "),
        ("--brix 54 --target 50 --mass 2kg --volume 2l", "--mass and --volume"),
        ("--brix 54 --target 50 --container 2kg", "--container: "),
        ("--brix 54 --target 50 --uncertainty wide", "--uncertainty: "),
        ("--brix 54 --target 50 --with 120", "--with: "),
        ("--brix 54 --target 50 --with nonsuch", '--with: no syrup or ingredient is called "nonsuch"'),
        ("--syrup nonsuch --brix 54", 'no syrup is called "nonsuch"'),
        ("--batch PLA-9", 'no batch is called "PLA-9"'),
    ],
)
def test_wrong_usage(line: str, said: str) -> None:
    done = correct(line)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert len(done.err.splitlines()) >= 2


@pytest.mark.parametrize(("line", "code"), [("--with gin", "alcohol-reading"), ("--with mystery", "sugar-unknown")])
def test_what_cannot_be_stirred_in(tmp_path: Path, line: str, code: str) -> None:
    specs = copy_of_house(tmp_path, ingredients__mystery="ingredient: mystery fruit\nallergens: []\n")
    done = correct(f"--syrup plain --brix 54 --mass 1kg {line} --json", specs)
    assert (done.code, done.data["problems"][0]["code"]) == (1, code)


@pytest.mark.parametrize(
    "line",
    [
        "--brix 54 --volume 2l --target 50 --with water",
        "--syrup berry --brix 46 --mass 2kg",
        "--syrup plain --brix 46",
        "--brix 54 --mass 2kg --target 50 --with 12.8",
        "--syrup plain --brix 51 --mass 2kg",
    ],
)
def test_the_working_can_be_followed(line: str) -> None:
    lines = correct(f"{line} --steps").out.split("\n\n")[1].splitlines()
    assert mistakes(lines) == []
    assert worked(lines) >= 5


def test_working_that_is_wrong_would_be_seen() -> None:
    assert mistakes(["  2000.00 g × (54 − 50) ÷ 50 = 161.00 g water"])
    assert not mistakes(["  2000.00 g × (54 − 50) ÷ 50 = 160.00 g water"])


# With the log


def test_a_batch_from_reading_to_standard(tmp_path: Path) -> None:
    """Made, corrected in stages, read again: each command is the one that the last one told."""
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "54", "--mass", "2kg", specs=specs, env=NOW)
    first = correct("--batch PLA-1", specs)
    assert first.first == "add 160 g water to PLA-1: 54 °Bx → 50, 2000 g → 2160 g"
    told = re.search(r"log the first: balancer (batch correct PLA-1 --brix [0-9.]+ --mass [0-9]+g)", first.out)
    assert told
    assert run(*told[1].split(), specs=specs, env=NOW).code == 0
    unread = correct("--batch PLA-1", specs)
    assert "PLA-1 was corrected and not read since: read it first" in unread.out
    run("measure", "52.5", "--batch", "PLA-1", "--log", specs=specs, env=NOW)
    rest = correct("--batch PLA-1", specs)
    assert rest.first == "add 104 g water to PLA-1: 52.5 °Bx → 50, 2076 g → 2180 g"
    assert "unstirred" not in rest.out  # read again after a stir
    assert "not read since" not in rest.out


def test_the_syrups_only_batch_is_meant(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "54", "--mass", "2kg", specs=specs, env=NOW)
    assert data("--syrup plain", specs)["batch"] == "PLA-1"
    assert data("--syrup plain --brix 46 --mass 1kg", specs)["batch"] is None
    fresh = data("--batch PLA-1 --brix 46 --mass 1kg", specs)
    assert (fresh["batch"], fresh["batch_brix"], fresh["mass_g"]) == ("PLA-1", 46.0, 1000.0)


def test_a_batch_in_use_is_not_what_it_weighed(tmp_path: Path) -> None:
    """Some of it is poured: the mass in the log is a guess, ±5 %."""
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "54", "--mass", "2kg", "--open", specs=specs, env=NOW)
    assert data("--batch PLA-1", specs)["standard_uncertainty_g"] == pytest.approx(100.0)
    assert data("--batch PLA-1 --mass 1800g", specs)["standard_uncertainty_g"] == pytest.approx(0.2887, abs=1e-4)


def test_another_syrups_open_batch_counts_as_it_was_read(tmp_path: Path) -> None:
    """1000 × 4/(64 − 50) g of a rich syrup that came out at 64."""
    specs = copy_of_house(tmp_path)
    run("batch", "add", "rich", "--brix", "64", "--open", specs=specs, env=NOW)
    found = data("--syrup plain --brix 46 --mass 1kg --with rich", specs)
    assert found["add_g"] == pytest.approx(1000.0 * 4.0 / 14.0, abs=0.01)


def test_a_batch_never_read(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", specs=specs, env=NOW)
    done = correct("--batch PLA-1", specs)
    assert (done.code, done.out) == (1, "")
    assert "balancer measure READING --batch PLA-1 --log" in done.err


def test_a_torn_line_touches_what_comes_from_the_log(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "54", "--mass", "2kg", specs=specs, env=NOW)
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "PLA-1", "eve\n')
    done = correct("--batch PLA-1", specs)
    assert done.code == 1
    assert "batches.yaml:2" in done.err
    # What the menu pours beside it comes from the log too; of no syrup in particular, nothing does.
    assert correct("--syrup plain --brix 54 --mass 1kg --with water", specs).code == 1
    assert correct("--brix 54 --target 50 --mass 1kg --with water", specs).code == 0


def test_without_a_log_that_can_be_read(tmp_path: Path) -> None:
    """What to add does not hang on it, and `--alone` says so."""
    specs = copy_of_house(tmp_path)
    (specs / "batches.yaml").symlink_to(tmp_path / "nowhere")
    assert correct("--syrup berry --brix 54", specs).code == 1
    alone = correct("--syrup berry --brix 54 --alone", specs)
    assert "water to every 100 ml of berry syrup" in alone.out
