"""What the TAB key offers of the bar's own: a glance at its files, that never fails and never says a word."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Final

import typer

from balancer.cli.folder import find_folder
from balancer.files.house.demo import demo_folder
from balancer.models.names import slug

_NAME: Final = re.compile(r"^(?:- )?(?:drink|syrup|ingredient): *(?P<name>[^#\n]*[^#\s])", re.MULTILINE)
_MOST_FILES: Final = 2000
_CLOSED: Final = ("empty", "discard")

Offer = Callable[[typer.Context, str], list[str]]


def offering(*kinds: str) -> Offer:
    """What completes a word to the things of some kinds: drinks, syrups, ingredients, batches in the house."""

    def offer(ctx: typer.Context, incomplete: str) -> list[str]:
        try:
            folder = demo_folder() if ctx.params.get("demo") else find_folder(ctx.params.get("specs"))
            return [] if folder is None else _begin_so(folder, kinds, incomplete)
        except Exception:
            return []

    return offer


def _begin_so(folder: Path, kinds: Iterable[str], text: str) -> list[str]:
    """The ids that begin with a text. What was typed in small letters stays so: a tape's id is known in any case."""
    found: dict[str, None] = {}
    for kind in kinds:
        ids = _batches(folder) if kind == "batches" else _names(folder / kind)
        found |= dict.fromkeys(identity.lower() if text.islower() else identity for identity in ids)
    return sorted(identity for identity in found if identity.startswith(text))


def _names(folder: Path) -> list[str]:
    """The ids of everything named in the files of a folder."""
    files = [path for path in sorted(folder.rglob("*"))[:_MOST_FILES] if path.suffix.lower() in (".yaml", ".yml")]
    texts = (path.read_text(encoding="utf-8", errors="replace") for path in files if path.is_file())
    return [slug(found["name"].strip("\"'")) for text in texts for found in _NAME.finditer(text)]


def _batches(folder: Path) -> list[str]:
    """The batches that nobody called empty or discarded."""
    state: dict[str, str] = {}
    for line in (folder / "batches.yaml").read_text(encoding="utf-8", errors="replace").splitlines():
        try:
            entry = json.loads(line.removeprefix("- "))
            state[str(entry["batch"])] = str(entry["event"])
        except (ValueError, KeyError, TypeError):
            continue
    return [identity for identity, event in state.items() if event not in _CLOSED]


DRINKS: Final = offering("drinks")
SYRUPS: Final = offering("syrups")
LIQUIDS: Final = offering("syrups", "ingredients")
BATCHES: Final = offering("batches")
SYRUPS_AND_BATCHES: Final = offering("syrups", "batches")
