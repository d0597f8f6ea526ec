"""A seeded share of the campaign, its counts printed; its parts notice what they are there for; its page is true."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.campaign import page, stored
from tests.campaign.disks import FAULTS
from tests.campaign.faults import Harm, harmed
from tests.campaign.files import FILES
from tests.campaign.kills import KILLS, LOG, Known, standing
from tests.campaign.lines import LINES, HangError, limited
from tests.campaign.parts import NAMES, PARTS
from tests.campaign.words import commands, only_reads, wants_json
from tests.campaign.writers import WRITERS, State, Writer
from tests.cli.runner import CHECKOUT
from tests.conftest import COUNTED
from tests.examples import ALL

SHARE = "1" if ALL else "0.1"
"""All of it in .ci/run, where it takes some ten minutes; a tenth where somebody tries the slow tests alone."""
posix = pytest.mark.skipif(os.name != "posix", reason="processes are forked and killed")


@posix
@pytest.mark.slow
@pytest.mark.parametrize("part", PARTS)
def test_a_share_of_the_campaign(part: str, record_property: Callable[[str, object], None]) -> None:
    """In a program of its own: this one has threads, and what it forks might wait for them for ever.

    What it counted stands at the end of the run, from whatever process it came.
    """
    command = [sys.executable, "-m", "tests.campaign", "--share", SHARE, part]
    kept = {key: value for key, value in os.environ.items() if not key.startswith("BALANCER_")}
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=CHECKOUT, env=kept)
    record_property(COUNTED, f"{float(SHARE):.0%} of the campaign, {done.stdout}")
    assert done.returncode == 0, (done.stdout + done.stderr)[-4000:]
    assert "promises broken: 0" in done.stdout


def test_the_page_is_up_to_date() -> None:
    assert page.PAGE.read_text(encoding="utf-8") == page.page(), "run: python -m tests.campaign --write"


def test_no_promise_was_broken_when_the_figures_were_made() -> None:
    assert {name: one.broken for name, one in stored.figures().items()} == dict.fromkeys(NAMES, 0)


def test_the_figures_are_of_so_many_slices_as_they_say() -> None:
    """Each has its part of the whole; the page names what has fewer slices than there are."""
    held = stored.figures()
    files, lines, kills, disks = (held[name].counts for name in ("files", "lines", "kills", "disks"))
    share = {name: held[name].slices / slices for name, slices in NAMES.items()}
    assert files["specs and houses"] + files["logs"] + files["spreadsheets"] >= FILES * share["files"]
    assert lines["lines"] == LINES * share["lines"]
    assert kills["kills"] >= KILLS * share["kills"]
    assert disks["calls refused"] == FAULTS * share["disks"]
    text = " ".join(page.PAGE.read_text(encoding="utf-8").split())
    assert all(f"{name}, {held[name].slices} of {NAMES[name]} slices" in text for name in share if share[name] < 1.0)
    assert ("Not all of it was run" in text) == (min(share.values()) < 1.0)


# The campaign notices what it looks for


@posix
@pytest.mark.parametrize(
    ("how", "left"), [("before", b"old"), ("half", b"ne"), ("after", b"new!"), ("ENOSPC", b"ne"), ("EIO", b"")]
)
def test_harm_comes_at_the_call_that_is_meant(tmp_path: Path, how: str, left: bytes) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"old")

    def work() -> str:
        try:
            path.write_bytes(b"new!")
        except OSError as error:
            return errno.errorcode[error.errno or 0]
        return "written"

    assert harmed(work).answer == "written"
    path.write_bytes(b"old")
    at = 0 if how == "before" else 1  # it is opened, then written
    ended = harmed(work, Harm(at, how))
    assert ended.answer == (how if how[0] == "E" else None)
    assert path.read_bytes() == left


OLD: State = {"specs": None, LOG: b"- 1\n", "a": b"1", "b": b"1"}


@pytest.mark.parametrize(
    ("now", "logs", "is_found"),
    [
        ({}, False, "old"),
        ({"a": b"2", "b": b"2", LOG: b"- 1\n- 2\n"}, True, "new"),
        ({"a": b"2"}, False, "some"),
        ({"a": b""}, False, "half"),
        ({"a": b"21"}, True, "half"),
        ({"c": b"what?"}, False, "half"),
        ({LOG: b"- 1\n- "}, True, "torn"),
        ({LOG: b"- 1\n- "}, False, "half"),
        ({LOG: b"- "}, True, "half"),
        ({LOG: b""}, True, "half"),
    ],
)
def test_half_a_file_is_noticed(now: State, logs: bool, is_found: str) -> None:
    new: State = {**OLD, "a": b"2", "b": b"2", LOG: b"- 1\n- 2\n"}
    known = Known(Writer("set", logs=logs), OLD, new, ("write",))
    assert standing({**OLD, **now}, known) == is_found


def test_a_file_that_is_gone_is_noticed() -> None:
    known = Known(Writer("set"), OLD, {**OLD, "a": b"2"}, ("write",))
    assert standing({"specs": None, LOG: b"- 1\n", "a": b"1"}, known) == "half"


def endless() -> None:
    while True:
        pass


@posix
def test_what_hangs_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.campaign.lines.PROCESSOR_SECONDS", 0.05)
    held = signal.getsignal(signal.SIGPROF), signal.getsignal(signal.SIGALRM)
    try:
        with pytest.raises(HangError), limited():
            endless()
    finally:
        signal.signal(signal.SIGPROF, held[0])
        signal.signal(signal.SIGALRM, held[1])


@pytest.mark.parametrize(
    ("line", "reads"),
    [
        ("tonight", True),
        ("totals anchor --json", True),
        ("batch list --all", True),
        ("measure 54 berry", True),
        ("measure 54 berry -l", False),
        ("measure 54 berry --log", False),
        ("batch add berry 54", False),
        ("cards --out=x.pdf", False),
        ("set anchor berry 20ml", False),
        ("--json start x", False),
    ],
)
def test_what_only_reads(line: str, reads: bool) -> None:
    assert only_reads(line.split()) is reads


def test_when_an_answer_is_json() -> None:
    assert wants_json(["totals", "--json"])
    assert wants_json(["--json", "totals"])
    assert not wants_json(["cards", "--out", "--json"])
    assert not wants_json(["totals", "--json", "-h"])
    assert not wants_json(["totals"])


def test_every_command_that_writes_is_harmed() -> None:
    """By the options of the help that write, and those that always do; `page` is killed by a benchmark of its own."""
    writing = {"--out", "--csv", "--log", "--write", "--save-map", "--copy-template", "--test-sheet"}
    by_option = {name for name, options in commands().items() if {option.word for option in options} & writing}
    always = {name for name in commands() if name.startswith("batch ")} - {"batch list", "batch show"}
    lines = [f"{each.line} " for each in WRITERS]
    wanted = by_option | always | {"set", "start"}
    assert len(wanted) > 20
    assert [name for name in sorted(wanted) if not any(line.startswith(f"{name} ") for line in lines)] == []
