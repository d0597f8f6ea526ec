"""A mistake in one file stops nobody's shift: what it touches is told with exit code 1, everything else answers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, edited_house, run

ELSEWHERE = "drink: Loose Plank\nmethod: shaken\npours:\n  - 45 ml dry gin\n  - 20 ml nonsuch\n"
POURS_BERRY = "drink: Loose Plank\nmethod: shaken\npours:\n  - 20 ml berry syrup\n  - 20 ml nonsuch\n"
SAID = 'no ingredient or syrup is called "nonsuch"'
RESCALE_BERRY = ("rescale", "--syrup", "berry", "--brix", "54")


@pytest.mark.parametrize("arguments", [("totals", "anchor"), RESCALE_BERRY])
def test_a_broken_drink_elsewhere(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    """The answer is the same as without it, and the problem is told beside it."""
    specs = copy_of_house(tmp_path, drinks__broken=ELSEWHERE)
    done = run(*arguments, specs=specs)
    assert (done.code, done.out) == (0, run(*arguments).out)
    place, own_line, caret, remedy = done.err.splitlines()
    assert place == f"{specs}/drinks/broken.yaml:5:11: {SAID}"
    assert own_line == "    5 |   - 20 ml nonsuch"
    assert caret == "      |           ^^^^^^^"
    assert remedy.startswith("  add it to ingredients/ or syrups/")


def test_with_json_the_problems_elsewhere_are_json_too(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__broken=ELSEWHERE)
    done = run(*RESCALE_BERRY, "--json", specs=specs)
    assert (done.code, done.data["syrup"]) == (0, "berry-syrup")
    (problem,) = json.loads(done.err)["problems"]
    assert (problem["path"], problem["line"], problem["column"]) == (f"{specs}/drinks/broken.yaml", 5, 11)
    assert (problem["code"], "nonsuch" in problem["message"], bool(problem["remedy"])) == ("unknown-name", True, True)


def test_a_broken_drink_that_pours_the_syrup(tmp_path: Path) -> None:
    """It may need another pour too, and nobody can say which: the answer stands, the exit code tells."""
    specs = copy_of_house(tmp_path, drinks__broken=POURS_BERRY)
    done = run(*RESCALE_BERRY, specs=specs)
    assert (done.code, done.out) == (1, run(*RESCALE_BERRY).out)
    assert SAID in done.err
    assert run("rescale", "--syrup", "plain", "--brix", "54", specs=specs).code == 0
    assert run(*RESCALE_BERRY, "anchor", specs=specs).code == 0


def test_a_broken_drink_that_was_asked_for(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__broken=POURS_BERRY)
    done = run("totals", "loose", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert SAID in done.err
    told = run("totals", "loose", "--json", specs=specs)
    assert (told.code, told.err) == (1, "")
    assert [problem["code"] for problem in told.data["problems"]] == ["unknown-name"]


def test_a_broken_drink_among_those_asked_for(tmp_path: Path) -> None:
    """The sound ones are answered for."""
    specs = copy_of_house(tmp_path, drinks__broken=POURS_BERRY)
    done = run(*RESCALE_BERRY, "anchor", "loose", specs=specs)
    assert (done.code, done.out) == (1, run(*RESCALE_BERRY, "anchor").out)
    assert SAID in done.err
    alone = run(*RESCALE_BERRY, "loose", specs=specs)
    assert (alone.code, alone.out) == (1, "")


def test_a_broken_ingredient_of_the_drink(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "ingredients/all.yaml", "acid: 46 g/l", "acid: 46")
    done = run("totals", "anchor", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert 'ingredients/all.yaml:32:9: "46" has no unit' in done.err
    told = run("totals", "anchor", "--json", specs=specs)
    assert [problem["code"] for problem in told.data["problems"]] == ["unit-missing"]
    assert run("totals", "capstan", specs=specs).code == 0


def test_a_broken_syrup(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "syrups/all.yaml", "standard: 66.7 °Bx", "standard: strong")
    done = run("rescale", "--syrup", "rich", "--brix", "64", specs=specs)
    assert (done.code, done.out) == (1, "")
    assert 'syrups/all.yaml:17:13: "strong"' in done.err
    assert run(*RESCALE_BERRY, specs=specs).code == 0


def test_a_broken_house_key_touches_every_answer(tmp_path: Path) -> None:
    specs = edited_house(tmp_path, "house.yaml", "tolerance: 5 %\n", "tolerance: some\n")
    done = run(*RESCALE_BERRY, specs=specs)
    assert (done.code, done.out) == (1, run(*RESCALE_BERRY).out)  # the usual 5 % takes its place
    assert 'house.yaml:6:12: "some"' in done.err


def test_an_unknown_name_beside_broken_files_points_at_check(tmp_path: Path) -> None:
    """The drink may be in the file that did not load."""
    specs = copy_of_house(tmp_path, drinks__broken="drunk: Loose Plank\nmethod: shaken\npours:\n  - 45 ml dry gin\n")
    done = run("totals", "loose", specs=specs)
    assert done.code == 2
    assert "what did not load is told by: balancer check" in done.err


def test_check_tells_every_problem(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__a=ELSEWHERE, drinks__b=ELSEWHERE.replace("Loose Plank", "Wet Plank"))
    done = run("check", specs=specs)
    assert (done.code, done.err) == (1, "")
    assert done.first == "2 problems; what loads: 9 drinks, 4 syrups, 14 ingredients"
    assert [f"drinks/{name}.yaml:5:11: {SAID}" in done.out for name in "ab"] == [True, True]
    told = run("check", "--json", specs=specs)
    assert told.code == 1
    assert [Path(problem["path"]).name for problem in told.data["problems"]] == ["a.yaml", "b.yaml"]


def test_check_of_a_sound_house() -> None:
    done = run("check")
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines() == [
        "no problems; not known: sugar of 1 drink, allergens of 2",  # a liqueur without its sugar; bitters
        "  loads             9 drinks, 4 syrups, 14 ingredients in 5 files",
        "more: --all says of which drinks; balancer totals DRINK says what lacks it",
    ]
    assert run("check", "--json").data["problems"] == []


def test_a_folder_of_something_else_is_not_well(tmp_path: Path) -> None:
    done = run("check", specs=tmp_path)
    assert done.out == "nothing to check: no house.yaml, and nothing in ingredients/, syrups/ or drinks/\n"


@pytest.mark.parametrize("arguments", [("check",), ("totals", "anchor"), RESCALE_BERRY])
def test_no_folder(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    done = run(*arguments, specs=tmp_path / "nowhere")
    assert (done.code, done.out) == (1, "")
    assert f"make one with: balancer start {tmp_path}/nowhere" in done.err
    told = run(*arguments, "--json", specs=tmp_path / "nowhere")
    assert (told.code, told.err) == (1, "")
    assert [problem["code"] for problem in told.data["problems"]] == ["no-folder"]
