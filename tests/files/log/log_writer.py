"""A program that writes the batch log and comes to harm: killed, crowded, without room, without permission.

Run by the tests of the log as `python log_writer.py MODE FOLDER NUMBER`; prints one JSON object.
"""

from __future__ import annotations

import json
import os
import random
import resource
import signal
import sys
import time
from datetime import datetime
from pathlib import Path

import filelock  # noqa: F401 - before this program gives up its rights to read it

from balancer.engine.batch.ids import next_batch_id
from balancer.errors import CannotError
from balancer.files.log.batch_log import FILE, LogRead, append_log, read_log
from balancer.models.batch import LogEntry

NOBODY = 65534
PER_WRITER = 25


def log_one(folder: Path) -> str:
    """Log a batch with the next id, and open it: two lines that belong together."""

    def make(log: LogRead) -> list[LogEntry]:
        at = datetime.now().astimezone()
        identity = next_batch_id(log.entries, "raspberry syrup")
        note = "x" * random.randrange(400)  # noqa: S311 - lines of many lengths, no secret
        return [
            LogEntry(identity, "made", at, liquid="raspberry-syrup", brix=50.0, note=note),
            LogEntry(identity, "open", at),
        ]

    return append_log(folder, make)[0].batch


def killed(folder: Path, rounds: int) -> dict[str, object]:
    """A writer in a loop, killed at a random moment, so many times; the log is read after each.

    It dies on its first, second or third entry, somewhere between two acknowledgements as far apart as
    the last two were.
    """
    acknowledged: list[str] = []
    apart = 0.01
    torn = 0
    for _ in range(rounds):
        reader, writer = os.pipe()
        child = os.fork()
        if child == 0:
            while True:
                os.write(writer, f"{log_one(folder)}\n".encode())
        os.close(writer)
        with open(reader, encoding="ascii") as lines:
            for _ in range(random.randrange(3)):  # noqa: S311
                started = time.monotonic()
                acknowledged.append(lines.readline().strip())
                apart = min(time.monotonic() - started, 0.05)
            time.sleep(random.uniform(0.0, apart))  # noqa: S311
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            acknowledged += [line.strip() for line in lines if line.endswith("\n")]
        log = read_log(folder)
        missing = set(acknowledged) - {entry.batch for entry in log.entries if entry.event == "open"}
        if missing:
            raise SystemExit(f"acknowledged and lost: {missing}")
        torn = len(log.problems)
    return {"acknowledged": acknowledged, "problems": torn}


def crowd(folder: Path, writers: int) -> dict[str, object]:
    """Several writers at once, each logging its share; in turn in the folders that it holds, if it holds any."""
    children = []
    folders = [path for path in sorted(folder.iterdir()) if path.is_dir()] or [folder]
    for number in range(writers):
        child = os.fork()
        if child == 0:
            for _ in range(PER_WRITER):
                log_one(folders[number % len(folders)])
            os._exit(0)
        children.append(child)
    return {"codes": [os.waitpid(child, 0)[1] for child in children]}


def no_room(folder: Path, room: int) -> dict[str, object]:
    """A file that may grow by a few bytes only: the system writes what fits, and no more."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    size = (folder / FILE).stat().st_size
    resource.setrlimit(resource.RLIMIT_FSIZE, (size + room, size + room))
    return told(folder)


def full_disk(folder: Path, _: int) -> dict[str, object]:
    """Log until the disk is full."""
    done: list[str] = []
    while True:
        try:
            done.append(log_one(folder))
        except CannotError as error:
            return {"acknowledged": done, "message": error.message, "remedy": error.remedy}


def no_permission(folder: Path, _: int) -> dict[str, object]:
    """As somebody who may not write here: permissions do not stop the superuser."""
    os.chdir(folder)
    if os.getuid() == 0:
        os.setgroups([])
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    return told(Path())


def told(folder: Path) -> dict[str, object]:
    """What a writer says that cannot write."""
    try:
        log_one(folder)
    except CannotError as error:
        return {"code": error.code, "message": error.message, "remedy": error.remedy}
    return {}


MODES = {
    "killed": killed,
    "crowd": crowd,
    "no-room": no_room,
    "full-disk": full_disk,
    "no-permission": no_permission,
}

if __name__ == "__main__":
    mode, place, number = sys.argv[1:]
    print(json.dumps(MODES[mode](Path(place), int(number))))
