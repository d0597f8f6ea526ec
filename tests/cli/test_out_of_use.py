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
    """It is to be discarded; its conversions are not shown."""
    done = run("tonight", specs=copy_of_house(tmp_path, batches=LOG), env=EVENING)
    assert done.first == "tonight 25 Nov: discard BER-1, past its last day"
    assert "→" not in done.out


def test_correct_never_guesses_it(tmp_path: Path) -> None:
    """BER-1 is the only berry syrup in the house, and past its last day: the answer is to discard it."""
    specs = copy_of_house(tmp_path, batches=LOG)
    done = run("correct", "--syrup", "berry", specs=specs, env=EVENING)
    assert (done.code, done.out) == (1, "")
    assert "BER-1 is past its last day of use" in done.err
    assert "balancer batch discard BER-1" in done.err


def test_correct_guesses_the_one_that_may_be_used(tmp_path: Path) -> None:
    made = '- {"batch": "BER-3", "syrup": "berry-syrup", "event": "made", "brix": 53, "discard": "2026-11-30"}\n'
    specs = copy_of_house(tmp_path, batches=LOG + made)
    done = run("correct", "--syrup", "berry", "--json", specs=specs, env=EVENING)
    assert (done.code, done.data["batch"]) == (0, "BER-3")


def test_correct_with_a_syrup_takes_the_batch_that_counts(tmp_path: Path) -> None:
    """Two of the rich syrup are open, and one past its last day: the first opened of those in use is at 64 °Bx.

    1000 g at 46 need 1000 x 4 / (64 - 50) = 286 g of it.
    """
    lines = []
    made = [("RIC-1", 60, "2026-11-20"), ("RIC-2", 64, "2026-11-30"), ("RIC-3", 68, "2026-11-30")]
    for place, (batch, brix, discard) in enumerate(made):
        head, event = f'- {{"batch": "{batch}"', f'"event": "open", "at": "{at(place)}"}}'
        syrup = f'"syrup": "rich-syrup", "event": "made", "brix": {brix}, "discard": "{discard}"}}'
        lines += [f"{head}, {syrup}", f"{head}, {event}"]
    specs = copy_of_house(tmp_path, batches="\n".join([*lines, ""]))
    done = run(
        *["correct", "--syrup", "berry", "--brix", "46", "--mass", "1kg", "--with", "rich", "--json"],
        specs=specs,
        env=EVENING,
    )
    assert done.code == 0
    assert done.data["add_g"] == pytest.approx(1000.0 * 4.0 / 14.0)


def at(hour: int) -> str:
    return f"2026-11-24T1{hour}:00:00+00:00"
