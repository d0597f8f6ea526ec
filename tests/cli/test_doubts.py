"""What is rather a slip is the first line of every answer about it, and the exit code tells."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
SLIP = "drink: Slip\nmethod: shaken\npours:\n  - 60 ml gold rum\n  - 225 ml lime juice\n  - 20 ml plain syrup\n"
SAID = "Slip: 225 ml of lime juice is more than a drink holds: is a decimal point missing?"


@pytest.mark.parametrize(
    "words",
    [("totals", "slip"), ("rescale", "--syrup", "plain", "--brix", "54", "slip"), ("bottle", "slip", "--serves", "6")],
)
def test_a_doubted_drink(tmp_path: Path, words: tuple[str, ...]) -> None:
    specs = copy_of_house(tmp_path, drinks__slip=SLIP)
    done = run(*words, specs=specs, env=NOW)
    assert (done.code, done.first) == (1, SAID)
    assert f"{specs}/drinks/slip.yaml:5:5: {SAID}" in done.err
    as_json = run(*words, "--json", specs=specs, env=NOW)
    assert as_json.code == 1
    assert [problem["code"] for problem in json.loads(as_json.err)["problems"]] == ["doubt"]


def test_a_doubt_elsewhere_is_told_beside_the_answer(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__slip=SLIP)
    done = run("totals", "anchor", specs=specs)
    assert (done.code, done.out) == (0, run("totals", "anchor").out)
    assert SAID in done.err
    check = run("check", specs=specs)
    assert check.code == 1
    assert SAID in check.out


def test_a_lost_point_that_was_set_is_found_by_check(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    done = run("set", "anchor", "lime juice", "225 ml", "--yes", specs=specs)
    assert (done.code, done.first[:9]) == (0, "written: ")
    told = " ".join(done.out.split())
    assert "heed: check will doubt it: Anchor Sour: 225 ml of lime juice is more than a drink holds" in told
    assert 'correct it to what one serve has; for many at once: balancer bottle "Anchor Sour" --serves N' in told
    assert "top: true" not in told
    check = run("check", specs=specs)
    assert (check.code, "225 ml of lime juice" in check.out) == (1, True)
    back = run("set", "anchor", "lime juice", "22.5 ml", "--yes", specs=specs)
    assert back.code == 0
    assert run("check", specs=specs).code == 0


@pytest.mark.parametrize(
    ("told", "tops"),
    [
        ("kind: mixer", True),
        ("kind: wine\nabv: 11 %", True),
        ("kind: beer\nabv: 5 %", True),
        ("top: true", True),
        ("kind: spirit\nabv: 40 %", False),
        ("kind: liqueur\nabv: 20 %", False),
        ("kind: juice", False),
        ("kind: dairy", False),
        ("", False),
    ],
)
def test_only_what_tops_a_drink_up_is_offered_to_be_poured_after_the_ice(tmp_path: Path, told: str, tops: bool) -> None:
    """Rum poured after the shake is a stronger drink, and its doubt would be gone: common practice tops with mixers."""
    thing = f"ingredient: long thing\n{told}\n"
    slip = "drink: Slip\nmethod: shaken\npours: [{pour: 140 ml, of: long thing, top: false}, 20 ml plain syrup]\n"
    specs = copy_of_house(tmp_path, ingredients__thing=thing, drinks__slip=slip)
    data = run("check", "--json", specs=specs, env=NOW).data
    remedies = [one["remedy"] for one in data["problems"] if one["code"] == "doubt"]
    bottled = "correct it to what one serve has; for many at once: balancer bottle Slip --serves N"
    assert remedies == [
        "correct it; if it is meant, say so: {pour: 140 ml, of: long thing, top: true}" if tops else bottled
    ]


def test_so_much_syrup_is_offered_to_be_bottled(tmp_path: Path) -> None:
    slip = "drink: Slip\nmethod: shaken\npours: [60 ml gold rum, 200 ml plain syrup]\n"
    specs = copy_of_house(tmp_path, drinks__slip=slip)
    told = run("check", "--json", specs=specs, env=NOW).data["problems"]
    assert ["--serves" in one["remedy"] for one in told] == [True]


def test_a_doubted_reading(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    log = specs / "batches.yaml"
    lines = [
        '- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 52}',
        '- {"batch": "BER-1", "event": "open"}',
        '- {"batch": "BER-1", "event": "reading", "brix": 5.4}',
    ]
    log.write_text("\n".join(lines) + "\n", encoding="utf-8")
    for words in (("tonight",), ("batch", "list"), ("check",)):
        done = run(*words, specs=specs, env=NOW)
        assert done.code == 1
        assert "BER-1: berry syrup at 5.4 °Bx is no syrup" in (done.out if words == ("check",) else done.first)
        assert f"{log}:3:" in done.out + done.err
    log.write_text("\n".join([*lines, lines[2].replace("5.4", "54")]) + "\n", encoding="utf-8")
    assert run("check", specs=specs, env=NOW).code == 0, "read again, it is mended"


def test_a_doubted_juice(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    line = '- {"batch": "LIM-1", "syrup": "lime-juice", "event": "made", "acid": "460 g/l"}\n'
    (specs / "batches.yaml").write_text(line, encoding="utf-8")
    done = run("check", specs=specs, env=NOW)
    assert done.code == 1
    assert "LIM-1: lime juice with 460 g/l acid is no juice" in done.out
