"""Imports only go down, as the contract in pyproject.toml says, and no module stands outside of it."""

from __future__ import annotations

import pkgutil
from pathlib import Path
from typing import Any

import pytest
from importlinter import api
from importlinter.application import use_cases
from importlinter.application.user_options import UserOptions
from importlinter.contracts.layers import LayersContract
from importlinter.domain.contract import registry

import balancer

PYPROJECT = Path(__file__).parent.parent / "pyproject.toml"
Contract = dict[str, Any]


@pytest.fixture(scope="module")
def contracts() -> list[Contract]:
    options: list[Contract] = api.read_configuration(str(PYPROJECT))["contracts_options"]
    return options


def findings(*contracts: Contract) -> list[str]:
    """What breaks the contracts, one line each; empty when all of them are kept."""
    registry.register(LayersContract, "layers")
    options = UserOptions({"root_packages": ["balancer"]}, [dict(contract) for contract in contracts])
    report = use_cases.create_report(options, cache_dir=None)
    assert not report.could_not_run, report.invalid_contract_options
    assert len(report.contracts) == len(contracts) > 0
    found = []
    for _, check in report.get_contracts_and_checks():
        imports = check.metadata["invalid_dependencies"]
        found += [f"{chain['importer']} imports {chain['imported']}" for chain in imports]
        found += [f"{module} has no layer" for module in check.metadata["undeclared_modules"]]
    assert report.contains_failures == bool(found)
    return found


def test_imports_only_go_down(contracts: list[Contract]) -> None:
    assert findings(*contracts) == []


def test_an_import_that_goes_up_is_found(contracts: list[Contract]) -> None:
    """Turned upside down, the same layers break where the command line imports the engine."""
    upside_down = contracts[0] | {"layers": contracts[0]["layers"][::-1]}
    assert "balancer.cli imports balancer.engine" in findings(upside_down)


def test_a_module_without_a_layer_is_found(contracts: list[Contract]) -> None:
    without = contracts[0] | {"layers": [layer for layer in contracts[0]["layers"] if layer != "errors"]}
    assert "balancer.errors has no layer" in findings(without)


def test_the_contract_leaves_nothing_out(contracts: list[Contract]) -> None:
    """Every module is named, and nothing is let off but what the contract itself gives a reason for."""
    named = {name.strip(" ()") for layer in contracts[0]["layers"] for name in layer.split("|")}
    assert {module.name for module in pkgutil.iter_modules(balancer.__path__)} <= named
    assert "exhaustive_ignores" not in contracts[0]
