"""Help answers at once, and a command loads no other: what is imported is what is used."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer

from balancer.cli.app import COMMANDS, app

HEAVY = (
    "balancer.models",
    "balancer.engine",
    "balancer.files",
    "balancer.output",
    "balancer.properties",
    "balancer.cli.commands",
    "ruamel",
    "numpy",
    "scipy",
    "CoolProp",
    "rich",
)
ROOT: Any = typer.main.get_command(app)
MODULES = Path(__file__).parent.parent / "balancer" / "cli" / "commands"
CHECKOUT = Path(__file__).parent.parent
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
"""Compiled modules are kept between the runs, as on any bar's machine."""


LISTED = """
import atexit, sys
atexit.register(lambda: sys.stderr.write("".join(f"imported {name}\\n" for name in sys.modules)))
from balancer.cli.app import main
main()
"""


def imported_by(*arguments: str) -> set[str]:
    """The modules that one run of the command line has imported when it ends."""
    command = [sys.executable, "-c", LISTED, *arguments]
    run = subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", check=False, cwd=CHECKOUT, env=ENVIRONMENT
    )
    assert run.returncode == 0, run.stderr[-2000:]
    return {line.removeprefix("imported ") for line in run.stderr.splitlines() if line.startswith("imported ")}


def heavy(modules: set[str]) -> set[str]:
    return {module for module in modules if module.startswith(HEAVY)}


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_the_root_imports_nothing_heavy(option: str) -> None:
    """No formula, no model, no parser, no command, and no library that computes."""
    modules = imported_by(option)
    assert "balancer.cli.app" in modules
    assert heavy(modules) == set()


def test_an_answer_shows_that_this_would_be_seen() -> None:
    found = heavy(imported_by("pour", "22.5ml", "--standard", "50", "--brix", "54"))
    assert {"balancer.engine.service.pour", "balancer.output.screen.pour", "ruamel.yaml"} <= found


def test_an_answer_needs_no_library_for_tests() -> None:
    """What only the tests install is never needed to answer."""
    found = heavy(imported_by("check"))
    assert {module for module in found if module.startswith(("numpy", "scipy", "CoolProp", "rich"))} == set()


PAGE = ("balancer.web", "starlette", "uvicorn", "jinja2", "segno", "h11", "anyio", "asyncio")
"""What only the page behind the bar needs."""


@pytest.mark.parametrize(
    "words",
    [("tonight",), ("check",), ("measure", "54.5", "raspberry"), ("page", "--help"), ("totals", "slipway sour")],
)
def test_an_answer_needs_nothing_of_the_page(words: tuple[str, ...]) -> None:
    """Nor does the help of the command that starts it."""
    specs = () if words[-1] == "--help" else ("--specs", "specs", "--json")
    found = imported_by(*words, *specs)
    assert {module for module in found if module.split(".")[0] in PAGE or module.startswith("balancer.web")} == set()


@pytest.mark.slow
@pytest.mark.parametrize("command", COMMANDS)
def test_no_command_imports_the_page_when_it_is_loaded(command: str) -> None:
    found = imported_by(command, "--help")
    assert {module for module in found if module.split(".")[0] in PAGE or module.startswith("balancer.web")} == set()


def test_an_answer_reads_no_pantry() -> None:
    """It is for a house that lacks a name."""
    found = imported_by("totals", "slipway sour", "--specs", "specs")
    assert "balancer.files.house.pours" in found
    assert {module for module in found if "pantry" in module} == set()


@pytest.mark.parametrize(
    "command", ["rescale", *[pytest.param(name, marks=pytest.mark.slow) for name in COMMANDS if name != "rescale"]]
)
def test_a_command_imports_no_other(command: str) -> None:
    found = {module for module in imported_by(command, "--help") if module.startswith("balancer.cli.commands.")}
    assert found == {f"balancer.cli.commands.{COMMANDS[command].module}"}


def test_every_module_of_a_command_is_in_the_table() -> None:
    modules = sorted(path.stem for path in MODULES.glob("*.py") if path.stem != "__init__")
    assert sorted(listed.module for listed in COMMANDS.values()) == modules


@pytest.mark.parametrize("command", COMMANDS)
def test_the_table_says_what_the_command_says(command: str) -> None:
    """The line in the table is how the command's own help begins."""
    line = COMMANDS[command].line
    found = ROOT.get_command(None, command)
    assert line.endswith(".")
    assert found.help.startswith(line[:-1])
