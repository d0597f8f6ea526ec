"""Runs the command line as a person types it, and looks at what a person would never see: a traceback."""

from __future__ import annotations

import json
import os
import select
import shutil
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from typer.testing import CliRunner

from balancer.cli.app import app

HOUSE = Path(__file__).parent / "house"
"""A small house of the tests' own, so that the demo house is free to change."""
CHECKOUT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Run:
    """What one run printed, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def first(self) -> str:
        """The answer."""
        return self.out.partition("\n")[0]

    @property
    def data(self) -> Any:
        """Standard output as strict JSON: NaN and Infinity are no JSON."""
        return json.loads(self.out, parse_constant=_refuse)


def _refuse(name: str) -> float:
    raise AssertionError(f"{name} in JSON")


def run(*arguments: str, specs: Path | None = HOUSE, env: Mapping[str, str] | None = None) -> Run:
    """Run in this process, on a folder of specs unless None."""
    words = [*arguments, *(["--specs", str(specs)] if specs else [])]
    result = CliRunner().invoke(app, words, env={"BALANCER_SPECS": None, **(env or {})})
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exc_info
    return Run(result.exit_code, result.stdout, result.stderr)


def process(
    *arguments: str, env: Mapping[str, str] | None = None, encoding: str = "utf-8", cwd: Path = CHECKOUT, **streams: Any
) -> Run:
    """Run as a program of its own."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("BALANCER_", "PYTHON", "LC_"))}
    done: subprocess.CompletedProcess[Any] = subprocess.run(
        [sys.executable, "-m", "balancer", *arguments],
        cwd=cwd,
        env={**kept, "PYTHONPATH": str(CHECKOUT), **(env or {})},
        check=False,
        **({"capture_output": True} | streams),
    )
    return Run(done.returncode, _text(done.stdout, encoding), _text(done.stderr, encoding))


def answered(question: str, answer: str, *words: str) -> tuple[int, str]:
    """Run at a terminal and give an answer to its question: exit code, and all that stands on the screen."""
    import pty  # noqa: PLC0415 - not on every system

    ours, theirs = pty.openpty()
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("BALANCER_", "PYTHON", "LC_"))}
    environment = {**kept, "PYTHONPATH": str(CHECKOUT), "PYTHONIOENCODING": "utf-8", "NO_COLOR": "1"}
    command = [sys.executable, "-m", "balancer", *words]
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment) as running:
        os.close(theirs)
        seen = b""
        is_answered = False
        while True:
            ready, _, _ = select.select([ours], [], [], 30.0)
            assert ready, f"it waits for ever after {seen!r}"
            try:
                part = os.read(ours, 65536)
            except OSError:  # the other end is closed
                break
            if not part:
                break
            seen += part
            if not is_answered and question.encode() in seen:
                os.write(ours, answer.encode())
                is_answered = True
        code = running.wait()
    os.close(ours)
    assert is_answered, seen
    return code, seen.decode().replace("\r\n", "\n")


def _text(raw: bytes | None, encoding: str) -> str:
    text = (raw or b"").decode(encoding)
    assert "Traceback" not in text
    assert "fault of the program" not in text
    return text


def copy_of_house(folder: Path, **files: str) -> Path:
    """The house copied into a folder, with files added or replaced; `__` in a name stands for a slash."""
    specs = folder / "specs"
    shutil.copytree(HOUSE, specs)
    for name, text in files.items():
        (specs / f"{name.replace('__', '/')}.yaml").write_text(text, encoding="utf-8")
    return specs


def edited_house(folder: Path, file: str, old: str, new: str) -> Path:
    """The house copied into a folder, with one text of one file replaced."""
    specs = copy_of_house(folder)
    path = specs / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} is not once in {file}"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return specs
