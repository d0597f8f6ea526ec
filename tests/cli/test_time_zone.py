"""The time zone that the environment names: one that the machine does not know is told, and never taken for UTC."""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from balancer.unseen import INSTEAD
from tests.cli.runner import CHECKOUT, copy_of_house, run

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="Windows has its own time zone")


DEMO = CHECKOUT / "specs"


@pytest.fixture
def in_zone(monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[[str], None]]:
    """Lets this process live in a time zone, until the test ends."""

    def live(zone: str) -> None:
        monkeypatch.setenv("TZ", zone)
        time.tzset()

    yield live
    monkeypatch.undo()
    time.tzset()


NONSENSE = (
    *("Foo/Bar", "Europe", "nonsense", "x" * 5_000, "UTC+99", "UTC+24", "  ", "\u202e", "a\nFORGED", "/etc/passwd"),
    *("../../../etc/passwd", "/dev/zero", "CET-1CEST,whenever", ":", "Europe/Oslo\n"),
)


@pytest.mark.parametrize("zone", NONSENSE, ids=lambda zone: ascii(zone[:20]))
def test_nonsense_is_told(zone: str) -> None:
    """The clock went on in UTC, hours off, or `balancer` failed: "must be a timedelta strictly between"."""
    for words in (("tonight",), ("batch", "list")):
        done = run(*words, specs=DEMO, env={"TZ": zone})
        assert (done.code, done.out) == (2, "")
        shown = zone.replace("\u202e", INSTEAD).replace("\n", INSTEAD)
        assert done.err.startswith(f'TZ: "{shown[:150]}')
        assert "is no time zone that this machine knows" in done.err
        assert done.err.count("\n") == 2
    told = run("tonight", "--json", specs=DEMO, env={"TZ": zone})
    assert json.loads(told.out)["problems"][0]["code"] == "usage"


@pytest.mark.parametrize(
    ("zone", "offset"),
    [
        ("UTC", "+00:00"),
        ("UTC0", "+00:00"),
        ("CET-1", "+01:00"),
        ("<+0330>-3:30", "+03:30"),
        ("EST5", "-05:00"),
        ("CET-1CEST,M3.5.0,M10.5.0/3", "+01:00"),
        ("AEST-10AEDT,M10.1.0,M4.1.0/3", "+11:00"),
        ("Etc/GMT+5", "-05:00"),
        (":Asia/Kolkata", "+05:30"),
        ("Europe/Oslo", "+01:00"),
    ],
)
def test_what_the_machine_knows_is_taken(
    tmp_path: Path, in_zone: Callable[[str], None], zone: str, offset: str
) -> None:
    """Offsets in November, by the zones' own rules."""
    specs = copy_of_house(tmp_path)
    in_zone(zone)
    done = run("batch", "add", "berry", "54", specs=specs, env={"BALANCER_NOW": "2026-11-25T18:30"})
    assert done.code == 0, done.err
    line = json.loads((specs / "batches.yaml").read_text(encoding="utf-8").splitlines()[-1].removeprefix("- "))
    assert line["at"] == f"2026-11-25T18:30:00.000000{offset}"


def test_the_demo_lives_in_its_own_time() -> None:
    assert run("tonight", "--demo", specs=None, env={"TZ": "nonsense"}).first
