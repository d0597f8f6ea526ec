"""`python -m tests.campaign`: a tenth of the campaign, its counts and what it found; exit code 1 where a promise broke.

--share 0.02 [PART]     a share of it
--measure [PART]        the whole, half an hour on two cores; its counts are stored in figures.json
--write                 docs/reliability.md, written from what is stored
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from tests.campaign import page, stored
from tests.campaign.parts import PARTS, SEED, campaign
from tests.campaign.tally import MOST_TOLD, Tally


def _ran(share: float, only: str) -> dict[str, Tally]:
    with tempfile.TemporaryDirectory() as folder:
        found = campaign(Path(folder), share, SEED, only)
    for name, tally in found.items():
        print(f"{name}: {', '.join(f'{count:,} {what}' for what, count in tally.counts.items() if count)}")
        for finding in tally.findings[:MOST_TOLD]:
            print(f"  FOUND {finding}")
        print(f"  promises broken: {len(tally.findings)}", flush=True)
    return found


def main(arguments: list[str]) -> int:
    """Returns the exit code."""
    match arguments:
        case ["--write"]:
            page.PAGE.write_text(page.page(), encoding="utf-8")
            return 0
        case ["--measure", *rest] if len(rest) <= 1 and set(rest) <= set(PARTS):
            found = _ran(1.0, "".join(rest))
            stored.store(found)
        case ["--share", share, *rest] if len(rest) <= 1 and set(rest) <= set(PARTS):
            found = _ran(float(share), "".join(rest))
        case []:
            found = _ran(0.1, "")
        case _:
            print(__doc__, file=sys.stderr)
            return 2
    return int(any(tally.findings for tally in found.values()))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
