"""docs/reference/commands.md is what the commands say, and they say something of everything they take."""

from __future__ import annotations

from typing import Any

import pytest

from tests.docs import commands_page
from tests.docs.commands_page import PAGE, leaves

LEAVES = list(leaves())


def test_the_page_is_new() -> None:
    assert PAGE.read_text(encoding="utf-8") == commands_page.page(), "python -m tests.docs.generate"


@pytest.mark.parametrize(("path", "command"), LEAVES, ids=[" ".join(path) for path, _ in LEAVES])
def test_everything_is_documented(path: tuple[str, ...], command: Any) -> None:
    text = PAGE.read_text(encoding="utf-8")
    section = text.partition(f"\n## balancer {' '.join(path)}\n")[2].partition("\n## ")[0]
    assert command.help
    undocumented = []
    for one in command.params:
        shown = one.opts if one.param_type_name == "option" else [one.metavar]
        if not one.help or any(str(name) not in section for name in shown):
            undocumented.append(one.name)
    assert undocumented == []


def test_every_command_is_shown_at_work() -> None:
    """In the tutorial or a how-to page."""
    assert [" ".join(path) for path, _ in LEAVES if not commands_page.users(path)] == []
