"""Commands killed while they write, and what they leave."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import chdir
from functools import partial
from pathlib import Path
from random import Random
from typing import Final, NamedTuple

from balancer.files.log.batch_log import FILE, read_log
from tests.campaign.faults import Ended, Harm, harmed
from tests.campaign.tally import Tally
from tests.campaign.writers import NOW, WRITERS, State, Writer, bar, leftovers, state
from tests.cli.runner import CHECKOUT, Run, run

HOUSES: Final = ("specs", "branch")
LOG: Final = f"specs/{FILE}"
KILLS: Final = 1_000
_VERSION: Final = re.compile(rb"version: [0-9]+")
_OUTSIDE: Final = 0.1
"""The share of kills that come from outside at any moment, to a program of its own: most of its life it only reads."""


class Known(NamedTuple):
    """A writer that came to no harm: the folder before and after, and the calls it made."""

    writer: Writer
    old: State
    new: State
    calls: tuple[str, ...]

    def but_versions(self) -> Known:
        """The same but for the versions of drinks."""
        return Known(self.writer, _but_versions(self.old), _but_versions(self.new), self.calls)

    def points(self) -> list[Harm]:
        """Every moment at which the disk may stand otherwise: before each call, within each write, after the last."""
        halves = [Harm(at, "half") for at, name in enumerate(self.calls) if name == "write"]
        before = [Harm(at, "before") for at in range(len(self.calls))]
        return [*before, *halves, Harm(len(self.calls) - 1, "after")]


class Bench:
    """A folder in which one bar after another is harmed."""

    def __init__(self, folder: Path, tally: Tally) -> None:
        self.template = bar(folder / "template")
        self.here = folder / "bar"
        self.tally = tally
        warm(self.template)
        self.known = [self._known(writer) for writer in WRITERS]

    def fresh(self) -> None:
        if self.here.exists():
            shutil.rmtree(self.here)
        shutil.copytree(self.template, self.here)

    def typed(self, writer: Writer, harm: Harm | None = None) -> Ended:
        def work() -> Run:
            os.chdir(self.here)
            return run(*shlex.split(writer.line), specs=None, env=NOW)

        return harmed(work, harm)

    def _known(self, writer: Writer) -> Known:
        self.fresh()
        old = state(self.here)
        ended = self.typed(writer)
        assert isinstance(ended.answer, Run), (writer.line, ended)
        assert ended.answer.code == 0, (writer.line, ended.answer)
        new = state(self.here)
        assert new != old, f"it writes nothing: {writer.line}"
        for at, name in enumerate(ended.calls):  # or the name of a file could be on the disk before what is in it
            if name == "replace" and "write" in ended.calls[:at]:
                since = ended.calls[max(n for n in range(at) if ended.calls[n] == "write") : at]
                assert "fsync" in since, f"it puts a file in place before it is safe: {writer.line}"
        return Known(writer, old, new, ended.calls)

    def left(self, known: Known, told: str) -> str:
        """How the folder stands after harm, one of old, new, some, torn; anything else is a finding, "half"."""
        now = state(self.here)
        found = standing(now, known)
        if found == "half" and standing(_but_versions(now), known.but_versions()) != "half":
            found = "some"
        self.tally.held(found != "half", f"{told}: half a file, {_odd(now, known)}")
        with chdir(self.here):
            done = [run("check", "--json", "--specs", house, specs=None, env=NOW) for house in HOUSES]
        codes = {problem["code"] for each in done for problem in json.loads(each.out)["problems"]}
        told_of = {"broken-off", "override"} | ({"torn-line"} if found == "torn" else set())  # what was left is told
        self.tally.held(codes <= told_of, f"{told}: the folder does not load whole, {sorted(codes)}")
        self.tally.held(found != "torn" or "torn-line" in codes, f"{told}: a torn line is not told")
        return found


def standing(now: State, known: Known) -> str:
    """How a folder stands: as before, as after, some files as after and the others as before, a log torn at its end."""
    if now == known.old:
        return "old"
    if now == known.new:
        return "new"
    odd = _odd(now, known)
    if not odd:
        return "some"
    is_torn = known.writer.logs and (now.get(LOG) or b"").startswith(known.old[LOG] or b"?")  # check tells the rest
    return "torn" if odd == [LOG] and is_torn else "half"


def _odd(now: State, known: Known) -> list[str]:
    """What is neither as it was nor as it was to become; what is gone, too."""
    nothing = b"\0nothing"
    names = [*now, *(name for name in known.old if name not in now)]
    either = {name: (known.old.get(name, nothing), known.new.get(name, nothing)) for name in names}
    return [name for name in names if now.get(name, nothing) not in either[name]]


def warm(folder: Path) -> None:
    """Import what the commands import, so that no child does it again."""
    lines = ("check", "tonight --json", "totals anchor", "batch list", "export drinks", "import menu.csv", "make mint")
    with chdir(folder):
        for line in (*lines, "swap anchor --out berry --in plain", "adjust anchor --sugar -10%", "fits anchor"):
            run(*shlex.split(line), specs=None, env=NOW)
        for line in ("cards", "strips", "labels", "chart", "bottle", "start", "set", "sheet rail", "measure"):
            run(*line.split(), "-h", specs=None)
    import filelock  # noqa: F401, PLC0415


def kills(bench: Bench, share: float, seed: int) -> None:
    """A share of the kills, some of them on what the kill before had left."""
    number = round(KILLS * share)
    tally = bench.tally
    chance = Random(f"kills {seed}")  # noqa: S311
    outside = round(number * _OUTSIDE)
    for one, harm in _points(bench.known, chance, number - outside):
        if tally.counts["kills"] >= number - outside:
            break
        told = f"balancer {one.writer.line}, killed {harm.how} call {harm.at} ({one.calls[harm.at]})"
        tally.tried(told, partial(_killed, bench, one, harm, told, chance))
    for _ in range(outside):
        one = chance.choice(bench.known)
        tally.tried(one.writer.line, partial(_killed_outside, bench, one, chance))


def _points(known: list[Known], chance: Random, number: int) -> Iterator[tuple[Known, Harm]]:
    """Points of every command in turn; one that has more of them comes again when all had theirs."""
    waiting = {one.writer.line: chance.sample(one.points(), len(one.points())) for one in known}
    for _ in range(number):
        for one in known:
            if not waiting[one.writer.line]:
                waiting[one.writer.line] = chance.sample(one.points(), len(one.points()))
            yield one, waiting[one.writer.line].pop()


def _killed(bench: Bench, one: Known, harm: Harm, told: str, chance: Random) -> None:
    """Kill a command, look, kill it again while it makes good what is missing, look, and let it end."""
    tally = bench.tally
    bench.fresh()
    for again in (harm, chance.choice(one.points())):
        ended = bench.typed(one.writer, again)
        tally.held(not ended.is_hung, f"{told}: hangs")
        if ended.answer is not None:  # it had come to its end, or refused: for want of harm it did what it does
            break
        tally.count("kills")
        tally.count(f"killed {again.how}")
        found = bench.left(one, told)
        tally.count(f"left {found}")
        if found in ("new", "half"):
            break
    _again(bench, one, told)


def _again(bench: Bench, one: Known, told: str) -> None:
    """The command typed once more: it makes the new state, or says that it is there."""
    tally = bench.tally
    before = standing(state(bench.here), one)
    kept, logged = _events(bench.template), _events(bench.here)
    is_logged = one.writer.logs and len(logged) > len(kept)  # below a torn line, perhaps: it may say that it is
    tally.count("unfinished files left behind", len(leftovers(bench.here)))
    ended = bench.typed(one.writer)
    if not tally.held(isinstance(ended.answer, Run), f"{told}, then typed again: {ended}"):
        return
    after = state(bench.here)
    if before != "new":
        tally.held(ended.answer.code == 0 or is_logged, f"{told}, then typed again: {ended.answer}")
    if one.writer.logs:
        events = _events(bench.here)
        tally.held(events[: len(kept)] == kept, f"{told}, then typed again: lost of the log, {events}")
        tally.held(len(events) > len(kept), f"{told}, then typed again: not logged")
    elif before != "new" and standing(after, one) != "new":
        is_alike = _but_versions(after) == _but_versions(one.new)
        tally.held(is_alike, f"{told}, then typed again: {_odd(after, one)}")
        tally.count("versions that rose twice", is_alike)
    with chdir(bench.here):
        copies = run("check", "--json", "--specs", "branch", specs=None, env=NOW).data["overrides"]
    blind = [copy["id"] for copy in copies if copy["since"] != "same"]
    tally.held(not blind, f"{told}, then typed again: what the base said of {blind} is not noted")
    tally.count("copies of the base's", len(copies))
    tally.count("typed again")


def _events(here: Path) -> list[tuple[str, str]]:
    return [(entry.batch, entry.event) for entry in read_log(here / "specs").entries]


def _but_versions(now: State) -> State:
    """A folder but for the versions of its drinks: killed between two files, a change done again raises them again."""
    return {name: content and _VERSION.sub(b"", content) for name, content in now.items()}


def _killed_outside(bench: Bench, one: Known, chance: Random) -> None:
    """A program of its own, killed at any moment of its life; it is not known beforehand how long that is."""
    bench.fresh()
    environment = {key: value for key, value in os.environ.items() if not key.startswith("BALANCER_")}
    environment |= {"PYTHONPATH": str(CHECKOUT), **NOW}
    command = [sys.executable, "-m", "balancer", *shlex.split(one.writer.line)]
    quiet = subprocess.DEVNULL
    with subprocess.Popen(command, cwd=bench.here, env=environment, stdin=quiet, stdout=quiet, stderr=quiet) as running:
        time.sleep(chance.uniform(0.0, 2.0))
        running.send_signal(signal.SIGKILL)
    bench.tally.count("kills")
    bench.tally.count("killed from outside")
    told = f"balancer {one.writer.line}, killed from outside"
    bench.tally.count(f"left {bench.left(one, told)}")
    _again(bench, one, told)
