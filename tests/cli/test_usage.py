"""Exit codes, help, and where the folder of specs comes from."""

from __future__ import annotations

import contextlib
import shlex
import shutil
from pathlib import Path
from typing import Any

import pytest
import typer

from balancer.cli.app import COMMANDS, app
from balancer.cli.misuse import TYPED
from tests.cli.runner import HOUSE, process, run

pytestmark = pytest.mark.slow


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["bogus"], 'balancer has no command "bogus"'),
        (["totls"], 'did you mean "balancer totals"?'),
        (["pour"], "balancer pour needs POUR"),
        (["pour", "22.5ml", "--brix", "54"], "balancer pour needs --standard BRIX"),
        (["pour", "22.5ml", "--standard", "50"], "balancer pour needs --brix BRIX"),
        (["pour", "22.5ml", "--standard", "50", "--brix"], "--brix"),
        (["calibrate"], "balancer calibrate needs DRINK"),
        (["totals", "anchor", "--brix", "54"], "balancer totals has no option --brix"),
        (["rescale", "--brix", "54"], "balancer rescale needs --syrup NAME"),
        (["rescale", "--syrup", "berry", "--brix", "54", "--cause", "weather"], "choose boiled, watered, sugar"),
        (["rescale", "--syrup", "berry", "--brix", "54", "--uncertainty", "wide"], "--uncertainty: "),
        (["tonight", "anchor"], '"anchor" is too much for balancer tonight'),
        (["start"], "balancer start needs DIR"),
        (["--bogus"], "balancer has no option --bogus"),
    ],
)
def test_wrong_usage(arguments: list[str], said: str) -> None:
    done = run(*arguments, specs=None, env={"BALANCER_SPECS": str(HOUSE)})
    assert (done.code, done.out) == (2, "")
    assert said in done.err


def test_version() -> None:
    done = run("--version", specs=None)
    assert (done.code, done.err) == (0, "")
    assert done.out.split()[0] == "balancer"


def test_the_folder_is_named_by_option_then_environment_then_specs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run("totals", "anchor", specs=None).code == 1
    assert run("totals", "anchor", specs=None, env={"BALANCER_SPECS": str(HOUSE)}).code == 0
    nowhere = {"BALANCER_SPECS": str(tmp_path / "nowhere")}
    assert run("totals", "anchor", specs=None, env=nowhere).code == 1
    assert run("totals", "anchor", specs=HOUSE, env=nowhere).code == 0
    shutil.copytree(HOUSE, "specs")
    assert run("totals", "anchor", specs=None).code == 0


def test_options_may_stand_anywhere() -> None:
    before = run("rescale", "--brix", "54", "--syrup", "berry", "anchor")
    assert before == run("rescale", "anchor", "--syrup=berry", "--brix=54")
    assert before.code == 0


def test_as_a_program() -> None:
    """The same answer as in the tests' own process, and the exit code of each kind."""
    assert process("totals", "anchor", "--specs", str(HOUSE)) == run("totals", "anchor")
    assert process("check", "--specs", "/nowhere").code == 1
    assert process("calibrate").code == 2


@pytest.mark.parametrize("name", [*TYPED])
def test_the_line_that_is_shown_is_one(name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Typed as it stands about the demo house: none of them is wrong usage, though the demo is never written."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "menu.csv").write_text("Drink,Ingredient,Amount,Method\nEbb,gold rum,60 ml,shaken\n")
    if name == "page":  # it would listen until somebody stops it
        monkeypatch.setattr("balancer.web.serve.listen", lambda _: contextlib.nullcontext())
        monkeypatch.setattr("balancer.web.serve.serve", lambda *_: None)
    folder = [] if name in ("start", "safety") else ["--demo"]
    assert run(*shlex.split(TYPED[name]), *folder, specs=None).code != 2
    assert TYPED[name].startswith(name)


def test_every_command_has_its_line() -> None:
    below = {f"{name} {one}" for name in ("batch", "sheet") for one in group_of(name).commands}
    assert set(TYPED) == {*COMMANDS, *below}


def group_of(name: str) -> Any:
    table: Any = typer.main.get_command(app)
    return table.get_command(None, name)


def test_wrong_usage_in_json() -> None:
    done = run("make", "simple", "2l", "--json", specs=None)
    (problem,) = done.data["problems"]
    assert (done.code, problem["code"]) == (2, "usage")
    assert problem["message"] == '"2l" is too much for balancer make'
    assert problem["remedy"] == "type it like: balancer make simple --volume 2l"


def test_help_is_a_word_too() -> None:
    assert run("help", specs=None) == run("-h", specs=None)
    assert run("help", "measure", specs=None) == run("measure", "-h", specs=None)
    assert run("help", "batch", "add", specs=None) == run("batch", "add", "-h", specs=None)


def test_no_help_has_marks_of_programmers() -> None:
    pages = {name: run(*name.split(), "-h", specs=None).out for name in TYPED}
    assert [name for name, page in pages.items() if "`" in page] == []
    assert all(page.startswith("Usage: ") for page in pages.values())
