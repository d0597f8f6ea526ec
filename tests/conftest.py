"""What every test shares: one hypothesis profile, which tests are quick, and which cases of long tables are slow."""

from __future__ import annotations

import gc
from collections import defaultdict
from functools import cache
from pathlib import Path
from typing import Final

import pytest
from hypothesis import HealthCheck, is_hypothesis_test, settings

from tests.examples import USUAL, examples

# The same examples every run, so that a failure is the change's. A loaded machine is no failure either.
settings.register_profile(
    "balancer",
    max_examples=examples(USUAL),
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("balancer")

# Thousands of collected tests are no rubbish, and looking through them over and over takes a tenth of the time.
gc.set_threshold(200_000, 50, 50)

TESTS: Final = Path(__file__).parent
QUICK: Final = tuple(
    TESTS / name
    for name in (
        "engine",
        "models",
        "test_components.py",
        "test_measured.py",
        "test_numerics.py",
        "test_units.py",
    )
)
"""Where tests call functions, and neither files nor the command line: by the durations, the quickest by far."""
_MARK: Final = "quick"


COUNTED: Final = "counted"
"""The property of a test under which it tells what it counted: said at the end of a run, in whatever process it was."""


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """What tests counted."""
    reports = [each for key in ("passed", "failed") for each in terminalreporter.stats.get(key, [])]
    told = [text for each in reports if each.when == "call" for name, text in each.user_properties if name == COUNTED]
    if told:
        terminalreporter.section("counted")
    for text in told:
        terminalreporter.write_line(str(text).rstrip())


@cache
def _is_quick_place(path: Path) -> bool:
    return any(path == place or place in path.parents for place in QUICK)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """With `-m quick` nothing else is even read: looking for the other thousands takes longer than these run."""
    if config.option.markexpr != _MARK or not collection_path.is_relative_to(TESTS.parent):
        return None
    holds_some = any(collection_path in place.parents for place in QUICK)
    return None if holds_some or _is_quick_place(collection_path) else True


CASES: Final = 3
"""Of a test with more cases than these the fast set runs so many, spread over its table: .ci/run runs the others too.

Quick places, and published values, are run whole.
"""


@cache
def _is_run_whole(path: Path) -> bool:
    return _is_quick_place(path) or TESTS / "properties" in path.parents


def _asks_for_all(config: pytest.Config) -> bool:
    """Whether every test was asked for, and none by its path: who names a file gets all of its cases."""
    everything = {config.rootpath / place for place in config.getini("testpaths")}
    return {config.invocation_params.dir / arg for arg in config.args} == everything


def _mark_most_cases_slow(items: list[pytest.Item]) -> None:
    tables: dict[str, list[pytest.Item]] = defaultdict(list)
    for item in items:
        if isinstance(item, pytest.Function) and hasattr(item, "callspec") and not _is_run_whole(item.path):
            tables[item.nodeid.partition("[")[0]].append(item)
    for cases in tables.values():
        kept = {round(part * (len(cases) - 1) / (CASES - 1)) for part in range(CASES)}
        for number, item in enumerate(cases):
            if number not in kept:
                item.add_marker("slow")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark what is quick by where it is: plain examples there, and not what tries hundreds of cases or is slow."""
    if _asks_for_all(config):
        _mark_most_cases_slow(items)
    for item in items:
        tries_many = isinstance(item, pytest.Function) and is_hypothesis_test(item.obj)
        if _is_quick_place(item.path) and not tries_many and item.get_closest_marker("slow") is None:
            item.add_marker(_MARK)
