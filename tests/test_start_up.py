"""Help answers at once: it loads no formula, no model, no parser, and no library that computes."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer

import balancer.cli.app

HEAVY = (
    "balancer.models",
    "balancer.engine",
    "balancer.files",
    "balancer.output",
    "balancer.properties",
    "ruamel",
    "numpy",
    "scipy",
    "CoolProp",
    "rich",
)
APP = balancer.cli.options.app
GROUPS = [group.typer_instance.info.name for group in APP.registered_groups if group.typer_instance]
COMMANDS = sorted(
    [name for command in APP.registered_commands if (name := command.name)] + [str(name) for name in GROUPS]
)
CHECKOUT = Path(__file__).parent.parent
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
"""Compiled modules are kept between the runs, as on any bar's machine."""


def imported_by(*arguments: str) -> set[str]:
    """The modules that one run of the command line imports, as the interpreter reports them."""
    command = [sys.executable, "-X", "importtime", "-m", "balancer", *arguments]
    run = subprocess.run(
        command, capture_output=True, text=True, encoding="utf-8", check=False, cwd=CHECKOUT, env=ENVIRONMENT
    )
    lines = [line for line in run.stderr.splitlines() if line.startswith("import time:")]
    assert run.returncode == 0, run.stderr[-2000:]
    return {line.rpartition("|")[2].strip() for line in lines}


def heavy(modules: set[str]) -> set[str]:
    return {module for module in modules if module.startswith(HEAVY)}


@pytest.mark.parametrize("command", ["", *[pytest.param(command, marks=pytest.mark.slow) for command in COMMANDS]])
def test_help_imports_nothing_heavy(command: str) -> None:
    modules = imported_by(*command.split(), "--help")
    assert "balancer.cli.app" in modules
    assert heavy(modules) == set()


def test_an_answer_shows_that_this_would_be_seen() -> None:
    found = heavy(imported_by("pour", "22.5ml", "--standard", "50", "--brix", "54"))
    assert {"balancer.engine.service.pour", "balancer.output.screen.pour", "ruamel.yaml"} <= found


def test_an_answer_needs_no_library_for_tests() -> None:
    """What only the tests install is never needed to answer."""
    found = heavy(imported_by("check"))
    assert {module for module in found if module.startswith(("numpy", "scipy", "CoolProp", "rich"))} == set()


def test_every_command_is_looked_at() -> None:
    group = typer.main.get_command(APP)
    assert sorted(getattr(group, "commands", {})) == COMMANDS
