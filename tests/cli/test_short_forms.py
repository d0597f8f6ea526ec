"""The daily tasks as short as people type them: the same answers as in full."""

from __future__ import annotations

from pathlib import Path

import pytest

from balancer.files.log.batch_log import read_log
from balancer.models.days import parse_time
from tests.cli.runner import Run, copy_of_house, run

AT = "2026-11-25T18:00+01:00"


def typed(line: str, specs: Path) -> Run:
    return run(*line.split(), specs=specs, env={"BALANCER_NOW": AT})


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    house = copy_of_house(tmp_path)
    assert typed("batch add berry --brix 52 --open", house).code == 0
    return house


@pytest.mark.parametrize(
    ("short", "full"),
    [
        ("measure 54 berry", "measure 54 --syrup berry"),
        ("measure berry 54", "measure 54 --syrup berry"),
        ("measure 54 54,4 berry syrup", "measure 54 54.4 --syrup berry"),
        ("measure 54 BER-1", "measure 54 --batch BER-1"),
        ("measure 54 ber1", "measure 54 --batch BER-1"),
        ("measure 54°Bx -s berry -t 24C --no-atc", "measure 54 --syrup berry --temperature 24C --no-atc"),
        ("measure 54 -B BER-1", "measure 54 --batch BER-1"),
        ("rescale -s berry -b 54 -a", "rescale --syrup berry --brix 54 --all"),
        ("correct -s berry -b 54 -m 2kg", "correct --syrup berry --brix 54 --mass 2kg"),
        ("tonight -d 2026-11-25", "tonight --date 2026-11-25"),
    ],
)
def test_short_is_the_same(short: str, full: str, specs: Path) -> None:
    one, other = typed(short, specs), typed(full, specs)
    assert one == other
    assert (one.code, one.err) == (0, "")


def logged(specs: Path) -> list[tuple[object, ...]]:
    entries = read_log(specs, parse_time(AT)).entries
    return [(entry.batch, entry.event, entry.brix, entry.refers) for entry in entries]


def test_measure_logs_for_the_open_batch(specs: Path) -> None:
    done = typed("measure 54 berry --log", specs)
    assert (done.code, done.err) == (0, "")
    assert "logged for BER-1" in done.out
    assert [entry[:2] for entry in logged(specs)][-1] == ("BER-1", "reading")


def test_a_batch_added_opened_and_replacing(specs: Path) -> None:
    assert typed("batch add berry 54", specs).code == 0
    assert logged(specs)[2:] == [("BER-2", "made", 54.0, ())]
    assert typed("batch add 46,5 berry syrup --open", specs).code == 0
    assert logged(specs)[3:] == [("BER-3", "made", 46.5, ()), ("BER-3", "open", None, ())]
    assert typed("batch add berry 50 --replaces BER-1", specs).code == 0
    assert logged(specs)[5:] == [("BER-4", "made", 50.0, ()), ("BER-4", "open", None, ("BER-1",))]
    states = {one["batch"]: one["state"] for one in run("batch", "list", "--json", specs=specs).data["batches"]}
    assert states == {"BER-1": "empty", "BER-2": "made", "BER-3": "open", "BER-4": "open"}


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("measure berry", 'READING: "berry" is not a number'),
        ("measure 54 bery", 'no syrup is called "bery"'),
        ("measure 54 BER-9", 'no batch is called "BER-9"'),
        ("measure 54 berry -s plain", '"berry" and --syrup: one of them'),
        ("measure 54 berry -B BER-1", '"berry" and --batch: one of them'),
        ("measure 54 gold rum", "gold rum"),
        ("batch add 54", '"54" is no name'),
        ("batch add berry 54 55", "54 and 55 are two strengths"),
        ("batch add berry 54 -b 55", "54 and 55 are two strengths"),
        ("batch add berry 54 --replaces BER-7", "BER-7"),
    ],
)
def test_what_was_not_understood_logs_nothing(line: str, said: str, specs: Path) -> None:
    before = logged(specs)
    done = typed(line, specs)
    assert (done.code, done.out) == (2, "")
    assert said in done.err
    assert logged(specs) == before
