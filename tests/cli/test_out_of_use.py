"""A batch that is past its date or used up is not worked with."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

LOG = """\
- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 54, "made": "2026-11-10", "discard": "2026-11-16"}
- {"batch": "BER-1", "event": "open"}
- {"batch": "BER-2", "syrup": "berry-syrup", "event": "made", "brix": 54, "made": "2026-11-24", "discard": "2026-11-30"}
- {"batch": "BER-2", "event": "empty"}
"""
EVENING = {"BALANCER_NOW": "2026-11-25T21:10+01:00"}


@pytest.mark.parametrize("command", ["correct --batch {}", "bottle 'anchor sour' --serves 2 --from {}"])
@pytest.mark.parametrize(("batch", "said"), [("BER-1", "past its last day of use"), ("BER-2", "BER-2 is empty")])
def test_it_is_refused_with_what_to_do(tmp_path: Path, command: str, batch: str, said: str) -> None:
    """Nothing brings back a syrup past its last day, and an empty bottle holds nothing."""
    specs = copy_of_house(tmp_path, batches=LOG)
    done = run(*shlex.split(command.format(batch)), specs=specs, env=EVENING)
    assert done.code == 1
    assert said in done.err
    assert done.out == ""


def test_tonight_gives_no_pour_for_it(tmp_path: Path) -> None:
    """It is to be taken out; its conversions are not shown."""
    done = run("tonight", specs=copy_of_house(tmp_path, batches=LOG), env=EVENING)
    assert done.first == "tonight 25 Nov: BER-1 out of date"
    assert "→" not in done.out
