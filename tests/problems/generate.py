"""Writes docs/reference/problems.md from the samples: `python -m tests.problems.generate`.

With --accept it first writes what is printed now into the samples; read the difference as the person
who made the mistake.
"""

from __future__ import annotations

import functools
import re
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, NamedTuple

from balancer.errors import Problem
from tests.files.codes import loader_codes
from tests.problems.samples import FOLDER, NO_FILES, PRINTED, Sample, provoked, samples

PAGE: Final = Path(__file__).parents[2] / "docs" / "reference" / "problems.md"
_SHOWN_LINES: Final = 30
_INTRODUCTION: Final = """\
# Problems

What can be wrong in a bar's files, and how it is told. Every problem names the file, the line and the
column, shows the line as it was written, and says what to do.

All problems of a folder are told in one run, in file order; before them, by its path alone, what cannot be
read or followed. What is sound still loads: a problem stops only the entry it is in and the drinks that pour
it, and a key of `house.yaml` with a problem falls back to its usual value. A `doubt`, and what is wrong about a
glass, a date or a recipe, stops nothing.

Below stands what can be wrong by the file it is in. The first column is the `code` of `--json`, which stays the
same when the wording improves; of a row with several problems the first is told.
"""
_NOTICE: Final = "\n<!-- Written by `python -m tests.problems.generate` from tests/problems/samples. -->\n"


@functools.cache
def first(sample: Sample) -> Problem:
    """The first problem of a sample that is of its code."""
    problems, _ = provoked(sample)
    return next((problem for problem in problems if problem.code == sample.code), problems[0])


class Subject(NamedTuple):
    """A group of problems: its heading, the name of the sample that is shown whole, and what belongs to it."""

    title: str
    shown: str
    holds: Callable[[Sample], bool]


def _is_written(sample: Sample) -> bool:
    """Whether its code is one of reading a file's text, whatever the file says."""
    text = ("balancer.files.yaml.tree", "balancer.files.yaml.syntax")
    return not loader_codes().get(sample.code, set()).isdisjoint(text)


def _is_in(place: str) -> Callable[[Sample], bool]:
    """Samples whose problem is in this file or folder of a house, or of its base."""
    return lambda sample: f"/{place}" in (first(sample).path or "")


SUBJECTS: Final = (
    Subject("Many at once", "several", lambda sample: sample.code == "several"),
    Subject(
        "Files and folders that cannot be read or followed",
        "link",
        lambda sample: first(sample).line is None,
    ),
    Subject("How a file is written", "indentation--keys", _is_written),
    Subject("house.yaml", "choice", _is_in("house.yaml")),
    Subject("Ingredients", "unit-missing--value", _is_in("ingredients/")),
    Subject("Syrups", "standard--both", _is_in("syrups/")),
    Subject("Drinks and what they pour", "unknown-name", _is_in("drinks/")),
)


def grouped() -> dict[Subject, list[Sample]]:
    """Every sample under the first subject that it belongs to."""
    found: dict[Subject, list[Sample]] = {subject: [] for subject in SUBJECTS}
    for sample in samples():
        found[next(subject for subject in SUBJECTS if subject.holds(sample))].append(sample)
    return found


def page() -> str:
    """The reference page: of every subject one sample as it is printed, and a row for each of the others."""
    parts = [_INTRODUCTION]
    for subject, found in grouped().items():
        (shown,) = [sample for sample in found if sample.name == subject.shown]
        parts += [f"\n## {subject.title}\n", _whole(shown), _table([sample for sample in found if sample != shown])]
    return "".join([*parts, _NOTICE])


def _whole(sample: Sample) -> str:
    blocks = [f"\n{sample.title} (`{sample.code}`)\n" if sample.code != "several" else f"\n{sample.title}\n"]
    for file in sample.files:
        if file.form in NO_FILES:
            continue
        lines = file.text.splitlines()
        shown = lines if len(lines) <= _SHOWN_LINES else [*lines[:5], "…"]
        blocks.append(_block("yaml", [f"# {file.path}", *shown]))
    blocks.append(_block("text", sample.printed.splitlines()))
    return "".join(blocks)


def _table(found: Sequence[Sample]) -> str:
    if not found:
        return ""
    rows = ["\n| code | when | what is told | what to do |", "|---|---|---|---|"]
    for sample in found:
        said = (sample.title, first(sample).message, first(sample).remedy)
        rows.append(f"| `{sample.code}` | {' | '.join(_cell(text) for text in said)} |")
    return "\n".join([*rows, ""])


def _cell(text: str) -> str:
    """A text as it is, whatever signs it has, on one line of a table."""
    return re.sub(r"([|*_<`\\\[\]])", r"\\\1", " ".join(text.split()))


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
