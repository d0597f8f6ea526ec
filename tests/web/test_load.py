"""The page under load and in the dark, in short; `tests/benchmarks/page_load.py` is the long form."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from balancer.desk.desk import Desk
from tests.benchmarks.page_load import DEVICES, killed, loaded, lost
from tests.web.browsing import SPECS

pytestmark = pytest.mark.slow


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    return shutil.copytree(SPECS, tmp_path / "specs")


def test_fifty_devices_read_and_log_at_once(specs: Path, tmp_path: Path) -> None:
    load = loaded(specs, tmp_path / "state", 5)
    assert load.errors == []
    assert len(load.times["read"]) > 2 * DEVICES
    assert len(load.kept) > 5
    assert lost(specs, load.kept) == []


def test_nothing_acknowledged_is_lost_when_the_page_is_killed(specs: Path, tmp_path: Path) -> None:
    kept, cut, errors = killed(specs, tmp_path / "state", 5)
    assert errors == []
    assert cut == 50
    assert len(kept) > 5
    assert lost(specs, kept) == []
    assert Desk(specs).log_problems == ()


def test_what_is_lost_would_be_seen(specs: Path) -> None:
    assert lost(specs, [500.1]) == [500.1]
    what = '"batch": "SIM-9", "syrup": "simple-syrup", "event": "made", "mass": 500.1, "by": "Load"'
    line = f'- {{{what}, "at": "2026-11-25T18:00:00+01:00"}}\n'
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write(line)
    assert lost(specs, [500.1]) == []
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write(line)
    assert lost(specs, [500.1]) == [500.1]
