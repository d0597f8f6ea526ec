"""`python -m tests.validation`: prints docs/validation.md; --write renews it, --measure works out what it reads."""

from __future__ import annotations

import sys

from tests.validation import page, stored

PARTS = ("draws", "searches", "libraries")


def main(arguments: list[str]) -> None:
    """--measure takes one of PARTS, or does all of them: a quarter of an hour on one core."""
    match arguments:
        case []:
            print(page.page(), end="")
        case ["--write"]:
            page.PAGE.write_text(page.page(), encoding="utf-8")
        case ["--measure"]:
            stored.measure()
        case ["--measure", part] if part in PARTS:
            stored.measure(part)
        case _:
            sys.exit(f"usage: python -m tests.validation [--write | --measure [{' | '.join(PARTS)}]]")


if __name__ == "__main__":
    main(sys.argv[1:])
