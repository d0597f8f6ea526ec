"""The batch log as a bar keeps it: typed, read back, undone."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path
from typing import Any

import pytest

from balancer.files.log.batch_log import FILE
from tests.cli.runner import Run, copy_of_house, process, run

KEPT = """\
- syrup: raspberry syrup
  standard: 50 °Bx
  keeps: 7 days
- syrup: rasp shrub
  standard: 40 °Bx
  keeps: 14 days
- syrup: ginger syrup
  standard: 50 °Bx
  keeps: 10 days
"""
BOUGHT = """\
- ingredient: ginger
  sugar: 17 g/kg
- ingredient: squeezed lime
  sugar: 16.9 g/kg
  acid: 46 g/l
  keeps: 1 day
"""
EVENING = "2026-11-25T18:04:05.000001+01:00"


class House:
    """A copy of the house, and a clock that a test sets."""

    def __init__(self, folder: Path) -> None:
        self.specs = copy_of_house(folder, syrups__kept=KEPT, ingredients__bought=BOUGHT)
        self.now = EVENING

    def batch(self, *words: str) -> Run:
        return run("batch", *words, specs=self.specs, env={"BALANCER_NOW": self.now})

    def ok(self, *words: str) -> Run:
        done = self.batch(*words)
        assert (done.code, done.err) == (0, ""), done
        return done

    @property
    def lines(self) -> list[dict[str, Any]]:
        path = self.specs / FILE
        text = path.read_text(encoding="utf-8") if path.exists() else ""
        return [json.loads(line.removeprefix("- ")) for line in text.splitlines()]

    def listed(self) -> dict[str, dict[str, Any]]:
        return {item["batch"]: item for item in self.ok("list", "--json").data["batches"]}

    def states(self) -> dict[str, str]:
        return {identity: item["state"] for identity, item in self.listed().items()}


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def test_add_answers_with_the_tape(house: House) -> None:
    done = house.ok("add", "raspberry", "--brix", "46,5", "--mass", "2kg", "--by", "Ida", "--cause", "watered")
    assert done.out.splitlines() == [
        "RAS-1: write it on the tape (raspberry syrup, allergens unknown)",
        "  strength          46.5 °Bx, 3.5 below standard 50",
        "  made              25 Nov by Ida",
        "  last day of use   1 Dec, the day made being day 1",
        "  weighed           2000 g",
        "  next              balancer correct --batch RAS-1",
        "more: a slip? balancer batch undo RAS-1 1; local food rules decide how long it",
        "    keeps: balancer safety",
    ]
    assert house.lines == [
        {
            "batch": "RAS-1", "syrup": "raspberry-syrup", "event": "made", "brix": 46.5, "cause": "watered",
            "mass": 2000, "made": "2026-11-25", "discard": "2026-12-01", "by": "Ida", "at": EVENING,
        }
    ]  # fmt: skip


def test_add_in_json(house: House) -> None:
    data = house.ok("add", "raspberry", "--brix", "46.5", "--uncertainty", "0.3", "--json").data
    assert (data["batch"], data["syrup"], data["brix"], data["state"]) == ("RAS-1", "raspberry-syrup", 46.5, "made")
    assert (data["made"], data["discard"], data["uncertainty_brix"]) == ("2026-11-25", "2026-12-01", 0.3)
    assert data["warnings"] == []


def test_syrups_that_share_letters_share_numbers(house: House) -> None:
    for name in ("raspberry", "rasp shrub", "raspberry"):
        house.ok("add", name)
    assert [line["batch"] for line in house.lines] == ["RAS-1", "RAS-2", "RAS-3"]


def test_a_name_of_both_is_the_syrup_unless_its_acid_is_given(house: House) -> None:
    house.ok("add", "ginger", "--brix", "50")
    house.ok("add", "squeezed", "--acid", "52g/l", "--open")
    house.ok("add", "ginger", "--acid", "1 g/kg")
    assert [line.get("syrup") for line in house.lines] == ["ginger-syrup", "squeezed-lime", None, "ginger"]
    assert house.listed()["SQU-1"]["acid"] == {"value": 52.0, "unit": "g/l"}
    assert house.states()["SQU-1"] == "open"


def test_measured_juice(house: House) -> None:
    done = house.ok("add", "squeezed", "--acid", "52 g/l")
    assert "  acid              52 g/l, specs count on 46 g/l" in done.out
    assert "  last day of use   25 Nov, the day made being day 1" in done.out
    assert "strength" not in done.out


@pytest.mark.parametrize(
    ("now", "made", "day"),
    [
        ("2026-11-26T03:30+01:00", None, "2026-11-25"),
        ("2026-11-26T06:00+01:00", None, "2026-11-26"),
        (EVENING, "yesterday", "2026-11-24"),
        (EVENING, "20.11.2026", "2026-11-20"),
        ("2026-11-26T03:30+01:00", "2026-11-26", "2026-11-26"),
    ],
)
def test_the_day_it_was_made(house: House, now: str, made: str | None, day: str) -> None:
    """Until the house's day ends, at six when it does not say, it is still yesterday."""
    house.now = now
    house.ok("add", "raspberry", *(["--made", made] if made else []))
    assert house.lines[0]["made"] == day


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["add", "nonsuch"], 'no syrup is called "nonsuch"'),
        (["add", "raspberry", "--brix", "90"], "--brix: "),
        (["add", "raspberry", "--mass", "2"], "2 kg or 2 g? write the unit, like --mass 2kg"),
        (["add", "raspberry", "--mass", "2.1 l"], "weigh it"),
        (["add", "raspberry", "--acid", "9 g/kg"], "a syrup's acid stands in its file"),
        (["add", "squeezed", "--acid", "5 %"], "write 50 g/kg; if it is 5 g in 100 ml, 50 g/l"),
        (["add", "raspberry", "--made", "04/05/2026"], "write 2026-04-05 or 2026-05-04"),
        (["add", "raspberry", "--made", "2026-11-26"], "still to come"),
        (["add", "raspberry", "--discard", "2026-11-24"], "before it was made"),
        (["add", "raspberry", "--cause", "hail"], "choose boiled, watered, sugar"),
        (["reading", "RAS-1"], "give --brix"),
        (["open", "RAS-1"], 'no batch is called "RAS-1"'),
        (["open"], "balancer batch open needs BATCH"),
        (["frob"], 'balancer batch has no command "frob"'),
    ],
)
def test_wrong_usage_logs_nothing(house: House, words: list[str], said: str) -> None:
    done = house.batch(*words)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert house.lines == []


def test_the_clock_for_tests_is_checked_too(house: House) -> None:
    house.now = "teatime"
    assert "BALANCER_NOW" in house.batch("list").err


def test_from_opening_to_empty(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "50.2")
    house.ok("add", "raspberry", "--brix", "49")
    assert house.ok("open", "ras-1").first == "RAS-1 raspberry syrup is open"
    assert house.ok("open", "Ras 2", "--replaces", "ras1").first == "RAS-2 raspberry syrup is open; RAS-1 is empty"
    assert house.ok("empty", "raspberry").first == "RAS-2 raspberry syrup is empty"
    assert house.states() == {"RAS-1": "empty", "RAS-2": "empty"}
    assert house.lines[3]["refers"] == ["RAS-1"]


def test_what_to_heed_when_opening(house: House) -> None:
    house.ok("add", "raspberry", "--made", "2026-11-20", "--brix", "50")
    house.ok("add", "raspberry", "--brix", "50", "--open")
    house.ok("add", "raspberry", "--brix", "50")
    said = house.ok("open", "RAS-3").out
    assert "RAS-2 is open too: use one up first, then balancer batch empty RAS-2" in " ".join(said.split())
    assert "RAS-1 is older and not open yet: the oldest goes first" in said
    late = house.ok("open", "RAS-1", "--json").data
    assert late["warnings"] == [
        "RAS-2 and RAS-3 are open too: use one up first, then balancer batch empty RAS-2",
    ]


def test_an_unknown_last_day_is_never_none(house: House) -> None:
    done = house.ok("add", "plain", "--brix", "50")
    assert "last day of use   unknown: the file of plain syrup has no keeps" in done.out
    assert house.listed()["PLA-1"]["discard"] is None
    assert "unknown" in house.ok("add", "plain", "--json").data["warnings"][0]
    assert "last day unknown" in house.ok("list").out


def test_a_last_day_given_by_hand(house: House) -> None:
    done = house.ok("add", "raspberry", "--discard", "2026-12-24")
    assert "that is longer than the 7 days its file gives" in done.out
    assert house.lines[0]["discard"] == "2026-12-24"


def test_correct_then_read(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "54", "--mass", "2kg")
    corrected = house.ok("correct", "RAS-1", "--mass", "2.16kg", "--brix", "50", "--by", "Bo")
    assert corrected.first == "RAS-1 raspberry syrup is corrected, 50 °Bx until it is read again"
    assert "  next              stir, read: balancer measure READING --batch RAS-1 --log" in corrected.out.splitlines()
    assert (house.listed()["RAS-1"]["verified"], house.listed()["RAS-1"]["mass_g"]) == (False, 2160.0)
    read = house.ok("reading", "RAS-1", "--brix", "50,2")
    assert read.first == "RAS-1 raspberry syrup reads 50.2 °Bx"
    assert house.listed()["RAS-1"]["readings_brix"] == [54.0, 50.2]
    assert (
        house.ok("correct", "RAS-1", "--mass", "900g").first == "RAS-1 raspberry syrup is weighed, 50.2 °Bx as before"
    )
    assert house.listed()["RAS-1"]["verified"]


def test_an_implausible_strength_is_read_again_first(house: House) -> None:
    """66.7 °Bx in a 50 °Bx bottle is a 2:1, with 44 % more sugar (WE-05)."""
    assert (
        "  next              stir, read: balancer measure READING --batch RAS-1 --log\n"
        in house.ok("add", "raspberry", "--brix", "66.7").out
    )


def test_combine(house: House) -> None:
    """WE-69: 600 g at 52 °Bx and 1400 g at 49 make 49.9; WE-66: the dates of the older part."""
    house.ok("add", "raspberry", "--brix", "52", "--mass", "600g", "--made", "2026-11-23", "--open")
    house.ok("add", "raspberry", "--brix", "49", "--mass", "1400g")
    data = house.ok("combine", "RAS-1", "RAS-2", "--json").data
    assert data["brix"] == pytest.approx(49.9, abs=0.05)
    assert (data["mass_g"], data["made"], data["discard"]) == (2000.0, "2026-11-23", "2026-11-29")
    assert (data["state"], data["verified"], data["parts"]) == ("open", False, ["RAS-1", "RAS-2"])
    assert "RAS-1 was in use: the mass counted is the one logged, not what was left" in data["warnings"]
    assert house.states() == {"RAS-3": "open", "RAS-2": "empty", "RAS-1": "empty"}
    house.ok("undo")
    assert house.states() == {"RAS-1": "open", "RAS-2": "made"}


def test_combining_needs_masses_and_one_syrup(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "52")
    house.ok("add", "raspberry", "--brix", "49", "--mass", "1400g")
    house.ok("add", "ginger", "--brix", "49", "--mass", "1400g")
    for other, said in (("RAS-2", "balancer batch correct RAS-1 --mass"), ("GIN-1", "one syrup only")):
        done = house.batch("combine", "RAS-1", other)
        assert (done.code, done.out) == (1, "")
        assert said in done.err
    assert len(house.lines) == 3


def test_undo_says_what_and_goes_back_step_by_step(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "50")
    house.ok("open", "RAS-1")
    assert house.ok("undo").first == "undone: RAS-1 opened (logged 25 Nov, 18:04)"
    assert house.states() == {"RAS-1": "made"}
    undone = house.ok("undo", "--json").data
    assert undone["strips"] == {"take_off": [], "print_again": [], "print_new": [], "stay": []}
    assert undone["undone"] == [{"batch": "RAS-1", "event": "made", "at": EVENING}]
    assert undone["batches"] == []
    assert house.states() == {}
    done = house.batch("undo")
    assert (done.code, done.out) == (1, "")
    assert house.ok("undo", "--restore").first.startswith("restored: RAS-1 made")
    assert house.ok("add", "raspberry").first.startswith("RAS-2: ")
    assert len(house.lines) == 6


def test_list_shows_what_is_in_the_house_in_order_of_use(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "50")
    house.now = "2026-11-07T18:00:00+01:00"
    house.ok("add", "raspberry", "--brix", "49.2", "--made", "2026-11-01", "--open")
    house.now = EVENING
    house.ok("add", "squeezed", "--acid", "52g/l", "--open")
    house.ok("discard", "RAS-1")
    assert house.ok("list").out.splitlines() == [
        "2 open, 0 not yet open",
        "  RAS-2  raspberry syrup  49.2 °Bx   open          to 7 Nov, past: discard it",
        "  SQU-1  squeezed lime    52 g/l     open          to 25 Nov",
        "more: --all shows 1 closed batch too",
    ]
    assert "RAS-1  raspberry syrup  50 °Bx     discarded" in house.ok("list", "--all").out
    assert [item["batch"] for item in house.ok("list", "--json").data["batches"]] == ["RAS-2", "SQU-1", "RAS-1"]


def test_an_empty_house(house: House) -> None:
    assert house.ok("list").first == "no batch is open or waiting"
    assert house.ok("list", "--json").data == {"batches": []}


def test_what_is_in_the_house_is_listed_whole(house: House) -> None:
    for _ in range(11):
        house.ok("add", "raspberry")
    shown = house.ok("list").out.splitlines()
    assert [line.split()[0] for line in shown[1:-1]] == [f"RAS-{number}" for number in range(1, 12)]
    assert len(house.listed()) == 11


def test_every_answer_fits_eight_rows_of_eighty_columns(house: House) -> None:
    """The longest there is: everything known, everything to heed."""
    house.ok("add", "raspberry", "--made", "2026-11-19", "--brix", "50", "--mass", "600g")
    house.ok("add", "raspberry", "--brix", "46", "--open", "--mass", "1400g")
    house.ok("add", "raspberry", "--brix", "46", "--open", "--mass", "1400g", "--by", "N" * 30)
    for words in (
        [
            "add",
            "raspberry",
            "--made",
            "2026-11-15",
            "--discard",
            "2026-11-26",
            "--brix",
            "46",
            "--open",
            "--mass",
            "1kg",
        ],
        ["combine", "RAS-2", "RAS-3"],
    ):
        lines = house.ok(*words).out.splitlines()
        assert max(map(len, lines)) <= 80
        assert len([line for line in lines[1:] if line.startswith("  ") and line[2] != " "]) <= 8


def test_a_broken_line_touches_the_list_and_stops_nobody(house: House) -> None:
    house.ok("add", "raspberry", "--brix", "50")
    with (house.specs / FILE).open("a", encoding="utf-8") as log:
        log.write('- {"batch": "RAS-7", "ev')
    done = house.batch("list")
    assert done.code == 1
    assert done.first == "0 open, 1 not yet open"
    assert done.err.startswith(f"{house.specs / FILE}:2:24: the line breaks off here")
    problems = json.loads(house.batch("list", "--json").err)["problems"]
    assert [(problem["line"], problem["code"]) for problem in problems] == [(2, "torn-line")]
    assert house.ok("add", "raspberry").first.startswith("RAS-8: ")


def test_problems_elsewhere_stop_nobody(house: House) -> None:
    (house.specs / "drinks" / "broken.yaml").write_text("drink: Loose Plank\nmethod: shaken\npours: [20 ml nonsuch]\n")
    done = house.batch("add", "raspberry")
    assert (done.code, done.first) == (0, "RAS-1: write it on the tape (raspberry syrup, allergens unknown)")
    assert "nonsuch" in done.err


def test_a_syrup_that_left_the_files_keeps_its_batches(house: House) -> None:
    house.ok("add", "rasp shrub", "--brix", "40", "--open")
    (house.specs / "syrups" / "kept.yaml").unlink()
    assert house.ok("empty", "RAS-1").first == "RAS-1 rasp-shrub is empty"


def test_no_folder_is_told_and_none_is_made(tmp_path: Path) -> None:
    done = run("batch", "add", "raspberry", specs=tmp_path / "gone")
    assert (done.code, done.out) == (1, "")
    assert "gone" in done.err
    assert not (tmp_path / "gone").exists()


def test_as_a_program_of_its_own(tmp_path: Path) -> None:
    """With the real clock, and through the environment variable for the folder."""
    house = House(tmp_path)
    done = process("batch", "add", "raspberry", "--json", env={"BALANCER_SPECS": str(house.specs)})
    assert (done.code, done.err, done.data["batch"]) == (0, "", "RAS-1")
    assert house.lines[0]["at"][-6] in "+-"


@pytest.mark.parametrize("spelt", ["ras 13", "RAS -13", "RAS–13", "RAS-999999999"])
def test_an_id_written_by_hand_is_never_given_again(tmp_path: Path, spelt: str) -> None:
    house = House(tmp_path)
    line = {"batch": spelt, "syrup": "raspberry-syrup", "event": "made", "brix": 50, "at": "2026-11-25T12:00:00+01:00"}
    (house.specs / FILE).write_text(f"- {json.dumps(line)}\n", encoding="utf-8")
    for minute in range(3):
        house.now = f"2026-11-25T18:0{minute}:00+01:00"
        house.ok("add", "raspberry syrup", "--brix", "47")
    assert len(house.listed()) == 4
    assert run("check", specs=house.specs, env={"BALANCER_NOW": house.now}).code == 0


def test_a_volume_is_logged_as_what_it_weighs(house: House) -> None:
    """Sucrose solution of 55 °Bx at 20 °C: 1257.54 kg/m³ (NBS C440 table 114, tests/reference/sucrose_density.csv)."""
    done = house.ok("add", "raspberry", "--brix", "55", "--volume", "2l")
    assert house.lines[0]["mass"] == pytest.approx(2.0 * 1257.54, abs=1.0)
    assert f"  weighs            {house.lines[0]['mass']:.0f} g, from 2 l at 55 °Bx" in done.out
    assert "from 500 ml at standard, as it is not read" in house.ok("add", "raspberry", "--volume", "500ml").out
    for words, said in (
        (["--volume", "2l", "--mass", "2kg"], "one of them says how much there is"),
        (["--volume", "2kg"], "is not a volume"),
        (["--volume", "2"], "2 l or 2 ml?"),
    ):
        wrong = house.batch("add", "raspberry", *words)
        assert (wrong.code, wrong.out) == (2, "")
        assert said in wrong.err
    assert len(house.lines) == 2


def test_a_correction_says_what_the_batch_weighs_now(house: House) -> None:
    """WE-24: 160 g of water bring 2 kg from 54 to 50 °Bx."""
    house.ok("add", "raspberry", "--brix", "54", "--mass", "2kg")
    house.ok("add", "raspberry", "--brix", "54")
    house.ok("add", "raspberry", "--brix", "46", "--mass", "1kg", "--open")
    assert "  weighs            2160 g: 2000 g and 160 g water\n" in house.ok("correct", "RAS-1").out
    assert house.listed()["RAS-1"]["mass_g"] == 2160.0
    unknown = " ".join(house.ok("correct", "RAS-2").out.split())
    assert "weighs not known: weigh it, then balancer batch correct RAS-2 --mass …" in unknown
    assert house.listed()["RAS-2"]["mass_g"] is None
    wrong = house.batch("correct", "RAS-3", "--with", "water")
    assert (wrong.code, wrong.out) == (1, "")
    assert "water cannot have brought it to 50" in wrong.err
    told = " ".join(house.ok("correct", "RAS-3", "--with", "66").out.split())
    assert "weighs 1250 g: 1000 g and 250 g at 66 °Bx, as if none was poured since" in told


@pytest.mark.parametrize("command", [["batch", "add", "raspberry"], ["tonight"], ["check"], ["batch", "list"]])
def test_a_folder_nobody_may_enter_is_told_as_such(monkeypatch: pytest.MonkeyPatch, command: list[str]) -> None:
    def closed(path: Path, **_: bool) -> os.stat_result:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(path))

    monkeypatch.setattr(Path, "stat", closed)
    done = run(*command, specs=Path("locked/specs"))
    assert (done.code, done.out) == (1, "")
    assert done.err.startswith("locked/specs")
    assert "fault of the program" not in done.err
    assert "permissions" in done.err
