"""A process that comes to harm at one call of the operating system: killed there, or told that the disk is full.

Within `harmed` every call by which Python code changes a disk is met first: files are opened by the standard library's
own `_pyio`, whose writes go through `os.write`, so that each can be counted, cut in half or refused.
"""

from __future__ import annotations

import _pyio  # type: ignore[import-not-found]
import builtins
import errno
import io
import os
import pickle
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Final, NamedTuple

CALLS: Final = (
    *("open", "write", "fsync", "replace", "rename", "link", "symlink", "mkdir", "rmdir", "unlink", "remove"),
    *("ftruncate", "truncate", "chmod", "chown"),
)
_CHANGES: Final = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
TAKES_AWAY: Final = ("rmdir", "unlink", "remove", "ftruncate", "truncate")
"""Calls that need no room: they work on a full disk too."""
_STILL_WORKS: Final = (*TAKES_AWAY, "rename")
"""What a command may still do when it was refused a call: take back what it wrote, and put back what it moved."""
SECONDS: Final = 300.0
"""After which a process hangs; a loaded machine is slow."""


class Harm(NamedTuple):
    """What happens to a process.

    at    the call it happens at, counted from 0
    how   before, half, after: killed before the call, when half of a write is done, or after it; else the name of an
          error that this call and all after it raise, as errno has it
    """

    at: int
    how: str


@dataclass(frozen=True, slots=True)
class Ended:
    """How a process ended.

    answer   what it returned, None when it was killed
    calls    what it called before that, in order
    is_hung  whether it had to be stopped
    """

    answer: Any
    calls: tuple[str, ...]
    is_hung: bool = False


class _Watch:
    def __init__(self, harm: Harm | None) -> None:
        self.harm = harm
        self.calls: list[str] = []
        self.is_full = False

    def install(self) -> None:
        for name in CALLS:
            if hasattr(os, name):
                setattr(os, name, self._met(name, getattr(os, name)))
        io.open = builtins.open = _pyio.open

    def _met(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any, **named: Any) -> Any:
            if (name == "open" and not (given[1] if len(given) > 1 else named.get("flags", 0)) & _CHANGES) or (
                name == "write" and given[0] in (1, 2)
            ):
                return real(*given, **named)
            number = len(self.calls)
            self.calls.append(name)
            if self.is_full and name not in _STILL_WORKS:
                self._refuse()
            if self.harm is None or number != self.harm.at:
                return real(*given, **named)
            if self.harm.how not in ("before", "half", "after"):
                self.is_full = True
                if name == "write" and self.harm.how in ("ENOSPC", "EDQUOT") and len(given[1]) > 1:
                    return real(given[0], bytes(given[1])[: len(given[1]) // 2])  # what fits is written
                self._refuse()
            if self.harm.how == "half" and name == "write":
                real(given[0], bytes(given[1])[: len(given[1]) // 2])
            elif self.harm.how == "after":
                real(*given, **named)
            os.kill(os.getpid(), signal.SIGKILL)
            return None  # pragma: no cover - it is dead

        return call

    def _refuse(self) -> None:
        assert self.harm is not None
        number = getattr(errno, self.harm.how)
        raise OSError(number, os.strerror(number))


def harmed(work: Callable[[], Any], harm: Harm | None = None) -> Ended:
    """Do some work in a process of its own that comes to harm, or to none."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        _work(work, harm, reader, writer)
    os.close(writer)
    return _waited(child, reader)


def _work(work: Callable[[], Any], harm: Harm | None, reader: int, writer: int) -> None:
    """The child: it never returns. Its calls are written as they happen, so that a killed one has told them."""
    write, leave = os.write, os._exit
    try:
        os.close(reader)
        sys.dont_write_bytecode = True
        watch = _Watch(harm)
        watch.install()
        answer = work()
        write(writer, pickle.dumps((answer, tuple(watch.calls))))
        leave(0)
    except BaseException as error:
        write(writer, pickle.dumps((error.__class__.__name__ + ": " + str(error), ())))
    finally:
        leave(1)


def _waited(child: int, reader: int) -> Ended:
    import select  # noqa: PLC0415

    told = b""
    end = time.monotonic() + SECONDS
    with open(reader, "rb", buffering=0) as pipe:
        while True:
            ready, _, _ = select.select([pipe], [], [], max(end - time.monotonic(), 0.0))
            if not ready:
                os.kill(child, signal.SIGKILL)
                os.waitpid(child, 0)
                return Ended(None, (), is_hung=True)
            part = pipe.read(1 << 16)
            if not part:
                break
            told += part
    os.waitpid(child, 0)
    answer, calls = pickle.loads(told) if told else (None, ())  # noqa: S301 - our own child wrote it
    return Ended(answer, calls)
