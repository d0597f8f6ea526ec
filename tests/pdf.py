"""What stands in a printed file, as poppler's programs read it: a second opinion that knows nothing of ours."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree as ET

import pytest

_TOOLS = ("pdftotext", "pdffonts", "pdfinfo", "pdftoppm")
_MISSING = [tool for tool in _TOOLS if shutil.which(tool) is None]
NEEDS_POPPLER = pytest.mark.skipif(
    bool(_MISSING) and os.environ.get("BALANCER_POPPLER") != "required",
    reason="poppler-utils is not installed; .ci/run installs it and allows no skipping",
)
POINTS_PER_MM = 72.0 / 25.4


class Word(NamedTuple):
    """A word on a page, counted from 1, and its box in mm from the top left corner."""

    page: int
    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def height_pt(self) -> float:
        """Ascent and descent of its letters, in pt: about 1.2 times the size for the bundled font."""
        return (self.bottom - self.top) * POINTS_PER_MM


def text(path: Path, *options: str) -> str:
    """The text in reading order."""
    return _run("pdftotext", *options, str(path), "-").replace("\u00a0", " ").replace("\u202f", " ")


def words(path: Path) -> list[Word]:
    """Every word and its place."""
    page_tree = ET.fromstring(re.sub(r'\sxmlns="[^"]*"', "", _run("pdftotext", "-bbox", str(path), "-")))  # noqa: S314
    found = []
    for number, page in enumerate(page_tree.iter("page"), 1):
        for word in page.iter("word"):
            left, top, right, bottom = (
                float(word.attrib[side]) / POINTS_PER_MM for side in ("xMin", "yMin", "xMax", "yMax")
            )
            found.append(Word(number, word.text or "", left, top, right, bottom))
    return found


def page_sizes(path: Path) -> list[tuple[float, float]]:
    """Width and height of every page in mm."""
    found = re.findall(r"Page\s+\d+ size:\s+([\d.]+) x ([\d.]+)", _run("pdfinfo", "-l", "9999", str(path)))
    return [(float(width) / POINTS_PER_MM, float(height) / POINTS_PER_MM) for width, height in found]


def info(path: Path) -> dict[str, str]:
    """Title, Tagged and the other entries of pdfinfo."""
    lines = [line.partition(":") for line in _run("pdfinfo", str(path)).splitlines()]
    return {key.strip(): value.strip() for key, _, value in lines}


def fonts(path: Path) -> list[tuple[str, bool]]:
    """The name of every font, and whether it is embedded."""
    rows = _run("pdffonts", str(path)).splitlines()[2:]
    return [(row.split()[0], row.split()[-5] == "yes") for row in rows]


def _run(*command: str) -> str:
    return subprocess.run(command, check=True, capture_output=True, encoding="utf-8").stdout
