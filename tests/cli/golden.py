"""Regression snapshots of what the commands print: our own output, kept to be read and to notice change.

No number in them is a check value. To write them anew after a wanted change, and read what changed:

    python -m tests.cli.golden && git diff tests/cli/golden
"""

from __future__ import annotations

import contextlib
import shlex
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tests.cli.runner import copy_of_house, run

FOLDER = Path(__file__).parent / "golden"
BROKEN = "drink: Loose Plank\nmethod: shaken\npours:\n  - 20 ml berry syrup\n  - 20 ml nonsuch\n"


@dataclass(frozen=True)
class Case:
    """One command line, on the tests' house with files added."""

    name: str
    line: str
    files: Mapping[str, str] = field(default_factory=dict)

    @property
    def path(self) -> Path:
        return FOLDER / f"{self.name}.txt"

    def text(self) -> str:
        """What a person sees who types the line in a folder that holds the house as specs/."""
        with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
            copy_of_house(Path(), **self.files)
            done = run(*shlex.split(self.line), specs=None)
        said = [f"$ balancer {self.line}", done.out.rstrip("\n"), done.err.rstrip("\n"), f"exit code {done.code}"]
        return "\n".join(part for part in said if part) + "\n"


CASES = (
    Case("pour_new", "pour 22.5ml --standard 50 --brix 54"),
    Case("pour_as_written", "pour 22.5ml --standard 50 --brix 51"),
    Case("pour_out_of_reach", "pour 22.5ml --standard 50 --brix 52.4"),
    Case("pour_small", "pour 5ml --standard 50 --brix 54"),
    Case("pour_steps", "pour 3/4oz --standard 50 --brix 46,5 --steps"),
    Case("pour_no_unit", "pour 22.5 --standard 50 --brix 54"),
    Case("totals", "totals anchor"),
    Case("totals_steps", "totals breakwater --steps"),
    Case("totals_steps_weighed", "totals foam --steps"),
    Case("totals_steps_stirred", "totals dark --steps"),
    Case("totals_unknown", "totals dark"),
    Case("totals_stated", "totals capstan"),
    Case("totals_long_name", "totals the long"),
    Case("totals_wide_name", "totals 燈台"),
    Case("totals_unknown_name", "totals anchr"),
    Case("adjust_drier", "adjust anchor --sugar -10% --steps"),
    Case("adjust_smaller", "adjust anchor --volume 100ml"),
    Case("adjust_cannot", "adjust anchor --abv 40%"),
    Case("totals_menu", "totals"),
    Case("totals_menu_by_sugar", "totals --sort sugar --all"),
    Case("totals_against", "totals anchor --against foam"),
    Case("totals_against_unknown", "totals anchor --against dark"),
    Case("rescale_change", "rescale --syrup berry --brix 54"),
    Case("rescale_as_written", "rescale --syrup berry --brix 52"),
    Case("rescale_correct", "rescale --syrup plain --brix 46"),
    Case("rescale_read_again", "rescale --syrup berry --brix 66"),
    Case("rescale_doubt", "rescale --syrup berry --brix 54 --uncertainty 0.4"),
    Case("rescale_cause", "rescale --syrup berry --brix 54 --cause sugar"),
    Case("rescale_steps", "rescale --syrup berry --brix 54 anchor bollard --steps"),
    Case("rescale_weighed", "rescale --syrup honey --brix 54 --steps"),
    Case("rescale_broken", "rescale --syrup berry --brix 54", {"drinks__broken": BROKEN}),
    Case("simulate", "simulate --sd 2 --sd berry=4 --draws 2000"),
    Case("simulate_all", "simulate --sd berry=2 --draws 2000 --all"),
    Case("simulate_no_spread", "simulate"),
    Case("check", "check"),
    Case("check_broken", "check", {"drinks__broken": BROKEN}),
    Case("start", "start bar"),
    Case("start_not_empty", "start specs"),
    Case("no_folder", "check --specs nowhere"),
)


def write() -> None:
    """Write every snapshot, and take away those of no case."""
    FOLDER.mkdir(exist_ok=True)
    for path in FOLDER.glob("*.txt"):
        path.unlink()
    for case in CASES:
        case.path.write_text(case.text(), encoding="utf-8")


if __name__ == "__main__":
    write()
