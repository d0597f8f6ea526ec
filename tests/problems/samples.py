"""The samples: one text file for each way to go wrong, holding the files that do it and what is printed then.

The first line says what is shown. Files follow, each under `=== path`, laid over the sound bar of
`tests.files.folders`; the expected text stands last, under `=== printed`. What an editor would not show
is told in the header: `=== path as utf-16`, `as cp1252`, `as escaped` (\\x00 is one byte), `times 2000000`; in
place of a file `as folder`, `as pipe`, `as link` to what is written there. The name of a sample is its code, and
behind two hyphens what is special about it; the code `several` is for files with problems of many kinds.
"""

from __future__ import annotations

import os
import re
import tempfile
from dataclasses import dataclass, replace
from functools import cache
from operator import attrgetter
from pathlib import Path
from typing import Final

from balancer.errors import BalancerError, Problem
from balancer.files.house.load import load
from balancer.output.words.problems import problems_text
from balancer.unseen import seen
from tests.files.folders import write

FOLDER: Final = Path(__file__).parent / "samples"
_HEADER: Final = re.compile(r"^=== (?P<path>\S+)(?: as (?P<form>\S+))?(?: times (?P<times>\d+))?\n", re.MULTILINE)
PRINTED: Final = "printed"


@dataclass(frozen=True)
class File:
    """One file of a sample: its text as written there, and how it becomes bytes."""

    path: str
    text: str
    form: str
    times: int

    def raw(self) -> bytes:
        """The bytes of the file."""
        text = self.text * self.times
        if self.form == "escaped":
            return text.encode("latin-1", "backslashreplace").decode("unicode_escape").encode("utf-8", "surrogatepass")
        return text.encode(self.form)


@dataclass(frozen=True)
class Sample:
    """One way to go wrong."""

    name: str
    title: str
    files: tuple[File, ...]
    printed: str

    @property
    def code(self) -> str:
        """The code of the problem it shows, or `several`."""
        return self.name.partition("--")[0]


def read_sample(path: Path) -> Sample:
    """A sample from its file."""
    text = path.read_text(encoding="utf-8")
    headers = list(_HEADER.finditer(text))
    ends = [header.start() for header in headers[1:]] + [len(text)]
    files = [
        File(header["path"], text[header.end() : end], header["form"] or "utf-8", int(header["times"] or 1))
        for header, end in zip(headers, ends, strict=True)
    ]
    if not files or files[-1].path != PRINTED:
        raise ValueError(f"{path} does not end with what is printed")
    return Sample(path.stem, text[: headers[0].start()].strip(), tuple(files[:-1]), files[-1].text)


def samples() -> list[Sample]:
    """Every sample, by name."""
    return [read_sample(path) for path in sorted(FOLDER.glob("*.txt"), key=attrgetter("stem"))]


def _folder(path: Path, _: str) -> None:
    path.unlink(missing_ok=True)
    path.mkdir(parents=True)


def _link(path: Path, target: str) -> None:
    path.unlink(missing_ok=True)
    path.symlink_to(target)


def _pipe(path: Path, _: str) -> None:
    path.unlink(missing_ok=True)
    os.mkfifo(path)


NO_FILES: Final = {"folder": _folder, "link": _link, "pipe": _pipe}
"""What stands in the place of a file, and how it is made."""


@cache
def provoked(sample: Sample) -> tuple[tuple[Problem, ...], str]:
    """The problems that loading a sample gives, and what is printed of them, as if in a folder `specs`."""
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary) / "specs"
        if sample.code != "no-folder":
            write(folder, {file.path: file.raw() for file in sample.files if file.form not in NO_FILES})
        for file in sample.files:
            if file.form in NO_FILES:
                NO_FILES[file.form](folder / file.path, file.text.strip())
        try:
            problems = load(folder, look=True).problems
        except BalancerError as error:
            problems = error.problems()
        told = tuple(_elsewhere(problem, f"{temporary}/") for problem in problems)
        return told, seen(problems_text(told)) + "\n"


def _elsewhere(problem: Problem, start: str) -> Problem:
    """The same problem, of a folder that is not below this place."""
    texts = {key: getattr(problem, key) for key in ("path", "message", "remedy", "excerpt")}
    return replace(problem, **{key: text.replace(start, "") for key, text in texts.items() if text})
