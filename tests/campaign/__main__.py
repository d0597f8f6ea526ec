"""`python -m tests.campaign`: a tenth of the campaign, its counts and what it found; exit code 1 where a promise broke.

--share 0.02 [PART]     a share of it
--measure [PART]        the whole from the beginning, ten minutes on an idle machine; stored in figures.json
--resume [PART]         what of it is not stored yet: it may be stopped between any two slices
--write                 docs/reliability.md, written from what is stored
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from tests.campaign import page, stored
from tests.campaign.parts import PARTS, SEED
from tests.campaign.tally import MOST_TOLD, Tally


def _told(found: dict[str, Tally]) -> int:
    for name, tally in found.items():
        print(f"{name}: {', '.join(f'{count:,} {what}' for what, count in tally.counts.items() if count)}")
        for finding in tally.findings[:MOST_TOLD]:
            print(f"  FOUND {finding}")
        print(f"  promises broken: {len(tally.findings)}", flush=True)
    return sum(len(tally.findings) for tally in found.values())


def _ran(share: float, only: list[str]) -> int:
    """A share of each part; returns how many promises were broken."""
    with tempfile.TemporaryDirectory() as folder:
        return sum(_told(PARTS[name].begin(Path(folder) / name)(share, SEED)) for name in only)


def _measured(only: list[str], *, anew: bool) -> int:
    """Every slice of each part, or those that are missing or broke a promise; each is stored when it is done."""
    broken = 0
    for name in only:
        part = PARTS[name]
        for counted in part.names if anew else ():
            stored.forget(counted)
        done = set.intersection(*(stored.sound(counted) for counted in part.names))
        missing = [place for place in range(part.slices) if place not in done]
        if not missing:
            continue
        with tempfile.TemporaryDirectory() as folder:
            some = part.begin(Path(folder) / name)
            for place in missing:
                print(f"{name}: slice {place + 1} of {part.slices}")
                found = some(1.0 / part.slices, SEED + place)
                stored.keep(found, place)
                broken += _told(found)
    return broken


def _each(words: list[str]) -> int:
    """Every part in a program of its own: one that has begun threads must not fork, or its child may wait for ever."""
    codes = [subprocess.call([sys.executable, "-m", "tests.campaign", *words, name]) for name in PARTS]
    return max(codes)


def main(arguments: list[str]) -> int:
    """Returns the exit code."""
    match arguments:
        case ["--write"]:
            page.PAGE.write_text(page.page(), encoding="utf-8")
            return 0
        case ["--measure" | "--resume" as how, *only] if set(only) <= set(PARTS):
            return int(_measured(only, anew=how == "--measure") > 0) if only else _each([how])
        case ["--share", share, *only] if set(only) <= set(PARTS):
            return int(_ran(float(share), only) > 0) if only else _each(["--share", share])
        case []:
            return _each(["--share", "0.1"])
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
