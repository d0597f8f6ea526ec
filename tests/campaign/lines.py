"""Command lines with slips, wrong values and hostile words, in this process and as programs of their own."""

from __future__ import annotations

import contextlib
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from random import Random
from typing import Any, Final

from tests.campaign.tally import Slice, Tally
from tests.campaign.words import commands, line, only_reads, wants_json
from tests.campaign.writers import MENU
from tests.cli.runner import CHECKOUT, Run, run

NOW: Final = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
PROCESSOR_SECONDS: Final = 20
"""That a line may take of the processor, where the machine has others to serve; and of the clock, below."""
CLOCK_SECONDS: Final = 300
_OUTSIDE: Final = 0.05
"""The share that runs as programs of their own."""
LINES: Final = 5_000
CODES: Final = (0, 1, 2)


class HangError(Exception):
    """A line took longer than it may."""


@contextlib.contextmanager
def limited() -> Iterator[None]:
    """Raises HangError in what takes too long."""

    def stop(*_: Any) -> None:
        raise HangError

    signal.signal(signal.SIGPROF, stop)
    signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_PROF, PROCESSOR_SECONDS)
    signal.setitimer(signal.ITIMER_REAL, CLOCK_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, 0)


class Place:
    """A folder to type in: the demo house as specs/ and a menu. It is made anew after a line that wrote."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.here = folder / "deep" / "down" / "here"
        self.renew()

    def renew(self) -> None:
        shutil.rmtree(self.folder, ignore_errors=True)
        self.here.mkdir(parents=True)
        shutil.copytree(CHECKOUT / "specs", self.here / "specs")
        (self.here / "menu.csv").write_text(MENU, encoding="utf-8")
        self.held = self.look()

    def look(self) -> dict[str, tuple[int, int]]:
        """Everything at or below the folder, with its size and the moment it was last written."""
        found = {}
        for top, folders, files in os.walk(self.folder):
            for name in (*folders, *files):
                path = os.path.join(top, name)
                there = os.lstat(path)
                found[path] = (there.st_size, there.st_mtime_ns) if name in files else (0, 0)
        return found


def lines(folder: Path) -> Slice:
    """Lines typed in a folder of their own."""
    place = Place(folder / "typed")
    options = commands()

    def some(share: float, seed: int) -> dict[str, Tally]:
        number = round(LINES * share)
        outside = round(number * _OUTSIDE)
        tally = Tally()
        with contextlib.chdir(CHECKOUT):
            for each in range(number):
                words = line(Random(f"lines {seed} {each}"), options)  # noqa: S311
                is_outside = each < outside
                tally.tried(f"line {each}: {words}", partial(_typed, place, words, tally, is_outside))
        return {"lines": tally}

    return some


def _typed(place: Place, words: list[str], tally: Tally, is_outside: bool) -> None:
    os.chdir(place.here)
    try:
        with limited():
            done = _as_program(words, place.here) if is_outside else _here(words, place.here)
    except HangError:
        tally.held(False, f"{words}: it hangs")
        place.renew()
        return
    finally:
        os.chdir(CHECKOUT)
    tally.count("lines")
    tally.count("as programs", is_outside)
    tally.count(f"exit code {done.code}")
    tally.held(done.code in CODES, f"{words}: exit code {done.code}")
    said = done.out + done.err
    tally.held("Traceback" not in said and "fault of the program" not in said, f"{words}: {said[-600:]}")
    tally.held(done.code == 0 or said.strip(), f"{words}: exit code {done.code}, and nothing is said")
    if wants_json(words):
        tally.count("in JSON")
        tally.held(_is_json(done.out), f"{words}: no JSON, {done.out[:300]!r} {done.err[:300]!r}")
    after = place.look()
    if only_reads(words):
        tally.count("that only read")
        tally.held(after == place.held, f"{words}: wrote {sorted(set(after.items()) ^ set(place.held.items()))[:4]}")
    if after != place.held:
        tally.count("that wrote")
        place.renew()


def _is_json(text: str) -> bool:
    def refuse(name: str) -> None:
        raise ValueError(name)

    try:
        json.loads(text, parse_constant=refuse)
    except ValueError:
        return False
    return True


def _here(words: list[str], here: Path) -> Run:
    return run(*words, specs=None, env={**NOW, "HOME": str(here), "XDG_STATE_HOME": str(here)})


def _as_program(words: list[str], here: Path) -> Run:
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("BALANCER_", "LC_", "PYTHON"))}
    environment = {**kept, **NOW, "PYTHONPATH": str(CHECKOUT), "HOME": str(here), "XDG_STATE_HOME": str(here)}
    environment["PYTHONDONTWRITEBYTECODE"] = "1"
    raw = [word.encode("utf-8", "surrogatepass") for word in words]
    raw = [word + b"\xff" if len(word) % 7 == 3 else word for word in raw]  # bytes that are no letters
    done = subprocess.run(
        [sys.executable, "-m", "balancer", *raw],
        cwd=here, env=environment, capture_output=True, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip
    return Run(done.returncode, done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace"))
