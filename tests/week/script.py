"""A whole invented week behind one bar, 16 to 23 November: every line as somebody typed it, slips and all.

Each day is one page of what they saw, kept in `days/`. It is our own output, to be read by a person; where a number can
be worked by hand, the line says in `expect` what must stand in the answer, and how it was worked.
"""

from __future__ import annotations

import contextlib
import shlex
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.cli.runner import CHECKOUT, Run, run

DAYS: Final = Path(__file__).parent / "days"


@dataclass(frozen=True, slots=True)
class Line:
    """One command line as it was typed.

    clock   the time of day
    typed   what stands behind `balancer`
    expect  texts that the answer holds, worked by hand or a fact of the story, never taken from our output
    code    the exit code
    file    a file of the bar's folder that somebody wrote in an editor just before, and its text
    """

    clock: str
    typed: str
    expect: tuple[str, ...] = ()
    code: int = 0
    file: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Day:
    """One day; story tells who is at work and why."""

    date: str
    name: str
    story: str
    lines: tuple[Line, ...]

    @property
    def page(self) -> Path:
        """Where the record of the day is kept."""
        return DAYS / f"{self.date}-{self.name.lower()}.txt"


def live(week: tuple[Day, ...]) -> Iterator[tuple[Day, list[tuple[Line, Run]]]]:
    """The week, day by day, in a copy of the demo bar whose log is still empty."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        shutil.copytree(CHECKOUT / "specs", "specs", ignore=shutil.ignore_patterns("batches.yaml*"))
        for day in week:
            done = []
            for line in day.lines:
                if line.file is not None:
                    path = Path("specs", line.file[0])
                    path.write_text(line.file[1], encoding="utf-8")
                now = f"{day.date}T{line.clock}:00+00:00"
                done.append((line, run(*shlex.split(line.typed), specs=None, env={"BALANCER_NOW": now})))
            yield day, done


def record(day: Day, done: list[tuple[Line, Run]]) -> str:
    """The page of one day."""
    said = [f"{day.name} {day.date}", *(f"# {part}" for part in day.story.splitlines())]
    for line, seen in done:
        said += ["", f"{line.clock} $ balancer {line.typed}".rstrip()]
        if line.file is not None:
            said.insert(-1, f"{line.clock} # {line.file[0]} was saved")
        said += [part for part in (seen.out.rstrip("\n"), seen.err.rstrip("\n")) if part]
        said += [f"exit code {seen.code}"] if seen.code else []
    return "\n".join(said) + "\n"
