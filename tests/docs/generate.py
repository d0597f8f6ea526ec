"""Writes the generated page and the picture of a card anew, and the outputs in every other page.

    python -m tests.docs.generate && git diff docs README.md

Read what changed: outputs are what readers will believe.
"""

from __future__ import annotations

import sys

from tests.cli.runner import CHECKOUT, run
from tests.docs import commands_page, pantry_page
from tests.docs.pages import DOCS, NOW, has_snippets, name, pages, renewed


def write() -> list[str]:
    """Renew every page that is not as it should be; returns what could not be renewed."""
    failed = []
    for page in pages():
        text = page.read_text(encoding="utf-8")
        try:
            new = renewed(text) if has_snippets(page) else text
        except AssertionError as error:
            failed.append(f"{name(page)}: {error}")
            continue
        if new != text:
            page.write_text(new, encoding="utf-8")
            print(f"renewed {name(page)}")
    commands_page.PAGE.write_text(commands_page.page(), encoding="utf-8")
    pantry_page.PAGE.write_text(pantry_page.page(), encoding="utf-8")
    picture = str(DOCS / "card.png")
    run("cards", "slipway sour", "--draft", "--out", picture, specs=CHECKOUT / "specs", env={"BALANCER_NOW": NOW})
    return failed


if __name__ == "__main__":
    sys.exit("\n".join(write()) or None)
