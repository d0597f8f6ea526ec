"""The printed prep sheet as another program reads it, and how its figures are written."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from tests import pdf
from tests.cli.runner import run


def printed(folder: Path, specs: Path, now: Mapping[str, str]) -> tuple[Any, str]:
    """The JSON of the sheet, and its text on one line."""
    with contextlib.chdir(folder):
        done = run("sheet", "prep", "--json", "--out", "prep.pdf", specs=specs, env=now)
    assert done.code == 0, done.err
    return done.data, " ".join(pdf.text(folder / "prep.pdf").split())


def figure(value: float, *, whole_from: float = 10.0) -> str:
    """As a kitchen weighs: whole grams, below a limit with a decimal that is not zero."""
    text = f"{value:.0f}" if value >= whole_from - 0.05 else number(value)
    return f"{text} g"


def number(value: float) -> str:
    """With a decimal that is not zero."""
    return f"{value:.1f}".removesuffix(".0")


def day(text: str) -> str:
    """A day of JSON as the sheet writes it."""
    on = date.fromisoformat(text)
    return f"{on:%a} {on.day} {on:%b}"
