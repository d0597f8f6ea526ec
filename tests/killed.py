"""A command killed at any of its writes: each in a process of its own, which dies right before that write.

A write is whatever changes something on the disk: a file opened to be written, or put on the disk, a folder made, a
name given or taken away.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

CHANGES: Final = frozenset(
    ("os.rename", "os.remove", "os.mkdir", "os.rmdir", "os.link", "os.symlink", "os.truncate", "os.chmod", "os.chown")
)
"""What an audit hook is told of that changes something (the table of audit events of Python's documentation)."""
NEVER: Final = 1_000_000


def every_kill(
    command: Sequence[str], within: Path, before: Callable[[], None], after: Callable[[int], None], most: int = 24
) -> int:
    """Kill a command at each of its writes, every time from the same beginning, and look at what is there then.

    before  puts the beginning there; after looks, and is told the number of the write
    most    writes at which it is killed: of more of them the last half of so many, and some of those before
    Returns how many writes the command has.
    """
    before()
    writes = _run(command, within, NEVER)
    if writes is None:
        raise AssertionError("it was killed by something else")
    last = range(max(writes - most // 2, 0), writes)
    first = range(0, last.start, max(-(-last.start // (most // 2)), 1))
    for number in (*first, *last):
        before()
        if _run(command, within, number) is not None:
            raise AssertionError(f"it was not killed at {number} of {writes}")
        after(number)
    return writes


def _run(command: Sequence[str], within: Path, number: int) -> int | None:
    """Run a command in a child that is killed right before its write of that number, counted from 0, below a folder.

    Returns None when it was killed, else how many writes it had.
    """
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        counted = _die_at(number, f"{within}{os.sep}")
        try:
            quiet = os.open(os.devnull, os.O_RDWR)
            for stream in (0, 1, 2):
                os.dup2(quiet, stream)
            from balancer.cli.app import app  # noqa: PLC0415

            app([*command], standalone_mode=False)
        finally:
            os.write(writer, str(counted[0]).encode())
            os._exit(0)
    os.close(writer)
    with open(reader, encoding="ascii") as pipe:
        said = pipe.read()
    _, status = os.waitpid(child, 0)
    return None if os.WIFSIGNALED(status) else int(said)


def _die_at(number: int, within: str) -> list[int]:
    """Count the writes below a folder, and die at one of them. Returns where they are counted."""
    seen = [0]

    def count() -> None:
        if seen[0] == number:
            os.kill(os.getpid(), signal.SIGKILL)
        seen[0] += 1

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        path = arguments[0] if arguments else None
        if not isinstance(path, str | bytes | os.PathLike) or (event != "open" and event not in CHANGES):
            return
        flags = arguments[2] if event == "open" else os.O_WRONLY
        writes = isinstance(flags, int) and flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC)
        if writes and os.path.abspath(os.fsdecode(path)).startswith(within):
            count()

    synced = os.fsync

    def sync(descriptor: int) -> None:
        count()
        synced(descriptor)

    os.fsync = sync  # type: ignore[assignment]
    sys.addaudithook(hook)
    return seen
