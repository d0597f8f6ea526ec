"""Writes docs/reference/problems.md from the samples: `python -m tests.problems.generate`.

With --accept it first writes what is printed now into the samples; read the difference as the person
who made the mistake.
"""

from __future__ import annotations

import sys
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import Final

from tests.problems.samples import FOLDER, NO_FILES, PRINTED, Sample, provoked, samples

PAGE: Final = Path(__file__).parents[2] / "docs" / "reference" / "problems.md"
_SHOWN_LINES: Final = 30
_INTRODUCTION: Final = """\
# Problems

What can be wrong in a bar's files, and how it is told. Every problem names the file, the line and the
column, shows the line as it was written, and says what to do. The word in each heading is the `code` of
`--json`; it stays the same when the wording improves.

All problems of a folder are told in one run, in file order; before them, by its path alone, what cannot be
read or followed. What is sound still loads: a problem stops only the entry it is in and the drinks that pour
it, and a key of `house.yaml` with a problem falls back to its usual value. A `doubt` stops nothing: it may be
meant.

<!-- Written by `python -m tests.problems.generate` from tests/problems/samples. -->
"""


def page() -> str:
    """The reference page."""
    parts = [_INTRODUCTION]
    for code, group in groupby(samples(), attrgetter("code")):
        parts.append(f"\n## {code}\n")
        parts += [_section(sample) for sample in group]
    return "".join(parts)


def _section(sample: Sample) -> str:
    blocks = [f"\n{sample.title}\n"]
    for file in sample.files:
        if file.form in NO_FILES:
            continue
        lines = file.text.splitlines()
        shown = lines if len(lines) <= _SHOWN_LINES else [*lines[:5], "…"]
        blocks.append(_block("yaml", [f"# {file.path}", *shown]))
    blocks.append(_block("text", sample.printed.splitlines()))
    return "".join(blocks)


def _block(language: str, lines: list[str]) -> str:
    return "\n".join([f"\n```{language}", *lines, "```\n"])


def accept() -> None:
    """Write what is printed now into every sample."""
    for sample in samples():
        path = FOLDER / f"{sample.name}.txt"
        head = path.read_text(encoding="utf-8").partition(f"=== {PRINTED}\n")[0]
        path.write_text(f"{head}=== {PRINTED}\n{provoked(sample)[1]}", encoding="utf-8")


if __name__ == "__main__":
    if "--accept" in sys.argv[1:]:
        accept()
    PAGE.write_text(page(), encoding="utf-8")
