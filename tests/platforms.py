"""Which systems and Pythons have a wheel of everything that is needed: `python -m tests.platforms --write`.

It needs the network, so it is no test and nothing of .ci/run. Every combination is resolved by pip as it would be
there, and nothing is run of it: only with `--run PYTHON`, for each interpreter given, the wheel is installed with what
it needs and does the main job. The table in docs/reference/platforms.md is written by --write, printed without it.
"""

from __future__ import annotations

import argparse
import json
import platform
import re
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any, Final, NamedTuple

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from tests.cli.runner import CHECKOUT
from tests.package import built

PAGE: Final = CHECKOUT / "docs" / "reference" / "platforms.md"
BEGIN: Final = "<!-- resolved: python -m tests.platforms --write -->\n"
END: Final = "<!-- end -->\n"
PYTHONS: Final = ("3.11", "3.12", "3.13", "3.14")
INSIDE: Final = ("dev", "benchmarks")
"""Extras that nobody needs who only uses it."""
_NO_WHEEL: Final = re.compile(r"No matching distribution found for ([A-Za-z0-9._-]+)")
_ROUNDS: Final = 5


class Target(NamedTuple):
    """A system: what pip calls it, and what the markers of packages ask of it."""

    name: str
    tags: tuple[str, ...]
    markers: Mapping[str, str]


def _linux(machine: str) -> Target:
    tags = tuple(f"{kind}_{machine}" for kind in ("manylinux_2_28", "manylinux_2_17", "manylinux2014"))
    return Target(f"Linux {machine}", tags, _markers("linux", "Linux", "posix", machine))


def _macos(machine: str) -> Target:
    return Target(f"macOS 13 {machine}", (f"macosx_13_0_{machine}",), _markers("darwin", "Darwin", "posix", machine))


def _markers(system: str, name: str, os_name: str, machine: str) -> dict[str, str]:
    return {"sys_platform": system, "platform_system": name, "os_name": os_name, "platform_machine": machine}


TARGETS: Final = (
    _linux("x86_64"),
    _linux("aarch64"),
    _macos("arm64"),
    _macos("x86_64"),
    Target("Windows amd64", ("win_amd64",), _markers("win32", "Windows", "nt", "AMD64")),
)


class Resolved(NamedTuple):
    """What pip found: versions by name; missing: what has no wheel there, None where it found everything."""

    versions: Mapping[str, str]
    missing: str | None = None


@cache
def _project() -> dict[str, Any]:
    found: dict[str, Any] = tomllib.loads((CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    return found


def extras() -> list[str]:
    """The extras that a user may want."""
    return [name for name in _project()["optional-dependencies"] if name not in INSIDE]


def requirements(of: Iterable[str]) -> list[str]:
    """What the package needs with some extras."""
    return [*_project()["dependencies"], *(each for extra in of for each in _project()["optional-dependencies"][extra])]


def resolve(target: Target, python: str, wanted: list[str]) -> Resolved:
    """Everything that some requirements need on a system.

    pip takes wheels by the tags of the target, and markers by the machine that it runs on itself: what only the target
    wants is found here, and asked for.
    """
    environment = {**target.markers, "python_version": python, "python_full_version": f"{python}.0", "extra": ""}
    asked = list(wanted)
    for _ in range(_ROUNDS):
        report, missing = _asked(target, python, asked)
        if report is None:
            return Resolved({}, missing)
        found = {canonicalize_name(item["metadata"]["name"]): item["metadata"] for item in report["install"]}
        more = [
            each
            for metadata in found.values()
            for each in metadata.get("requires_dist", ())
            if (needed := Requirement(each)).marker is not None
            and needed.marker.evaluate(environment)
            and canonicalize_name(needed.name) not in found
        ]
        if not more:
            return Resolved({name: metadata["version"] for name, metadata in found.items()})
        asked += [each.partition(";")[0] for each in more]
    raise AssertionError(f"still more is needed on {target.name}: {more}")


def _asked(target: Target, python: str, asked: list[str]) -> tuple[dict[str, Any] | None, str | None]:
    with tempfile.TemporaryDirectory() as folder:
        report = Path(folder) / "report.json"
        command = [
            sys.executable, "-m", "pip", "install", "--dry-run", "--ignore-installed", "--only-binary", ":all:",
            *(word for tag in target.tags for word in ("--platform", tag)),
            "--python-version", python, "--implementation", "cp", "--target", folder, "--report", str(report), *asked,
        ]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        if done.returncode == 0:
            return json.loads(report.read_text(encoding="utf-8")), None
    missing = _NO_WHEEL.search(done.stderr)
    if missing is None:
        raise SystemExit(done.stderr)
    return None, missing[1]


def cell(target: Target, python: str) -> tuple[str, dict[str, str]]:
    """What the table says of a system and a Python, and the versions that were found for it."""
    every = resolve(target, python, requirements(extras()))
    if every.missing is None:
        return f"all {len(every.versions)}", dict(every.versions)
    base = resolve(target, python, requirements([]))
    if base.missing is not None:
        return f"no wheel of {base.missing}", {}
    versions, told = dict(base.versions), []
    for extra in extras():
        found = resolve(target, python, requirements([extra]))
        versions |= found.versions
        told += [f"`{extra}`: no wheel of {found.missing}"] if found.missing else []
    return f"all but {'; '.join(told)}", versions


def does_the_main_job(python: str, wheel: Path) -> str:
    """Install the wheel with what it needs for an interpreter, ask and print with it; which Python that is."""
    with tempfile.TemporaryDirectory() as folder:
        there = Path(folder) / "there"
        subprocess.run([python, "-m", "venv", str(there)], check=True)
        ours = there / "bin" / "python"
        subprocess.run([str(ours), "-m", "pip", "install", "--quiet", f"{wheel}[page]"], check=True)
        balancer = there / "bin" / "balancer"
        for words in (["tonight", "--demo"], ["cards", "--demo", "--out", "cards.pdf"], ["page", "--help"]):
            subprocess.run([str(balancer), *words], cwd=folder, check=True, capture_output=True)
        assert (Path(folder) / "cards.pdf").read_bytes().startswith(b"%PDF")
        asked = "import balancer, platform; balancer.load(demo=True).tonight(); print(platform.python_version())"
        done = subprocess.run([str(ours), "-c", asked], cwd=folder, check=True, capture_output=True, text=True)
        return done.stdout.strip()


def table(cells: Mapping[tuple[str, str], str], versions: Mapping[str, set[str]], ran: Iterable[str]) -> str:
    """The part of the page that is written: what was resolved, with what, and what was run."""
    told = " and ".join(f"`{extra}`" for extra in extras())
    run = ", ".join(f"Python {each}" for each in ran) or "nothing"
    lines = [
        f"Resolved on {datetime.now(UTC).date()} by pip {_pip()}, each with {told}: how many wheels it takes.",
        "",
        f"| | {' | '.join(f'Python {python}' for python in PYTHONS)} |",
        f"|---|{'---|' * len(PYTHONS)}",
        *(f"| {target.name} | {' | '.join(cells[target.name, python] for python in PYTHONS)} |" for target in TARGETS),
        "",
        f"Installed and run, the main job alone, on {platform.system()} {platform.machine()}: {run}.",
        "",
        "| package | resolved |",
        "|---|---|",
        *(f"| {name} | {', '.join(sorted(versions[name]))} |" for name in sorted(versions)),
    ]
    return "\n".join(lines) + "\n"


def _pip() -> str:
    said = subprocess.run([sys.executable, "-m", "pip", "--version"], check=True, capture_output=True, text=True).stdout
    return said.split()[1]


def main() -> None:
    """Resolve everything, run what is to be run, print or write the table; exit 1 where a wheel is missing."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help="write the table into the page")
    parser.add_argument("--run", action="append", default=[], metavar="PYTHON", help="also install and run with it")
    options = parser.parse_args()
    cells: dict[tuple[str, str], str] = {}
    versions: dict[str, set[str]] = {}
    for target in TARGETS:
        for python in PYTHONS:
            cells[target.name, python], found = cell(target, python)
            print(target.name, python, cells[target.name, python], file=sys.stderr)
            for name, version in found.items():
                versions.setdefault(name, set()).add(version)
    with tempfile.TemporaryDirectory() as folder:
        wheel = built(Path(folder) / "wheel", "--wheel")
        ran = [does_the_main_job(python, wheel) for python in options.run]
    told = table(cells, versions, ran)
    if options.write:
        text = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(f"{text.partition(BEGIN)[0]}{BEGIN}\n{told}\n{END}{text.partition(END)[2]}", encoding="utf-8")
    else:
        print(told)
    raise SystemExit(any("no wheel" in said for said in cells.values()))


if __name__ == "__main__":
    main()
