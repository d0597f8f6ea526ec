"""docs/reliability.md: the promises, and how often they were put to the test."""

from __future__ import annotations

from collections import Counter
from textwrap import fill
from typing import Final

from tests.campaign import stored
from tests.campaign.files import SECONDS
from tests.campaign.parts import NAMES
from tests.campaign.words import commands
from tests.campaign.writers import WRITERS
from tests.cli.runner import CHECKOUT

PAGE: Final = CHECKOUT / "docs" / "reliability.md"
_WORLD: Final = ("clocks", "zones", "locales", "endings", "windows")
_TEXT: Final = """\
# Reliability: what accidents do to your files

What a bar does by accident is done here thousands of times by chance, and counted: files broken, lines mistyped,
programs killed, disks full. {broken} when the figures were made: on {made}{when},
with {on}.
{missing}
## Whatever a file holds

It is read or told, with the line and the column, and nothing else of the house suffers. No command ends in a
traceback; none hangs.

{files}

What is done to a file: bytes changed, cut and put in; words and signs of YAML dropped, doubled and moved; lines
indented and repeated; other line ends, marks and encodings. None may take {seconds} s of the processor to read.

## Whatever is typed

The exit code is 0 (fine), 1 (a problem touches the answer, or it cannot be done) or 2 (wrong usage); where it is not 0,
something is said. With `--json` standard output is JSON, in trouble too. A command that only reads writes nothing.

{lines}

The lines are those that help shows, with real options in wrong places, slips of the fingers, values of the wrong kind,
words that mean something to a shell or a terminal, and paths of Windows. `page` is not among them: it listens.

## Killed at any moment

Every file is as it was before, or as it was to become: nobody meets half of one. The folder loads, and the command
can be typed again. Writing commands were killed by the system's own signal, before, in the middle of and after their
writes; where that left something to do, the second attempt was killed too, and the third one had to do it.

{kills}

- The batch log grows by one write. Cut in the middle of it, the line is told as broken; every other line counts.
- A change of several files, like `set S standard`, an import or the cards and the note that they were printed, may have
  reached some of them, each whole. Typed again, it makes good the rest; the version of a drink may then rise twice.
- A hidden file or folder may be left behind. Nothing reads it; `check` tells it, and the next command that writes the
  same takes it away.

## A disk that is full, fails or may not be written

The exit code is 1, the reason is told, and what was there is there. Where a change has several files and some were
written, that is told too.

{disks}

## Other clocks, places and machines

- Clocks set back or forward, the hours that summer time doubles or leaves out, and the ends of the calendar: every
  entry of the log is kept, no id is given twice.
- A zone that the machine does not know is told. A locale that it does not know, a terminal that lacks letters: the same
  answer, spelt plainly.
- Other line ends, or a mark at the beginning of files: the same answer, and a change keeps them.
- A path as Windows writes it, or a name it reserves, typed on this system: taken for a name, or told.

{world}

## What this does not show

- **A power cut.** A killed program leaves what it wrote to the system. `balancer` asks for each file to be on the disk
  before it takes the old one's place (`start` does not: it writes nothing over), and whether a disk obeys is its own
  affair. Keep a copy: [keep specs safe](how-to/keep-specs-safe.md).
- **Network drives**, where locks and replacing files may work otherwise.
- **Windows and macOS**: none of this ran there. Windows' paths were typed as words.
- The page behind the bar is killed and crowded by a benchmark of its own: [for developers](../DEVELOPERS.md).

## Do it yourself

From a checkout, set up as the README says:

```text
.venv/bin/python -m tests.campaign                a tenth of it, with its counts; exit code 1 if a promise breaks
.venv/bin/python -m tests.campaign --measure      all of it, and the counts stored; --resume where it was stopped
.venv/bin/python -m tests.campaign --write        this page from them
```

The same seed makes the same files, lines and kills; only the kills from outside fall when they will. `.ci/run` does all
of it on every change.
"""


def page() -> str:
    """The page, from the stored counts."""
    held = stored.figures()
    counts = {name: held[name].counts for name in NAMES}
    first, last = min(held[name].first for name in NAMES), max(held[name].last for name in NAMES)
    return _TEXT.format(
        made=first,
        when=f" to {last}" if last != first else "",
        on=", ".join(sorted(frozenset.union(*(held[name].on for name in NAMES)))),
        broken=_broken(sum(held[name].broken for name in NAMES)),
        missing=_missing(held),
        seconds=round(SECONDS),
        files=_files(counts["files"]),
        lines=_lines(counts["lines"]),
        kills=_kills(counts["kills"]),
        disks=_disks(counts["disks"], counts["small disks"], counts["read-only"]),
        world=_world(Counter({what: count for name in _WORLD for what, count in counts[name].items()})),
    )


def _broken(times: int) -> str:
    return "No promise below was broken" if times == 0 else f"**A promise below was broken {times} times**"


def _missing(held: dict[str, stored.Figures]) -> str:
    """What was not measured whole, in words of its own: nothing is claimed of it."""
    short = [(name, held[name].slices, of) for name, of in NAMES.items() if held[name].slices < of]
    told = "; ".join(f"{name}, {slices} of {of} slices" for name, slices, of in short)
    text = f"Not all of it was run for these figures: {told}. The counts are of what ran."
    return f"\n{fill(text, 116)}\n" if told else ""


def _table(first: str, *rows: tuple[str, int]) -> str:
    return "\n".join([f"| {first} | times |", "|---|--:|", *(f"| {what} | {count:,} |" for what, count in rows)])


def _files(counts: Counter[str]) -> str:
    return _table(
        "read",
        ("specs and houses", counts["specs and houses"]),
        ("batch logs", counts["logs"]),
        ("spreadsheets", counts["spreadsheets"]),
        ("readings of specs in which something was found wrong", counts["specs with problems"]),
        ("logs in which something was", counts["logs with problems"]),
        ("spreadsheets in which something was", counts["spreadsheets with problems"]),
    )


def _lines(counts: Counter[str]) -> str:
    return _table(
        f"lines of {len(commands())} commands",
        ("all", counts["lines"]),
        ("of them as programs of their own", counts["as programs"]),
        ("of them with JSON for an answer", counts["in JSON"]),
        ("of them that only read", counts["that only read"]),
        *((f"of them with exit code {code}", counts[f"exit code {code}"]) for code in (0, 1, 2)),
    )


def _kills(counts: Counter[str]) -> str:
    return _table(
        f"kills over {len(WRITERS)} lines of writing commands",
        ("all", counts["kills"]),
        *((f"{how}", counts[f"killed {key}"]) for how, key in (
            ("before a write, or another call that changes the disk", "before"),
            ("in the middle of a write", "half"),
            ("after the last", "after"),
            ("from outside, at any moment", "from outside"),
        )),
        ("the folder as before", counts["left old"]),
        ("the folder as it was to become", counts["left new"]),
        ("some of several files new, each whole", counts["left some"]),
        ("the last line of the log broken, and told", counts["left torn"]),
        ("half a file, or a folder that does not load", counts["left half"]),
    )  # fmt: skip


def _disks(refused: Counter[str], small: Counter[str], closed: Counter[str]) -> str:
    full = refused["refused ENOSPC"] + refused["refused EDQUOT"]
    return _table(
        "calls refused, from one of a command's own on; and whole commands",
        ("the disk, or one's share of it, is full", full),
        ("the disk fails", refused["refused EIO"]),
        ("the disk is read-only", refused["refused EROFS"]),
        ("no permission", refused["refused EACCES"]),
        ("a whole command on a disk without any room", small["full disks"]),
        ("a whole command where nobody may write", closed["read-only folders"]),
        *(
            (what, sum(each[f"left {left}"] for each in (refused, small, closed)))
            for what, left in (
                ("the folder as before", "old"),
                ("some of several files new, and told", "some"),
                ("the whole change made: what it wanted was there, or had been done", "new"),
                ("half a file, or anything left over", "half"),
            )
        ),
    )


def _world(counts: Counter[str]) -> str:
    return _table(
        "asked or changed",
        ("questions at odd moments", counts["questions at odd moments"]),
        ("batches logged by a clock that leaps about", counts["batches logged by a clock that leaps"]),
        ("lines in other zones", counts["lines in other zones"]),
        ("lines in other locales", counts["lines in other locales"]),
        ("questions to files with other line ends or marks", counts["questions to files with other ends"]),
        ("changes of such files", counts["changes of files with other ends"]),
        ("paths of Windows typed", counts["paths of Windows typed"]),
    )
