"""Several people who change one drink at the same moment: whatever was called written is there, each version once."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.runner import CHECKOUT
from tests.files.folders import write

DRINK = """\
drink: Slipway Sour
method: shaken
pours:
  - 60 ml gold rum
  - 22.5 ml lime juice
  - 20 ml simple syrup
version: 1
date: 2026-11-01
"""
FILE = "drinks/slipway-sour.yaml"
POURS = ("gold", "lime", "simple")


def started(specs: Path, pour: str, amount: str) -> subprocess.Popen[str]:
    """One person who sets one pour, and asks nobody."""
    words = ["set", "slipway", pour, amount, "--yes", "--specs", str(specs)]
    environment = {**os.environ, "PYTHONPATH": str(CHECKOUT), "BALANCER_NOW": "2026-11-25T18:30+01:00"}
    return subprocess.Popen(
        [sys.executable, "-m", "balancer", *words],
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def ended(running: subprocess.Popen[str]) -> tuple[int, str]:
    out, err = running.communicate(timeout=120)
    assert "Traceback" not in err
    return running.returncode, out + err


@pytest.mark.parametrize(
    "people",
    [
        [("gold", "lime"), ("lime", "lime")],
        *(
            pytest.param(rounds, marks=pytest.mark.slow)
            for rounds in ([("gold", "lime")] * 12, [("gold", "gold")] * 6, [POURS] * 6)
        ),
    ],
    ids=["few", "two", "same", "three"],
)
def test_no_change_is_lost_and_no_version_is_given_twice(tmp_path: Path, people: list[tuple[str, ...]]) -> None:
    """Of two who set different pours one version was both, or the first change went with the second."""
    specs = write(tmp_path, {FILE: DRINK})
    version, written = 1, 0
    for number, pours in enumerate(people):
        asked = [(pour, f"{25 + 5 * (number % 5) + 2.5 * place} ml") for place, pour in enumerate(pours)]
        done = [ended(each) for each in [started(specs, *one) for one in asked]]
        text = (specs / FILE).read_text(encoding="utf-8")
        kept = [pour for pour, (code, _) in zip(asked, done, strict=True) if code == 0]
        for code, told in done:
            assert code == 0 or (code == 1 and "changed meanwhile" in told), told
        written += len(kept)
        version += len(kept)
        found = re.search(r"^version: (\d+)$", text, re.MULTILINE)
        assert found is not None
        assert int(found[1]) == version, (done, text)
        if len({*pours}) > 1:
            assert all(f"- {amount} " in text for _, amount in kept), (done, text)
        else:
            assert not kept or any(f"- {amount} " in text for _, amount in kept), (done, text)
    assert written >= len(people)
