"""`balancer tonight` as it is typed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT, Run, copy_of_house, run

EVENING = {"BALANCER_NOW": "2026-11-25T21:10+01:00"}
LOG = """\
# by hand, kept
- {"batch": "BER-3", "syrup": "berry-syrup", "event": "made", "brix": 54, "uncertainty": 0.1, "made": "2026-11-24",\
 "discard": "2026-11-26", "at": "2026-11-24T15:00:00+01:00"}
- {"batch": "BER-3", "event": "open", "at": "2026-11-25T17:00:00+01:00"}
- {"batch": "HON-1", "syrup": "honey-syrup", "event": "made", "brix": "50 °Bx", "made": "2026-11-10",\
 "discard": "2026-11-24", "at": "2026-11-10T15:00:00+01:00"}
- {"batch": "HON-1", "event": "open", "at": "2026-11-11T17:00:00+01:00"}
"""


def tonight(folder: Path, *options: str, log: str = LOG, env: dict[str, str] = EVENING) -> Run:
    """The night of a house with a log."""
    specs = copy_of_house(folder, batches=log)
    return run("tonight", *options, specs=specs, env=env)


def test_the_first_line_is_what_to_do(tmp_path: Path) -> None:
    """Who changes, and what is past its date; then the conversions."""
    done = tonight(tmp_path)
    lines = done.out.splitlines()
    assert done.first.startswith("tonight 25 Nov: BER-3 changes ")
    assert done.first.endswith("discard HON-1, past its last day")
    assert lines[1].startswith("  BER-3 berry syrup, 54 °Bx, spec 50: ")
    assert " → " in lines[1]
    assert any("HON-1 honey syrup is past its last day (24 Nov)" in line for line in lines)
    assert done.code == 0


def test_json_has_the_rescale_fields_a_row_for_each_drink_and_notes(tmp_path: Path) -> None:
    """The same numbers as `rescale` for the same strength; drinks carry batch and syrup."""
    data = tonight(tmp_path, "--json").data
    assert data["date"] == "2026-11-25"
    assert [(batch["batch"], batch["past"]) for batch in data["batches"]] == [("BER-3", False), ("HON-1", True)]
    assert data["discard"] == ["HON-1"]
    rescaled = run("rescale", "--syrup", "berry", "--brix", "54", "--json").data
    berry, honey = data["batches"]
    assert list(honey) == list(berry)
    for key in ("syrup", "standard_brix", "batch_brix", "advice", "reason", "conversions", "exceptions", "correct"):
        assert berry[key] == rescaled[key]
    assert "drinks" not in berry
    rows = {row["drink"]: row for row in data["drinks"] if row["batch"] == "BER-3"}
    for row in rescaled["drinks"]:
        assert rows[row["drink"]]["pour"] == row["pour"]
        assert rows[row["drink"]]["syrup"] == "berry-syrup"
    assert any("past its last day" in note for note in data["notes"])
    assert any(note.startswith("not read, assumed at standard: ") for note in data["notes"])


@pytest.mark.parametrize(
    ("clock", "date"),
    [("2026-11-26T01:30+01:00", "2026-11-25"), ("2026-11-26T06:00+01:00", "2026-11-26")],
)
def test_after_midnight_it_is_still_tonight(tmp_path: Path, clock: str, date: str) -> None:
    """Until the day ends at 06:00 the date is that of the evening."""
    assert tonight(tmp_path, "--json", env={"BALANCER_NOW": clock}).data["date"] == date


@pytest.mark.parametrize("read", [', "brix": 55.5', ""])
def test_a_batch_past_its_last_day_stands_in_json_and_nothing_is_poured_by_it(tmp_path: Path, read: str) -> None:
    """What is known of it, whether it was read or not; no pour, no row, nothing that would correct it."""
    made = f'- {{"batch": "HON-2", "syrup": "honey-syrup", "event": "made"{read}, "discard": "2026-11-24"'
    log = f'{made}, "at": "2026-11-10T10:00:00+01:00"}}\n'
    log += '- {"batch": "HON-2", "event": "open", "at": "2026-11-10T11:00:00+01:00"}\n'
    data = tonight(tmp_path, "--json", log=log).data
    (honey,) = data["batches"]
    assert (honey["batch"], honey["past"], honey["syrup"]) == ("HON-2", True, "honey-syrup")
    assert (honey["standard_brix"], honey["batch_brix"]) == (50.0, 55.5 if read else None)
    assert (honey["advice"], honey["reason"]) == ("pull", "it is past its last day of use")
    assert (honey["conversions"], honey["exceptions"]) == ([], [])
    assert honey["correct"] == {"add": None, "g_per_kg": None}
    assert (data["drinks"], data["counting"], data["discard"]) == ([], {}, ["HON-2"])


def test_another_night_sees_the_log_as_it_stood(tmp_path: Path) -> None:
    """On the 12th only the honey was open, and within its date."""
    data = tonight(tmp_path, "--date", "2026-11-12", "--json").data
    assert [(batch["batch"], batch["past"]) for batch in data["batches"]] == [("HON-1", False)]
    assert not any("past" in note for note in data["notes"])


def test_a_broken_line_harms_only_itself(tmp_path: Path) -> None:
    """The pours stand, the line is told with its place, and the exit code says so."""
    done = tonight(tmp_path, log=LOG + '- {"batch": "BER-9", "syrup": "berry-sy')
    assert done.code == 1
    assert "BER-3 changes" in done.first
    assert "batches.yaml:6:" in done.err


def test_without_a_log_everything_is_as_written(tmp_path: Path) -> None:
    """No bottle logged: nothing is claimed beyond the standards."""
    done = run("tonight", specs=copy_of_house(tmp_path), env=EVENING)
    assert done.code == 0
    assert "no open batch has a strength in the log; every drink as written" in done.first


def test_a_wrong_date_is_wrong_usage(tmp_path: Path) -> None:
    """With what to write instead."""
    done = tonight(tmp_path, "--date", "soon")
    assert done.code == 2
    assert "--date" in done.err


def test_the_working_can_be_shown(tmp_path: Path) -> None:
    """The working of the batch that is off, in grams."""
    out = tonight(tmp_path, "--steps").out
    assert "BER-3 berry syrup" in out
    assert "g sugar" in out


def test_the_demo_house_shows_every_kind_of_bottle() -> None:
    """At standard, off, one to correct, two open of one syrup, one past its date, today's lime.

    Eight drinks change: three of raspberry, one of ginger, and of the seven that pour more than 7.5 ml of lime those
    four that are not among them. 22.5 × 46/52 = 19.9 ml of lime, 20 gives 17.7 and 15 gives 13.3.
    """
    done = run("tonight", "--date", "2026-11-25", specs=CHECKOUT / "specs")
    text = " ".join(done.out.split())
    assert text.startswith(
        "tonight 25 Nov: correct STR-1; RAS-12, GIN-2, LIM-1 change 8 drinks; discard ALM-1, past its last day STR-1"
    )
    assert "2 bottles of ginger syrup are open" in done.out
    assert "LIM-1 lime juice, acid +13 %: 15 → 12.5 · 20 → 17.5 · 22.5 → 20 ml" in done.out
    assert done.code == 0
    assert all(len(line) <= 80 for line in done.out.splitlines())


def test_two_open_bottles_have_each_their_own_pours_and_say_which(tmp_path: Path) -> None:
    """BER-3 pours less, BER-4 as written: who pours BER-4 by the row of BER-3 is wrong."""
    other = (
        '- {"batch": "BER-4", "syrup": "berry-syrup", "event": "made", "brix": 50, "discard": "2026-11-30",'
        ' "made": "2026-11-24", "at": "2026-11-24T15:00:00+01:00"}\n'
        '- {"batch": "BER-4", "event": "open", "at": "2026-11-25T16:00:00+01:00"}\n'
    )
    text = " ".join(tonight(tmp_path, log=LOG + other).out.split())
    row = text.partition("BER-3 berry syrup, 54 °Bx, spec 50: ")[2]
    assert "ml; only BER-3, not BER-4 " in row.partition("HON-1")[0]
    assert "only" not in tonight(tmp_path / "alone").out
