"""The page under load and in the dark, in short; `tests/benchmarks/page_load.py` is the long form."""

from __future__ import annotations

import shutil
from contextlib import closing
from http import HTTPStatus
from http.client import HTTPConnection
from pathlib import Path

import pytest

from balancer.desk.desk import Desk
from tests.benchmarks.page_load import DEVICES, killed, loaded, lost
from tests.web.browsing import SPECS, read
from tests.web.serving import Device, logged, served

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


def test_two_devices_at_one_bottle_see_each_other(specs: Path, tmp_path: Path) -> None:
    """The second reads otherwise, and says so when asked: both readings are logged, in their order."""
    with (
        served(specs, tmp_path / "state") as page,
        closing(Device(page.port)) as one,
        closing(Device(page.port)) as other,
        closing(HTTPConnection("127.0.0.1", page.port, timeout=10)) as line,
    ):
        line.request("GET", f"/changes?since={other.get('/still-there')[1]}")
        with line.getresponse() as heard:
            assert sent(one, one.get("/batches/SIM-1")[1], brix="51.3")[0] == HTTPStatus.SEE_OTHER
            status, asked = sent(other, other.get("/batches/SIM-1")[1], brix="48.6")
            assert status == HTTPStatus.CONFLICT
            assert "SIM-1 was read 51.3 at 18:30: still log 48.6?" in read(asked).text
            assert strengths(specs)[-1] == 51.3
            assert sent(other, asked)[0] == HTTPStatus.SEE_OTHER
            for device in (one, other):
                _, text = device.get("/batches/SIM-1")
                assert "48.6" in text
                assert "51.3" in text
            said = [heard.readline() for _ in range(8)]
            assert said[1::4] == [b"event: beat\n", b"event: changed\n"]
    assert strengths(specs)[-2:] == [51.3, 48.6]


def sent(device: Device, shown: str, **typed: str) -> tuple[int, str]:
    """What the form of a reading on a page of SIM-1 leads to, sent as it is shown but for what is typed."""
    address = "/batches/SIM-1/reading"
    (form,) = [node for node in read(shown).find("form") if node.attributes["action"] == address]
    fields = {node.attributes["name"]: node.attributes.get("value", "") for node in form.find("input")} | typed
    device.token = fields["token"]
    return device.post(address, fields)


def strengths(specs: Path) -> list[object]:
    """What was read of SIM-1, in the order of the log, °Bx."""
    return [entry["brix"] for entry in logged(specs) if entry["batch"] == "SIM-1" and "brix" in entry]


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
