"""Commands that meet a full or failing disk, one of their own without room, or what nobody may write."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import partial
from math import ceil
from pathlib import Path
from random import Random
from typing import Final

from tests.campaign.faults import TAKES_AWAY, Harm, harmed
from tests.campaign.kills import Bench, Known, kills
from tests.campaign.tally import Slice, Tally
from tests.campaign.writers import NOW, Writer, leftovers
from tests.cli.runner import Run, run
from tests.permissions import permissions_hold

FAULTS: Final = 1_000
ERRORS: Final = ("ENOSPC", "ENOSPC", "EDQUOT", "EIO", "EROFS", "EACCES")


def harms(folder: Path) -> Slice:
    """Kills, calls refused, disks without room and folders where nobody may write, over every writing command."""
    bench = Bench(folder, Tally())
    parts = {"kills": kills, "disks": faults, "read-only": read_only, "small disks": small_disks}

    def some(share: float, seed: int) -> dict[str, Tally]:
        found = {}
        for name, harm in parts.items():
            bench.tally = found[name] = Tally()
            harm(bench, share, seed)
        return found

    return some


def faults(bench: Bench, share: float, seed: int) -> None:
    """Commands on a disk that is full, fails or may not be written, from one of their calls on."""
    number = round(FAULTS * share)
    chance = Random(f"faults {seed}")  # noqa: S311
    for place in range(number):
        one = bench.known[place % len(bench.known)]
        wanting = [at for at, name in enumerate(one.calls) if name not in TAKES_AWAY]
        harm = Harm(chance.choice(wanting), chance.choice(ERRORS))
        told = f"balancer {one.writer.line}, {harm.how} at call {harm.at} ({one.calls[harm.at]})"
        bench.tally.tried(told, partial(_refused, bench, one, harm, told))


def _refused(bench: Bench, one: Known, harm: Harm, told: str) -> None:
    """It says so and leaves what was there; or it was about nothing that matters, and all is written."""
    tally = bench.tally
    bench.fresh()
    ended = bench.typed(one.writer, harm)
    if not tally.held(isinstance(ended.answer, Run), f"{told}: {ended}"):
        return
    tally.count("calls refused")
    tally.count(f"refused {harm.how}")
    _told_and_whole(bench, one, ended.answer, told)


def _told_and_whole(bench: Bench, one: Known, done: Run, told: str) -> None:
    tally = bench.tally
    found = bench.left(one, told)
    tally.count(f"left {found}")
    said = done.out + done.err
    tally.held(done.code in (0, 1), f"{told}: exit code {done.code}")
    tally.held("Traceback" not in said and "fault of the program" not in said, f"{told}: {said}")
    is_true = (done.code == 0) == (found == "new") and (found != "some" or "written" in said.replace("be written", ""))
    tally.held(is_true, f"{told}: exit code {done.code} and the folder is {found}: {said}")
    tally.held(not leftovers(bench.here), f"{told}: leaves {leftovers(bench.here)}")


def read_only(bench: Bench, share: float, seed: int) -> None:
    """Every writing command where nobody may write, neither the folders nor the files in them; or a share of them."""
    for one in _some(bench.known, share, seed):
        bench.tally.tried(one.writer.line, partial(_read_only, bench, one))


def _read_only(bench: Bench, one: Known) -> None:
    tally, told = bench.tally, f"balancer {one.writer.line}, read-only"
    bench.fresh()
    try:
        _chmod(bench.here, 0o555, 0o444)
        ended = harmed(partial(_as_anybody, bench, one.writer))
    finally:
        _chmod(bench.here, 0o755, 0o644)
    tally.count("read-only folders")
    if tally.held(isinstance(ended.answer, Run), f"{told}: {ended}"):
        tally.held(ended.answer.code == 1, f"{told}: exit code {ended.answer.code}")
        _told_and_whole(bench, one, ended.answer, told)


def _some(known: list[Known], share: float, seed: int) -> list[Known]:
    """A share of the writers; of seeds that follow each other the next ones, so that all have their turn."""
    number = min(ceil(len(known) * share), len(known))
    return [known[(seed * number + place) % len(known)] for place in range(number)]


def small_disks(bench: Bench, share: float, seed: int) -> None:
    """Every writing command, or a share of them, on a disk of its own without any room; none where nobody may mount."""
    for one in _some(bench.known, share, seed):
        shutil.rmtree(bench.here)
        bench.here.mkdir()
        with _mounted(bench.here) as is_mounted:
            if is_mounted:
                bench.tally.tried(one.writer.line, partial(_without_room, bench, one))
        bench.fresh()


@contextmanager
def _mounted(folder: Path) -> Iterator[bool]:
    """A disk of a megabyte at a folder, where this user may mount one."""
    command = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(folder)]
    if os.name != "posix" or os.getuid() != 0 or subprocess.run(command, check=False, capture_output=True).returncode:
        yield False
        return
    try:
        yield True
    finally:
        subprocess.run(["umount", str(folder)], check=True)  # noqa: S607


def _without_room(bench: Bench, one: Known) -> None:
    told = f"balancer {one.writer.line}, on a full disk"
    shutil.copytree(bench.template, bench.here, dirs_exist_ok=True)
    filler = bench.here / ".filler.lock"  # no leftover, then
    with suppress(OSError), filler.open("wb", buffering=0) as file:
        while True:
            file.write(bytes(4096))
    ended = bench.typed(one.writer)
    filler.unlink()
    bench.tally.count("full disks")
    if bench.tally.held(isinstance(ended.answer, Run), f"{told}: {ended}"):
        bench.tally.count("refused", ended.answer.code == 1)
        _told_and_whole(bench, one, ended.answer, told)


def _as_anybody(bench: Bench, writer: Writer) -> Run:
    os.chdir(bench.here)
    with permissions_hold():
        return run(*shlex.split(writer.line), specs=None, env=NOW)


def _chmod(folder: Path, folders: int, files: int) -> None:
    for path in [*folder.rglob("*"), folder]:
        path.chmod(folders if path.is_dir() else files)
