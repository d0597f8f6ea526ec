"""What every test shares: one hypothesis profile, and which tests are quick."""

from __future__ import annotations

import gc
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


def _is_quick_place(path: Path) -> bool:
    return any(path == place or place in path.parents for place in QUICK)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """With `-m quick` nothing else is even read: looking for the other thousands takes longer than these run."""
    if config.option.markexpr != _MARK or not collection_path.is_relative_to(TESTS.parent):
        return None
    holds_some = any(collection_path in place.parents for place in QUICK)
    return None if holds_some or _is_quick_place(collection_path) else True


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what is quick by where it is: plain examples there, and not what tries hundreds of cases or is slow."""
    for item in items:
        tries_many = isinstance(item, pytest.Function) and is_hypothesis_test(item.obj)
        if _is_quick_place(item.path) and not tries_many and item.get_closest_marker("slow") is None:
            item.add_marker(_MARK)
