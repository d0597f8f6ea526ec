"""What the TAB key offers of the bar's own: a glance at its files, that never fails and never says a word."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any, Final

import typer

from balancer.desk.clock import now
from balancer.desk.folder import find_folder
from balancer.engine.batch.history import night_of
from balancer.files.house.demo import DEMO_EVENING, demo_folder
from balancer.files.reading import read_bytes
from balancer.files.sizes import LOG, SPECS
from balancer.models.house import House
from balancer.models.names import slug
from balancer.unseen import first_unseen

_NAME: Final = re.compile(r"^(?:- )?(?:drink|syrup|ingredient): *(?P<name>[^#\n]*[^#\s])", re.MULTILINE)
_DAY_ENDS: Final = re.compile(r"""^day ends: *["']?(\d\d:\d\d)""", re.MULTILINE)
_BASE: Final = re.compile(r"""^base: *["']?([^#"'\n]+)""", re.MULTILINE)
_MOST_FILES: Final = 2000
_MOST_LAYERS: Final = 8
_CLOSED: Final = ("empty", "discard")

Offer = Callable[[typer.Context, str], list[str]]


def offering(*kinds: str) -> Offer:
    """What completes a word to the things of some kinds: drinks, syrups, ingredients, batches in the house, stock."""

    def offer(ctx: typer.Context, incomplete: str) -> list[str]:
        try:
            folder = demo_folder() if ctx.params.get("demo") else find_folder(ctx.params.get("specs"))
            return [] if folder is None else _begin_so(folder, kinds, incomplete)
        except Exception:
            return []

    return offer


def _begin_so(folder: Path, kinds: Iterable[str], text: str) -> list[str]:
    """The ids that begin with a text, in any case: what was typed stays as it is, for a shell drops what differs."""
    found: dict[str, None] = {}
    for kind in kinds:
        ids = _LISTS[kind](folder) if kind in _LISTS else _names(each / kind for each in _layers(folder))
        found |= dict.fromkeys(identity.lower() if text.islower() else identity for identity in ids)
    begun = (identity for identity in found if identity[: len(text)].casefold() == text.casefold())
    return sorted({text + identity[len(text) :] for identity in begun if not first_unseen(identity)})


def _layers(folder: Path) -> list[Path]:
    """A bar's folder, and those that it stands on."""
    found = [folder]
    while len(found) < _MOST_LAYERS and (said := _said(found[-1], _BASE)):
        found.append(found[-1] / said)
    return found


def _said(folder: Path, key: re.Pattern[str]) -> str | None:
    """What the house.yaml of a folder says of a key, as far as a glance tells."""
    path = folder / "house.yaml"
    found = key.search(read_bytes(path, SPECS).decode(errors="replace")) if path.is_file() else None
    return found[1].strip() if found else None


def _names(folders: Iterable[Path]) -> list[str]:
    """The ids of everything named in the files of some folders."""
    found = [path for folder in folders for path in sorted(folder.rglob("*"))[:_MOST_FILES]]
    files = [path for path in found if path.suffix.lower() in (".yaml", ".yml")]
    texts = (read_bytes(path, SPECS).decode(errors="replace") for path in files if path.is_file())
    return [slug(match["name"].strip("\"'")) for text in texts for match in _NAME.finditer(text)]


def _batches(folder: Path) -> list[str]:
    """The batches that nobody called empty or discarded."""
    state = {str(entry["batch"]): str(entry["event"]) for entry in _entries(folder)}
    return [identity for identity, event in state.items() if event not in _CLOSED]


def _entries(folder: Path) -> Iterator[dict[str, Any]]:
    """The lines of the log, as far as they can be read."""
    for line in read_bytes(folder / "batches.yaml", LOG).decode(errors="replace").splitlines():
        try:
            entry = json.loads(line.removeprefix("- "))
            _ = entry["batch"], entry["event"]
        except (ValueError, KeyError, TypeError):
            continue
        yield entry


def _stock(folder: Path) -> list[str]:
    """Those of them that are not open, and not past their last day: what may be opened."""
    is_open: dict[str, bool] = {}
    last: dict[str, str] = {}
    for entry in _entries(folder):
        identity = str(entry["batch"])
        if entry["event"] == "made":
            last[identity] = str(entry.get("discard") or "")
        is_open[identity] = entry["event"] == "open" or (is_open.get(identity, False) and entry["event"] != "undo")
    demo = DEMO_EVENING if folder == demo_folder() else None
    today = night_of(now(demo), _day_ends(folder)).isoformat()
    return [each for each in _batches(folder) if not is_open[each] and not "" < last.get(each, "") < today]


def _day_ends(folder: Path) -> str:
    """When the working day ends, as house.yaml says or what it stands on; the usual time where nothing does."""
    said = (_said(each, _DAY_ENDS) for each in _layers(folder))
    return next(filter(None, said), str(House.model_fields["day_ends"].default))


def _printed(folder: Path) -> list[str]:
    """The word for the card of a drink, where any was printed."""
    return ["printed"] if (folder / "printed.json").is_file() else []


_LISTS: Final = {"batches": _batches, "stock": _stock, "printed": _printed}

DRINKS: Final = offering("drinks")
OTHER_DRINKS: Final = offering("drinks", "printed")
SYRUPS: Final = offering("syrups")
LIQUIDS: Final = offering("syrups", "ingredients")
STOCK: Final = offering("stock")
BATCHES: Final = offering("batches")
SYRUPS_AND_BATCHES: Final = offering("syrups", "batches")
