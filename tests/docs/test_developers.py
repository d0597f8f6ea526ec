"""DEVELOPERS.md names files and folders that are there."""

from __future__ import annotations

import re

from tests.cli.runner import CHECKOUT
from tests.docs.pages import prose

PAGE = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
ROOTS = (CHECKOUT, CHECKOUT / "balancer")
ROOMS = [path.parent for area in ("engine", "files", "output") for path in (ROOTS[1] / area).glob("*/__init__.py")]


def test_every_path_is_there() -> None:
    paths = re.findall(r"`([\w.-]+/[\w./-]*)`", prose(PAGE))
    assert len(paths) > 20
    assert [path for path in paths if not any((root / path).exists() for root in ROOTS)] == []


def test_every_room_is_in_the_table() -> None:
    assert len(ROOMS) > 10
    rooms = [room.relative_to(ROOTS[1]).as_posix() for room in ROOMS]
    assert [room for room in rooms if f"| `{room}/` | " not in PAGE] == []
