"""Exit codes, help, and where the folder of specs comes from."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.runner import HOUSE, process, run


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["bogus"], "No such command 'bogus'"),
        (["totls"], "No such command 'totls'"),
        (["pour"], "Missing argument 'POUR'"),
        (["pour", "22.5ml", "--brix", "54"], "Missing option '--standard'"),
        (["pour", "22.5ml", "--standard", "50"], "Missing option '--brix'"),
        (["pour", "22.5ml", "--standard", "50", "--brix"], "--brix"),
        (["totals"], "Missing argument 'DRINK'"),
        (["totals", "anchor", "--brix", "54"], "No such option: --brix"),
        (["rescale", "--brix", "54"], "Missing option '--syrup'"),
        (["rescale", "--syrup", "berry", "--brix", "54", "--cause", "weather"], "choose boiled, watered, sugar"),
        (["rescale", "--syrup", "berry", "--brix", "54", "--uncertainty", "wide"], "--uncertainty: "),
        (["check", "anchor"], "unexpected extra argument"),
        (["start"], "Missing argument 'DIR'"),
        (["--bogus"], "No such option: --bogus"),
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
    assert process("totals").code == 2
