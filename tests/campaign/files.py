"""Files made bad at random: houses, logs, spreadsheets. They are read, and what is wrong is told where it is."""

from __future__ import annotations

import json
import re
import shutil
import time
from contextlib import chdir
from pathlib import Path
from random import Random
from typing import Any, Final

from balancer.errors import Problem
from balancer.files.house.load import load
from balancer.files.log.batch_log import read_log
from tests.campaign.tally import Slice, Tally
from tests.campaign.writers import MENU, NOW, bar
from tests.cli.mistakes import USUAL
from tests.cli.runner import run
from tests.files.folders import SOUND, write
from tests.files.mutate import mutate, mutated
from tests.files.test_fuzz import assert_sound

FILES: Final = 5_000
SECONDS: Final = 10.0
"""Of the processor: longer than a file of this size takes by far, on any machine."""
_BY_COMMAND: Final = 10
"""One in so many is read by the command as well."""
_LINE_BREAK: Final = re.compile(rb"\r\n|\r|\n")


def files(folder: Path) -> Slice:
    """Files of a folder: three in five of a house's specs, one a log, one a spreadsheet."""

    def some(share: float, seed: int) -> dict[str, Tally]:
        number = round(FILES * share)
        tally = Tally()
        _specs(folder / "specs", number - 2 * (number // 5), seed, tally)
        _logs(folder / "logs", number // 5, seed, tally)
        _tables(folder / "tables", number // 5, seed, tally)
        shutil.rmtree(folder)
        return {"files": tally}

    return some


def _quickly(tally: Tally, told: str, attempt: Any) -> None:
    started = time.process_time()
    tally.tried(told, attempt)
    tally.held(time.process_time() - started < SECONDS, f"{told}: it hangs")


def _specs(folder: Path, number: int, seed: int, tally: Tally) -> None:
    write(folder)
    done, place = 0, 0
    while done < number:
        place += 1
        changes = mutated(seed * 1_000_000 + place)
        for name, raw in changes.items():
            (folder / name).write_bytes(raw if isinstance(raw, bytes) else raw.encode())

        def read(is_typed: bool = place % _BY_COMMAND == 0) -> None:
            loaded = load(folder)
            assert_sound(loaded)
            tally.count("specs with problems", bool(loaded.problems))
            if is_typed:
                done = run("check", "--json", specs=folder, env=NOW)
                told = done.data["problems"]
                assert done.code == bool(told), done
                assert len(told) >= len(loaded.problems), "check tells less than was found"
                tally.count("read by check")

        _quickly(tally, f"specs {place}: {changes}", read)
        done += len(changes)
        tally.count("specs and houses", len(changes))
        for name in changes:
            (folder / name).write_bytes(SOUND[name].encode())


def _logs(folder: Path, number: int, seed: int, tally: Tally) -> None:
    specs = bar(folder) / "specs"
    whole = USUAL["batches.yaml"].encode()
    chance = Random(f"logs {seed}")  # noqa: S311
    for place in range(number):
        raw = mutate(whole, chance)
        (specs / "batches.yaml").write_bytes(raw)

        def read(raw: bytes = raw, is_typed: bool = place % _BY_COMMAND == 0) -> None:
            log = read_log(specs)
            for problem in log.problems:
                _in_file(problem, raw)
            tally.count("logs with problems", bool(log.problems))
            if is_typed:
                done = run("tonight", "--json", specs=specs, env=NOW)
                assert done.code in (0, 1), done
                assert done.data.keys() & {"batches", "problems"}, done.out
                tally.count("read by tonight")

        _quickly(tally, f"log {place}: {raw!r}", read)
        tally.count("logs")


def _in_file(problem: Problem, raw: bytes) -> None:
    """A problem lies in the file, as far as it has a line; its caret stands in the line that is shown."""
    assert problem.message
    if problem.line is None:
        return
    assert 1 <= problem.line <= len(raw.splitlines()), problem
    assert (problem.column or 1) >= 1
    if problem.excerpt is not None:
        assert (problem.column or 1) <= len(problem.excerpt) + 1, problem


def _tables(folder: Path, number: int, seed: int, tally: Tally) -> None:
    here = bar(folder)
    chance = Random(f"tables {seed}")  # noqa: S311
    before = sorted(path for path in here.rglob("*") if path.name != "menu.csv")
    for place in range(number):
        raw = mutate(MENU.encode(), chance)
        (here / "menu.csv").write_bytes(raw)

        def read(raw: bytes = raw) -> None:
            with chdir(here):
                done = run("import", "menu.csv", "--json", specs=None, env=NOW)
            assert done.code in (0, 1, 2), done
            told = done.data.get("problems", []) + json.loads(done.err or '{"problems": []}')["problems"]
            for problem in told:
                is_here = problem["path"] is not None and problem["path"].endswith("menu.csv")
                if is_here and problem["line"] is not None:
                    assert 1 <= problem["line"] <= max(_rows(raw), 1), problem
                    assert problem["column"] is None or problem["column"] >= 1
            tally.count("spreadsheets with problems", bool(told))

        _quickly(tally, f"spreadsheet {place}: {raw!r}", read)
        tally.count("spreadsheets")
    after = sorted(path for path in here.rglob("*") if path.name != "menu.csv")
    tally.held(after == before, "reading a spreadsheet wrote something")


def _rows(raw: bytes) -> int:
    """Lines as an editor counts them, in whatever encoding a spreadsheet may be read: at most so many."""
    return max(len(_LINE_BREAK.split(raw)), len(raw.decode("utf-8", "replace").splitlines()), 1)
