"""The TAB key: commands, options, and what the house has; quick, and silent whatever the files hold."""

from __future__ import annotations

import contextlib
import os
import shlex
from pathlib import Path

import pytest

from balancer.cli.app import COMMANDS
from balancer.cli.completion import _MOST_FILES
from balancer.files.house.load import load
from tests.cli.runner import CHECKOUT, HOUSE, Run, copy_of_house, process, run

pytestmark = pytest.mark.slow


def asked(line: str, shell: str = "bash") -> dict[str, str]:
    """What a shell puts into the environment when TAB is pressed behind a line."""
    return {
        "_BALANCER_COMPLETE": f"complete_{shell}",
        "COMP_WORDS": line,
        "COMP_CWORD": str(len(line.split(" ")) - 1),
        "_TYPER_COMPLETE_ARGS": line,
        "_TYPER_COMPLETE_WORD_TO_COMPLETE": line.rsplit(" ", maxsplit=1)[-1],
        "_TYPER_COMPLETE_FISH_ACTION": "get-args",
    }


def tab(line: str, *, shell: str = "bash", cwd: Path = HOUSE, **env: str) -> Run:
    with contextlib.chdir(cwd):
        return run(specs=None, env=asked(line, shell) | env)


def offered(line: str, *, cwd: Path = HOUSE, **env: str) -> list[str]:
    done = tab(line, cwd=cwd, **env)
    assert (done.code, done.err) == (0, "")
    return done.out.split()


def test_commands() -> None:
    assert offered("balancer ") == [*COMMANDS]
    assert offered("balancer to") == ["tonight", "totals"]
    assert offered("balancer sheet ") == ["rail", "prep", "allergens", "test"]
    assert "--syrup" in offered("balancer measure 54 --s")


def test_the_things_of_the_house(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    for line in ("batch add berry 54", "batch add plain 50 --open", "batch add berry 50", "batch empty BER-2"):
        assert run(*shlex.split(line), specs=specs).code == 0
    drinks = sorted(
        one["drink"] for one in run("rescale", "-s", "berry", "-b", "54", "--json", specs=specs).data["drinks"]
    )
    assert set(drinks) <= set(offered("balancer totals ", cwd=specs))
    assert offered("balancer totals anch", cwd=specs) == ["anchor-sour"]
    assert offered("balancer rescale -s ", cwd=specs) == sorted(load(HOUSE).specs.syrups)
    assert offered("balancer batch open ", cwd=specs) == ["BER-1"]  # PLA-1 is open already
    assert offered("balancer batch empty ", cwd=specs) == ["BER-1", "PLA-1"]
    assert offered("balancer measure 54 b", cwd=specs) == ["ber-1", "berry-syrup"]
    assert "gold-rum" in offered("balancer swap anchor --out ", cwd=specs)


def test_the_printed_card_is_offered_once_there_is_one(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    assert offered("balancer totals anchor --against p", cwd=specs) == []
    (specs / "printed.json").write_text('{"format": 1, "cards": []}', encoding="utf-8")
    assert offered("balancer totals anchor --against p", cwd=specs) == ["printed"]


def test_the_house_is_found_as_the_command_finds_it(tmp_path: Path) -> None:
    assert offered("balancer totals anch", cwd=tmp_path) == []
    assert offered(f"balancer totals --specs {HOUSE} anch", cwd=tmp_path) == ["anchor-sour"]
    assert offered("balancer totals anch", cwd=tmp_path, BALANCER_SPECS=str(HOUSE)) == ["anchor-sour"]
    assert offered("balancer totals --demo slipw", cwd=tmp_path) == ["slipway-sour"]


@pytest.mark.parametrize("shell", ["zsh", "fish", "powershell"])
def test_other_shells(shell: str) -> None:
    done = tab("balancer totals anch", shell=shell, _TYPER_COMPLETE_WORD_TO_COMPLETE="anch")
    assert (done.code, done.err) == (0, "")
    assert "anchor" in done.out


def test_nothing_is_said_whatever_the_files_hold(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / "batches.yaml").write_bytes(b"- {\xff\n- 3\n- {}\n- [1]\n" + b'- {"batch": "BER-1", "event": "made"}\n')
    (specs / "drinks" / "broken.yaml").write_bytes(b"drink: \xff\xfe\npours: [")
    (specs / "drinks" / "loop.yaml").symlink_to("loop.yaml")
    os.mkfifo(specs / "drinks" / "pipe.yaml")
    assert offered("balancer batch open ", cwd=specs) == ["BER-1"]
    assert offered("balancer totals anch", cwd=specs) == ["anchor-sour"]
    (specs / "batches.yaml").unlink()
    assert offered("balancer batch open ", cwd=specs) == []


def test_a_fault_of_ours_is_not_told_either(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(
        "import balancer.cli.app as app\n\ndef fail(*_):\n    raise RuntimeError('boom')\n\n"
        "app.CommandTable.shell_complete = fail\n"
    )
    path = os.pathsep.join([str(tmp_path), str(CHECKOUT)])
    done = process(env=asked("balancer to") | {"PYTHONPATH": path})
    assert (done.code, done.out, done.err) == (0, "", "")


def test_as_a_program() -> None:
    done = process(env=asked("balancer totals anch"), cwd=HOUSE)
    assert (done.code, done.out, done.err) == (0, "anchor-sour\n", "")


def test_so_many_files_and_no_more(tmp_path: Path) -> None:
    """A key waits for nobody: a menu of thousands is offered as far as a moment goes."""
    (tmp_path / "specs" / "drinks").mkdir(parents=True)
    for number in range(_MOST_FILES + 5):
        (tmp_path / "specs" / "drinks" / f"{number:05}.yaml").write_text(f"drink: Buoy {number:05}\n")
    assert len(offered("balancer totals ", cwd=tmp_path)) == _MOST_FILES


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_script_for_a_shell_is_shown(shell: str) -> None:
    env = {"_TYPER_COMPLETE_TEST_DISABLE_SHELL_DETECTION": "1"}
    done = process("--show-completion", shell, env=env, cwd=HOUSE)
    assert (done.code, done.err) == (0, "")
    assert "_BALANCER_COMPLETE" in done.out


def test_only_what_may_be_opened(tmp_path: Path) -> None:
    """Stock past its last day is discarded, not opened; until the working day ends, that is not yet so."""
    specs = copy_of_house(tmp_path)
    made = {"BALANCER_NOW": "2026-03-02T12:00:00+00:00"}
    for line in ("batch add berry 54 --discard 2026-03-04", "batch add plain 50 --discard 2026-03-09"):
        assert run(*shlex.split(line), specs=specs, env=made).code == 0
    for at, wanted in (
        ("2026-03-04T12:00:00+00:00", ["BER-1", "PLA-1"]),
        ("2026-03-05T02:00:00+00:00", ["BER-1", "PLA-1"]),
        ("2026-03-05T12:00:00+00:00", ["PLA-1"]),
    ):
        assert offered("balancer batch open ", cwd=specs, BALANCER_NOW=at) == wanted
        assert offered("balancer batch discard ", cwd=specs, BALANCER_NOW=at) == ["BER-1", "PLA-1"]
    assert run("batch", "open", "PLA-1", specs=specs, env=made).code == 0
    assert run("batch", "undo", "PLA-1", "--yes", specs=specs, env=made).code == 0
    assert "PLA-1" in offered("balancer batch open ", cwd=specs, BALANCER_NOW="2026-03-05T12:00:00+00:00")


def test_capitals_are_completed_too() -> None:
    """What was typed stays: a shell drops what does not begin so. The command takes a name in any case."""
    assert offered("balancer totals Anch") == ["Anchor-sour"]
    assert offered("balancer totals ANCH") == ["ANCHor-sour"]
    assert run("totals", "ANCHor-sour").code == 0


def test_what_the_base_has_is_offered_too(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (tmp_path / "stair" / "drinks").mkdir(parents=True)
    (tmp_path / "stair" / "house.yaml").write_text("format: 1\nhouse: Stair\nbase: '../specs' # ours\n", "utf-8")
    (tmp_path / "stair" / "drinks" / "own.yaml").write_text("drink: Anchorage\n", encoding="utf-8")
    assert offered("balancer totals anch", cwd=tmp_path / "stair") == ["anchor-sour", "anchorage"]
    (specs / "house.yaml").write_text("base: ../stair\n", encoding="utf-8")  # round in a circle
    assert offered("balancer totals anch", cwd=tmp_path / "stair") == ["anchor-sour", "anchorage"]
