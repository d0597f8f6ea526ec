"""`measure` as a person types it."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from tests.cli.arithmetic import mistakes, worked
from tests.cli.runner import Run, copy_of_house, edited_house, run

NOW = {"BALANCER_NOW": "2026-11-25T16:00+00:00"}
HAND = "instrument: {scale: 0-55 °Bx, division: 0.5 °Bx, atc: true, accuracy: 0.5 °Bx}\n"


def measure(*arguments: str, specs: Path | None = None, **keys: Any) -> Run:
    done = run("measure", *arguments, **({"specs": specs} if specs else {}), env=NOW, **keys)
    assert max(map(len, done.out.splitlines() or [""])) <= 80 or "--json" in arguments
    return done


def logged(specs: Path) -> list[dict[str, Any]]:
    lines = (specs / "batches.yaml").read_text(encoding="utf-8").splitlines()
    return [json.loads(line.removeprefix("- ")) for line in lines]


def test_a_reading_needs_no_files(tmp_path: Path) -> None:
    """A plain reading ±2 u, by hand: 2 √(0.5²/12 + 0.5²/3) = 0.65."""
    done = run("measure", "50.3", specs=tmp_path / "nowhere")
    assert (done.code, done.first, done.err) == (0, "50.3 °Bx ±0.6", "")


def test_json_has_the_keys_that_were_promised() -> None:
    done = measure("50.7", "--zero", "0.4", "--acid", "10g/kg", "--json")
    assert done.code == 0
    assert done.data["reading_brix"] == 50.7
    assert done.data["corrections"] == {
        "zero": 0.4,
        "temperature": 0.0,
        "acid": pytest.approx(0.20 - 1.00, abs=0.015),  # WE-42
        "invert": 0.0,
        "dilution_factor": 1.0,
    }
    assert done.data["brix"] == pytest.approx(50.7 - 0.4 - 0.80, abs=0.015)
    # 10 g/kg is 1 %, by the table 0.80 and stated to a tenth; in 49.5 °Bx it may read 0.94: 0.14 more, as limits.
    assert done.data["by_mixing"] == {
        "acid": pytest.approx(-0.94, abs=0.01),
        "brix": pytest.approx(50.7 - 0.4 - 0.94, abs=0.01),
    }
    budget = {
        "division": 0.5 / 12**0.5,
        "accuracy": 0.5 / 3**0.5,
        "zero": 0.5 / 12**0.5,
        "acid": 0.08 / 3**0.5,
        "convention": 0.14 / 3**0.5,
    }
    assert done.data["budget"] == pytest.approx(budget, abs=0.005)
    assert done.data["standard_uncertainty_brix"] == pytest.approx(math.hypot(*budget.values()), abs=0.002)
    assert done.data["warnings"] == []


def test_without_acid_nothing_is_mixed() -> None:
    assert measure("50", "--json").data["by_mixing"] is None


def test_acid_that_matters_is_told_by_both_ways_of_counting_it() -> None:
    """34 g/kg in 51 °Bx: 2.73 by the juice table, about 3.2 by mixing (0.94 a %): 51.3 and 50.8 °Bx."""
    done = measure("54", "--acid", "34g/kg", "--steps")

    assert done.first == "51.3 °Bx ±0.9"
    assert "counted as in juice; by the mixing of refractive indices it is 50.8 °Bx" in " ".join(done.out.split())
    assert "a convention for juice" in done.out
    assert mistakes(done.out.split("\n\n")[1].splitlines()) == []


@pytest.mark.parametrize(("temperature", "told"), [("22C", False), ("23C", True), ("31C", True)])
def test_a_correction_nobody_compared_with_a_print_says_so(temperature: str, told: bool) -> None:
    done = measure("50", "--no-atc", "--temperature", temperature, "--steps")

    assert ("the temperature correction above 22 °C is not checked against a print" in done.out) is told
    assert ("from a model and from memory, not checked against a print" in done.out) is told


def test_an_instrument_that_compensates_itself_has_no_correction_to_check() -> None:
    assert "print" not in measure("50", "--temperature", "28C", "--steps").out


def test_a_syrup_with_its_pours() -> None:
    """WE-35: 22.5 ml of a plain syrup at 54 is 20 ml; the berry's acid and invert sugar come off first."""
    done = measure("54", "--syrup", "berry")
    assert done.code == 0
    assert done.first.startswith("53.7 °Bx ±0.7: pour berry syrup ")
    assert "22.5 → 20" in done.first
    assert "  read 54: acid −0.7, invert sugar +0.4" in done.out
    assert "at standard (50 °Bx) your refractometer should read 50.3" in done.out


def test_a_syrup_at_standard() -> None:
    done = measure("50.3", "--syrup", "berry")
    assert done.first == "50 °Bx ±0.7: berry syrup, pour as written"


def test_grams_per_kilogram() -> None:
    done = measure("54", "--syrup", "plain")
    assert "80 g water per kg" in done.out


def test_the_trap_of_doubling(tmp_path: Path) -> None:
    """WE-68: equal volumes of 60 °Bx and water read 33.8, and doubling would have claimed 67.6."""
    done = measure("33.8", "--dilute", "30ml+30ml", "--syrup", "rich", specs=edited_instrument(tmp_path))
    assert done.first.startswith("60 °Bx ±1.6: ")
    assert "times 2 would have claimed 67.6 °Bx" in done.out
    assert "the dilution by volume costs you ±1.3" in done.out
    weighed = measure("30", "--dilute", "100g+100g")
    assert weighed.first == "60 °Bx ±1.3"
    assert "claimed" not in weighed.out


def edited_instrument(folder: Path) -> Path:
    return edited_house(folder, "house.yaml", "scale: {division: 1 g}\n", "scale: {division: 1 g}\n" + HAND)


def test_the_end_of_the_scale(tmp_path: Path) -> None:
    specs = edited_instrument(tmp_path)
    done = measure("55", "--syrup", "rich", specs=specs)
    assert done.first == "55 °Bx ±0.6 or more: dilute and read again"
    assert "mix 100 g of it with 25 g water" in done.out
    told = measure("60", "--syrup", "rich", "--json", specs=specs)
    assert told.code == 0
    assert "beyond your refractometer" in told.data["warnings"][0]
    assert told.data["proposal"]["water_g"] == 25.0
    assert told.data["advice"] == "read again"
    assert measure("60", "--scale", "0-90", "--json", specs=specs).data["warnings"] == []


def test_options_stand_over_the_houses_instrument(tmp_path: Path) -> None:
    specs = edited_instrument(tmp_path)
    fine = measure("50", "--division", "0.1", "--accuracy", "0,2", "--json", specs=specs)
    assert fine.data["standard_uncertainty_brix"] == pytest.approx((0.1**2 / 12 + 0.2**2 / 3) ** 0.5)


def test_temperature_without_compensation() -> None:
    """OIV-MA-AS2-02, Table I: 0.31 °Bx off at 50 °Bx and 16 °C; the same in °F."""
    done = measure("50", "--no-atc", "--temperature", "16C", "--json")
    assert done.data["corrections"]["temperature"] == pytest.approx(-0.31, abs=0.024)
    fahrenheit = measure("50", "--no-atc", "--temperature", "60.8F", "--json")
    assert fahrenheit.data["brix"] == pytest.approx(done.data["brix"])
    assert measure("50", "--no-atc").code == 2
    assert measure("50", "--no-atc", "--temperature", "45C").code == 1


def test_alcohol() -> None:
    refused = measure("50", "--abv", "2%")
    assert (refused.code, refused.out) == (1, "")
    assert "before the spirit goes in" in refused.err
    told = measure("50", "--abv", "2%", "--json")
    assert told.data["problems"][0]["code"] == "alcohol-reading"
    little = measure("50", "--abv", "0.5")
    assert little.code == 0
    assert "read before the spirit goes in" in little.out
    assert measure("50", "--abv", "0", "--json").data["warnings"] == []


def test_several_readings() -> None:
    done = measure("50", "50,5", "54")
    assert done.first.startswith("51.5 °Bx ±2.6")
    assert "54 stands apart" in done.out
    assert "your readings differ, which costs you ±2.5" in done.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "balancer measure needs READING ... [SYRUP]"),
        (["0"], "READING: "),
        (["wet"], "READING: "),
        (["nan"], "READING: "),
        (["90"], "READING: "),
        (["50g"], "READING: "),
        (["50", "--scale", "55"], '--scale: "55" is not the range'),
        (["50", "--scale", "55-0"], "--scale: "),
        (["50", "--division", "0"], "--division: "),
        (["50", "--accuracy", "fine"], "--accuracy: "),
        (["50", "--acid", "1%"], "--acid: "),
        (["50", "--acid", "12"], "--acid: "),
        (["50", "--dilute", "100g"], "is not sample and water"),
        (["50", "--dilute", "100+100"], "--dilute: "),
        (["50", "--dilute", "0g+100g"], "--dilute: "),
        (["50", "--dilute", "100g+2C"], "--dilute: "),
        (["50", "--temperature", "warm"], "--temperature: "),
        (["50", "--cause", "weather"], "--cause: "),
        (["50", "--log"], "--log: nothing says which syrup"),
        (["50", "--syrup", "nonsuch"], 'no syrup is called "nonsuch"'),
        (["50", "--batch", "BER-9"], 'no batch is called "BER-9"'),
    ],
)
def test_wrong_usage(arguments: list[str], said: str) -> None:
    done = measure(*arguments)
    assert (done.code, done.out) == (2, "")
    assert said in done.err


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["50", "--dilute", "100g+100g"], "no-strength"),
        (["0.3", "--zero", "0.4"], "no-strength"),
        (["3", "--acid", "40g/kg"], "no-strength"),
        (["50", "--acid", "500g/kg"], "value"),
    ],
)
def test_what_cannot_be_a_syrup(arguments: list[str], code: str) -> None:
    done = measure(*arguments, "--json")
    assert (done.code, done.data["problems"][0]["code"]) == (1, code)
    assert done.data["problems"][0]["remedy"]


def test_a_negative_zero() -> None:
    assert measure("50", "--zero", "-0.4", "--json").data["brix"] == pytest.approx(50.4)


@pytest.mark.parametrize(
    "arguments",
    [
        ["50", "50.5", "51", "--zero", "0.4"],
        ["33.8", "--dilute", "30ml+30ml"],
        ["31.2", "--dilute", "100g+100g", "--acid", "8g/kg", "--no-atc", "--temperature", "25C"],
        ["53.2", "--syrup", "berry"],
    ],
)
def test_the_working_can_be_followed(arguments: list[str]) -> None:
    lines = measure(*arguments, "--steps").out.split("\n\n")[1].splitlines()
    assert mistakes(lines) == []
    assert worked(lines) >= 2


# The log


def test_a_first_reading_makes_a_batch(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = measure("54.5", "--syrup", "plain", "--log", "--by", "MK", specs=specs)
    assert done.code == 0
    assert "new batch: write PLA-1 on its tape; next: balancer correct --batch PLA-1" in done.out
    (entry,) = logged(specs)
    assert {key: entry[key] for key in ("batch", "syrup", "event", "brix", "uncertainty", "made", "by")} == {
        "batch": "PLA-1",
        "syrup": "plain-syrup",
        "event": "made",
        "brix": 54.5,
        "uncertainty": 0.32,
        "made": "2026-11-25",
        "by": "MK",
    }


def test_a_reading_belongs_to_the_open_batch(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "52", "--open", specs=specs, env=NOW)
    done = measure("51", "--syrup", "plain", "--log", "--json", specs=specs)
    assert done.data["batch"] == "PLA-1"
    assert [entry["event"] for entry in logged(specs)] == ["made", "open", "reading"]
    named = measure("50.5", "--batch", "pla 1", "--log", specs=specs)
    assert "logged for PLA-1" in named.out
    assert logged(specs)[-1]["brix"] == 50.5


def test_readings_too_far_apart_are_not_logged(tmp_path: Path) -> None:
    """What is told are the numbers that were read, and what to do; nothing of what would stand in the log."""
    specs = copy_of_house(tmp_path)
    done = measure("50", "4", "plain", "--log", "--yes", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert done.err.splitlines() == ["50 and 4 °Bx are too far apart to log", "  stir, read again and log that"]
    thinned = ("--accuracy", "10", "--dilute", "20g+60g")  # 10 / √3 × 4 is 23
    unsure = measure("16", "plain", *thinned, "--log", "--yes", specs=specs)
    assert (unsure.code, unsure.err.splitlines()[0]) == (1, "16 °Bx is too unsure to log")
    assert not (specs / "batches.yaml").exists()


def test_a_batch_may_be_read_without_logging(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "52", specs=specs, env=NOW)
    done = measure("51", "--batch", "PLA-1", specs=specs)
    assert (done.code, len(logged(specs))) == (0, 1)


def test_two_open_batches_must_be_told_apart(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    for _ in range(2):
        run("batch", "add", "plain", "--brix", "52", "--open", specs=specs, env=NOW)
    done = measure("51", "--syrup", "plain", "--log", specs=specs)
    assert (done.code, len(logged(specs))) == (2, 4)
    assert "PLA-1, PLA-2 are open" in done.err
    assert "balancer measure 51 PLA-1 --log or balancer measure 51 PLA-2 --log" in done.err


def test_a_batch_of_another_syrup(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "52", specs=specs, env=NOW)
    done = measure("51", "--batch", "PLA-1", "--syrup", "berry", specs=specs)
    assert done.code == 2
    assert "PLA-1 is plain syrup" in done.err


def test_the_end_of_the_scale_is_not_logged(tmp_path: Path) -> None:
    specs = edited_instrument(tmp_path)
    done = measure("55", "--syrup", "plain", "--log", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert not (specs / "batches.yaml").exists()


def test_a_torn_line_touches_the_answer(tmp_path: Path) -> None:
    """The batch is read from the log, so a line that may have been about it is told, and the exit code says so."""
    specs = copy_of_house(tmp_path)
    run("batch", "add", "plain", "--brix", "52", "--open", specs=specs, env=NOW)
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "PLA-1", "eve\n')
    done = measure("51", "--batch", "PLA-1", specs=specs)
    assert (done.code, done.first) == (1, "51 °Bx ±0.6: plain syrup, pour as written")
    assert "batches.yaml:3" in done.err


@pytest.mark.parametrize(
    ("typed", "brix"),
    [
        ("1.4201nD", 50.0),  # [ICUMSA1974] prints 1.42009 for 50 °Bx
        ("1.4201 n", 50.0),
        ("n=1.4201", 50.0),
        ("1.2317SG", 50.0),  # 1229.6 kg/m³ [CRC] over 998.2
        ("sg 1,2317", 50.0),
    ],
)
def test_another_scale_by_its_unit_word(typed: str, brix: float) -> None:
    done = measure(typed, "--json")
    assert done.code == 0
    assert done.data["brix"] == pytest.approx(brix, abs=0.1)
    assert done.data["read"][0]["scale"] in ("nD", "SG")
    assert measure(*typed.split()).out == measure(typed).out


@pytest.mark.parametrize(
    ("typed", "asked", "written"),
    [
        ("1.333", "a refractive index (0 °Bx) or a specific gravity (67 °Bx)?", ["1.333nD", "1.333SG"]),
        ("1.4201", "a refractive index (50 °Bx) or a specific gravity (81 °Bx)?", ["1.4201nD", "1.4201SG"]),
        ("1.235", "a specific gravity (51 °Bx)?", ["1.235SG"]),
    ],
)
def test_a_bare_index_is_asked_about(typed: str, asked: str, written: list[str]) -> None:
    """Before, measure 1.333 was 1.3 °Bx."""
    done = measure(typed)
    assert (done.code, done.out) == (2, "")
    assert asked in done.err
    for remedy in written:
        assert remedy in done.err
        assert measure(remedy, "--yes").code == 0


@pytest.mark.parametrize(("typed", "meant"), [("0.54", "54"), ("540", "54"), ("0.5", "50"), ("5200", "52")])
def test_a_lost_decimal_point_is_doubted(typed: str, meant: str) -> None:
    done = measure(typed, "plain")
    assert (done.code in (1, 2), done.out) == (True, "")
    assert meant in done.err
    assert measure(meant, "plain").code == 0


def test_plain_water_may_be_read_to_find_the_zero() -> None:
    """Without a syrup nothing is refused, and what looks like a slip is said."""
    done = measure("0.2", "0.3")
    assert done.code == 0
    assert "hardly more than water" in done.out
    assert "--zero 0.25" in done.out


def test_what_is_meant_is_answered() -> None:
    assert measure("1.5brix", "--yes").first.startswith("1.5 °Bx")
    assert measure("12").code == 0, "a juice"


def test_a_warm_reading_is_not_logged(tmp_path: Path) -> None:
    """Before, 41 °C was warned of and logged."""
    specs = copy_of_house(tmp_path)
    warm = ("51", "--syrup", "plain", "--temperature", "41C")
    done = measure(*warm, "--log", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert "41 °C is too warm to log a reading: let it cool, covered, below 30 °C" in done.err
    assert not (specs / "batches.yaml").exists()
    assert measure(*warm, specs=specs).code == 0, "looking is free"
    assert measure(*warm, "--log", "--yes", specs=specs).code == 0
    assert logged(specs)[0]["brix"] == 51.0


def test_one_instrument_at_a_time() -> None:
    assert "are not on one scale" in measure("54", "1.42nD").err
    assert measure("1.2317SG", "--zero", "0.4").code == 2
    assert measure("1.2317SG", "--no-atc").code == 0, "a hydrometer compensates for nothing, and 20 °C is told"
    assert "taken at 20 °C" in measure("1.2317SG").out


@pytest.mark.parametrize("log", [b"\xff\xfe\x00", None, b"- {broken\n"])
def test_a_log_that_cannot_be_read_stands_in_the_way_of_what_needs_it(tmp_path: Path, log: bytes | None) -> None:
    """`--alone` asks nothing of it, and failed all the same; without it nobody was told of `--alone`."""
    specs = copy_of_house(tmp_path)
    sound = run("measure", "54", "berry", "--alone", specs=specs)
    path = specs / "batches.yaml"
    path.unlink(missing_ok=True)
    path.mkdir() if log is None else path.write_bytes(log)
    assert run("measure", "54", "berry", "--alone", specs=specs) == sound
    if log == b"- {broken\n":  # of which one line alone is lost
        return
    hint = "--alone measures without it"
    for words, has_hint in (
        (["berry"], True),
        (["BER-1"], False),
        (["berry", "--log"], False),
        (["BER-1", "--alone"], False),
    ):
        done = run("measure", "54", *words, specs=specs)
        assert (done.code, done.out) == (1, "")
        assert "what is open is unknown" in done.err
        assert (hint in done.err) == has_hint
