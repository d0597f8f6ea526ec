"""What the world around a bar does: clocks, time zones, locales, line ends, and the names of another system's files."""

from __future__ import annotations

import contextlib
import json
import os
import shlex
import time
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Final

from balancer.cli.terminal import PLAIN_SPELLING, spell_plainly
from balancer.files.log.batch_log import read_log
from tests.campaign.tally import Slice, Tally
from tests.campaign.words import WINDOWS
from tests.campaign.writers import NOW, WRITERS, bar, state
from tests.cli.runner import Run, process, run

READING: Final = (
    *("check", "tonight", "batch list --all", "totals", "totals anchor --steps", "rescale --syrup berry --brix 54"),
    *("compare", "make mint --volume 1l", "chart berry", "standardise", "measure 54 berry", "correct --batch BER-2"),
    *("swap anchor --out berry --in plain", "adjust anchor --sugar -10%", "fits anchor --out berry", "import menu.csv"),
)
MOMENTS: Final = (
    *("0001-01-01T00:00", "0001-01-01T00:00+14:00", "1969-12-31T23:59:59-12:00", "1970-01-01T00:00Z"),
    *(
        "2026-03-29T01:59:59+01:00",
        "2026-03-29T03:00:00+02:00",
        "2026-10-25T02:30:00+02:00",
        "2026-10-25T02:30:00+01:00",
    ),
    *("2026-11-01T01:30:00-04:00", "2026-11-01T01:30:00-05:00", "2026-12-31T23:59:59.999999+00:00"),
    *("2028-02-29T12:00+05:45", "2026-11-24T09:00+00:00", "2026-11-20T09:00+00:00", "2038-01-19T03:14:08Z"),
    *("2200-01-01T00:00Z", "9999-12-31T23:59:59-14:00", "9999-12-31T23:59:59+00:00"),
)
"""Both sides of leaps of summer time in Europe and America, clocks that were set back, and the ends of the calendar."""
ZONES: Final = (
    *("UTC", "Europe/Berlin", "America/New_York", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Kiritimati"),
    *("Pacific/Apia", "UTC+26", "EST5EDT,M3.2.0,M11.1.0", "Nowhere/Town", "", "::", "x" * 300, "../../etc/passwd"),
)
LOCALES: Final = (
    {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    {"LC_ALL": "POSIX"},
    {"LC_ALL": "de_DE.UTF-8"},
    {"LC_ALL": "tr_TR.UTF-8"},
    {"LC_ALL": "xx_YY.nonsense"},
    {"PYTHONIOENCODING": "ascii"},
    {"PYTHONIOENCODING": "latin-1"},
    {"PYTHONIOENCODING": "cp1252"},
    {"PYTHONIOENCODING": "iso8859-9"},
    {"PYTHONIOENCODING": "cp437"},
    {"PYTHONIOENCODING": "shift_jis"},
)
"""A Turkish machine, whose small I has no dot, a German one, a terminal of each old kind; none need be installed."""


def world(folder: Path) -> Slice:
    """All of it, or of what is asked in many ways a share."""

    def some(share: float, seed: int) -> dict[str, Tally]:
        found = {name: Tally() for name in ("clocks", "zones", "locales", "endings", "windows")}
        clocks(folder / "clocks", share, seed, found["clocks"])
        zones(folder / "zones", found["zones"])
        locales(folder / "locales", share, seed, found["locales"])
        endings(folder / "endings", found["endings"])
        windows(folder / "windows", share, seed, found["windows"])
        return found

    return some


def _fine(done: Run, told: str, tally: Tally) -> None:
    said = done.out + done.err
    tally.held(done.code in (0, 1, 2), f"{told}: exit code {done.code}")
    tally.held("Traceback" not in said and "fault of the program" not in said, f"{told}: {said[-600:]}")


def clocks(folder: Path, share: float, seed: int, tally: Tally) -> None:
    """Reading lines at every moment; then a log written by a clock that leaps about, whose lines all count."""
    here = bar(folder)
    chance = Random(f"clocks {seed}")  # noqa: S311
    with contextlib.chdir(here):
        for moment in MOMENTS:
            for line in READING if share >= 1.0 else chance.sample(READING, 3):
                told = f"balancer {line}, at {moment}"

                def ask(line: str = line, moment: str = moment, told: str = told) -> None:
                    _fine(run(*shlex.split(line), specs=None, env={"BALANCER_NOW": moment}), told, tally)
                    json.loads(run(*shlex.split(line), "--json", specs=None, env={"BALANCER_NOW": moment}).out)
                    tally.count("questions at odd moments", 2)

                tally.tried(told, ask)
        logged = len(read_log(Path("specs")).entries)
        for place, moment in enumerate(chance.sample(MOMENTS, len(MOMENTS))):
            done = run("batch", "add", "plain", str(50 + place % 3), specs=None, env={"BALANCER_NOW": moment})
            _fine(done, f"batch add at {moment}", tally)
            logged += done.code == 0
            tally.count("batches logged by a clock that leaps", done.code == 0)
            entries = read_log(Path("specs")).entries
            tally.held(len(entries) == logged, f"batch add at {moment}: {len(entries)} entries, not {logged}")
        made = [entry.batch for entry in read_log(Path("specs")).entries if entry.event == "made"]
        tally.held(len(set(made)) == len(made), f"an id was given twice: {made}")


@contextlib.contextmanager
def _zone(name: str) -> Iterator[None]:
    before = os.environ.get("TZ")
    os.environ["TZ"] = name
    time.tzset()
    try:
        yield
    finally:
        os.environ.pop("TZ")
        if before is not None:
            os.environ["TZ"] = before
        time.tzset()


def zones(folder: Path, tally: Tally) -> None:
    """By the machine's own clock in every zone and in none: a batch is logged, and counts."""
    here = bar(folder)
    with contextlib.chdir(here):
        for zone in ZONES:

            def ask(zone: str = zone) -> None:
                with _zone(zone):
                    for line in ("batch add plain 51", "batch list --json", "tonight --json", "check --json"):
                        done = run(*line.split(), specs=None)
                        _fine(done, f"balancer {line}, TZ={zone!r}", tally)
                        tally.count("lines in other zones")
                        if line == "batch list --json":
                            told = done.data.get("batches") or done.data.get("problems")
                            tally.held(told, f"TZ={zone!r}: no batch is known, and no reason is told")

            tally.tried(f"TZ={zone!r}", ask)
        tally.held(not read_log(Path("specs")).problems, "a line logged in some zone is a problem")


def locales(folder: Path, share: float, seed: int, tally: Tally) -> None:
    """A program in each locale says the same as here, letter by letter as far as its terminal has them."""
    here = bar(folder)
    chance = Random(f"locales {seed}")  # noqa: S311
    spell_plainly()
    with contextlib.chdir(here):
        for environment in LOCALES:
            for line in READING if share >= 1.0 else chance.sample(READING, 1):
                told = f"balancer {line}, {environment}"

                def ask(line: str = line, environment: dict[str, str] = environment, told: str = told) -> None:
                    usual_encoding = "ascii" if "PYTHONUTF8" in environment else "utf-8"
                    encoding = environment.get("PYTHONIOENCODING", usual_encoding)
                    done = process(*shlex.split(line), env={**NOW, **environment}, encoding=encoding, cwd=here)
                    usual = run(*shlex.split(line), specs=None, env=NOW)
                    shown = usual.out.encode(encoding, PLAIN_SPELLING).decode(encoding)
                    tally.count("lines in other locales")
                    tally.held(done.code == usual.code, f"{told}: exit code {done.code}, not {usual.code}")
                    tally.held(_words(done.out) == _words(shown), f"{told}: says otherwise, {done.out[:300]!r}")

                tally.tried(told, ask)


def _words(text: str) -> list[str]:
    """A text without its line breaks: a sign spelt with two letters moves them."""
    return text.split()


_CHANGES_FILES: Final = ("set", "swap", "adjust anchor --sugar -10% --write", "batch add", "import menu.csv --write")


def endings(folder: Path, tally: Tally) -> None:
    """A house with other line ends, or a mark before each file, answers as it did and keeps them when it is written."""
    plain = bar(folder / "plain")
    changes = {"crlf": (b"\r\n", b""), "mark": (b"\n", b"\xef\xbb\xbf"), "both": (b"\r\n", b"\xef\xbb\xbf")}
    for name, (end, mark) in changes.items():
        here = bar(folder / name)
        for path in [*(here / "specs").rglob("*.yaml"), here / "menu.csv"]:
            path.write_bytes(mark + path.read_bytes().replace(b"\n", end))
        for line in READING:
            with contextlib.chdir(plain):
                usual = run(*shlex.split(line), "--json", specs=None, env=NOW)
            with contextlib.chdir(here):
                done = run(*shlex.split(line), "--json", specs=None, env=NOW)
            tally.count("questions to files with other ends")
            tally.held(done == usual, f"balancer {line}, {name}: says otherwise, {done.err[:300]} {done.out[:300]}")
        for writer in (each for each in WRITERS if each.line.startswith(_CHANGES_FILES)):
            before = state(here)
            with contextlib.chdir(here):
                _fine(run(*shlex.split(writer.line), specs=None, env=NOW), f"balancer {writer.line}, {name}", tally)
                told = run("check", "--json", specs=None, env=NOW).data["problems"]
            tally.count("changes of files with other ends")
            tally.held(not told, f"balancer {writer.line}, {name}: {told}")
            for file, raw in state(here).items():
                held = before.get(file)
                if raw is None or held is None or raw == held or file.endswith("batches.yaml"):
                    continue
                has_mark = raw.startswith(mark) or not held.startswith(mark)  # a drink that is copied has none
                has_ends = end == b"\n" or raw.count(b"\n") == raw.count(end)
                tally.held(has_mark and has_ends, f"balancer {writer.line}, {name}: {file} lost its ends or its mark")


_TAKES_A_PATH: Final = (
    *("check --specs {}", "check {}", "tonight --specs {}", "import {}", "import menu.csv --map {}", "start {}"),
    *("import menu.csv --save-map {}", "export drinks --out {}", "strips --out {}", "cards --copy-template {}"),
    *("cards anchor --template {} --out out.pdf", "totals {}", "batch show {}", "fits --all --out berry --csv {}"),
    *("start new --base {}", "chart berry --out {}"),
)


def windows(folder: Path, share: float, seed: int, tally: Tally) -> None:
    """Every path of Windows, and every name that it reserves, where a path or a name is typed: read as a name here."""
    chance = Random(f"windows {seed}")  # noqa: S311
    pairs = [(line, word) for line in _TAKES_A_PATH for word in WINDOWS]
    here = bar(folder)
    with contextlib.chdir(here):
        for line, word in pairs if share >= 1.0 else chance.sample(pairs, round(len(pairs) * share)):
            words = [word if part == "{}" else part for part in line.split()]
            told = f"balancer {words}"

            def ask(words: list[str] = words, told: str = told) -> None:
                done = run(*words, specs=None, env=NOW)
                _fine(done, told, tally)
                tally.held(done.code == 0 or (done.out + done.err).strip(), f"{told}: says nothing")
                tally.count("paths of Windows typed")

            tally.tried(told, ask)
        tally.held(run("check", specs=None, env=NOW).code == 0, "a path of Windows went into the house")
