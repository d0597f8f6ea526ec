"""Wheel and sdist built as a release is, and a new environment that holds a wheel and what it says it needs."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import venv
import zipfile
from collections.abc import Iterator
from importlib.metadata import Distribution, distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.cli.runner import CHECKOUT

_MOST_S = 300
"""So long one command may take on a loaded machine."""


def built(out: Path, *options: str, source: Path = CHECKOUT) -> Path:
    """What one build leaves: a wheel with --wheel, an sdist with --sdist. The network is not used."""
    command = [sys.executable, "-m", "build", "--no-isolation", *options, "--outdir", str(out), str(source)]
    subprocess.run(command, check=True, capture_output=True, text=True, cwd=out.parent)
    (found,) = out.iterdir()
    return found


def contents(wheel: Path) -> dict[str, bytes]:
    """Every file of a wheel."""
    with zipfile.ZipFile(wheel) as opened:
        return {name: opened.read(name) for name in opened.namelist()}


def unpacked(sdist: Path, into: Path) -> Path:
    """The one folder of an sdist."""
    with tarfile.open(sdist) as opened:
        opened.extractall(into, filter="data")
    (folder,) = into.iterdir()
    return folder


def needed(requirements: list[str], extra: str = "") -> dict[str, Distribution]:
    """The distributions of this environment that some requirements need, and those that these need, by name."""
    found: dict[str, Distribution] = {}
    waiting = [(Requirement(each), extra) for each in requirements]
    while waiting:
        requirement, of_extra = waiting.pop()
        if requirement.marker is not None and not requirement.marker.evaluate({"extra": of_extra}):
            continue
        name = canonicalize_name(requirement.name)
        is_known = name in found
        found[name] = distribution(name)
        for own in (*requirement.extras, *([] if is_known else [""])):
            waiting += [(Requirement(each), own) for each in found[name].requires or ()]
    return found


class Environment:
    """A new environment without the checkout: a wheel, and of what is installed here only what it says it needs."""

    def __init__(self, folder: Path, wheel: Path, extra: str = "") -> None:
        venv.create(folder, symlinks=os.name != "nt")
        scripts = folder / ("Scripts" if os.name == "nt" else "bin")
        self.folder = folder
        self.python = scripts / "python"
        self.balancer = scripts / "balancer"
        pip = [sys.executable, "-m", "pip", "--python", str(self.python), "install", "--quiet"]
        subprocess.run([*pip, "--no-index", "--no-deps", str(wheel)], check=True, capture_output=True, text=True)
        metadata = next(text for name, text in contents(wheel).items() if name.endswith(".dist-info/METADATA")).decode()
        requires = [line.partition(": ")[2] for line in metadata.splitlines() if line.startswith("Requires-Dist: ")]
        (self.packages,) = folder.rglob("site-packages")
        for each in needed(requires, extra).values():
            for source in _tops(each):
                place = self.packages / source.name
                if not place.exists():
                    place.symlink_to(source)

    def run(self, *command: str | Path, cwd: Path, code: int = 0) -> str:
        """What a command of it prints. Nothing of the checkout is within its reach."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("BALANCER_", "PYTHON"))}
        done = subprocess.run(
            list(map(str, command)), cwd=cwd, env={**kept, "PYTHONUTF8": "1"}, capture_output=True, text=True,
            encoding="utf-8", check=False, timeout=_MOST_S,
        )  # fmt: skip
        assert done.returncode == code, f"{command}: {done.returncode}\n{done.stdout}\n{done.stderr}"
        return done.stdout


def _tops(of: Distribution) -> Iterator[Path]:
    """What a distribution has right in site-packages."""
    for top in dict.fromkeys(file.parts[0] for file in of.files or ()):
        place = Path(str(of.locate_file(top)))
        if top not in ("..", "__pycache__") and place.exists():
            yield place
