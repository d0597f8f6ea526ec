"""Every command that writes, in a line as somebody types it, and the folder it is typed in."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Final, NamedTuple

from tests.cli.mistakes import USUAL
from tests.cli.runner import CHECKOUT, copy_of_house

NOW: Final = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}


class Writer(NamedTuple):
    """A command line that writes.

    line      without `balancer`
    logs      whether it appends to the batch log: done twice, it logs twice or refuses
    prints    whether it sets pages, which takes a second
    """

    line: str
    logs: bool = False
    prints: bool = False


WRITERS: Final = (
    Writer("batch add plain 51 --open", logs=True),
    Writer("batch open BER-2", logs=True),
    Writer("batch empty BER-1", logs=True),
    Writer("batch discard BER-2", logs=True),
    Writer("batch correct BER-2 --brix 50.2 --mass 1kg", logs=True),
    Writer("batch reading BER-2 --brix 50.4", logs=True),
    Writer("batch combine BER-1 BER-2", logs=True),
    Writer("batch undo BER-1", logs=True),
    Writer("measure 54 --batch BER-1 --log", logs=True),
    Writer("bottle anchor --serves 4 --log --from BER-1", logs=True),
    Writer("set anchor berry 20ml --yes"),
    Writer("set anchor berry 20ml --as 'Anchor Two' --yes"),
    Writer("set berry standard 52 --yes"),
    Writer("swap anchor --out berry --in plain --write --yes"),
    Writer("swap anchor --out berry --in plain --write --as 'Plain Anchor' --yes"),
    Writer("adjust anchor --sugar -10% --write --yes"),
    Writer("set anchor berry 20ml --yes --specs branch"),
    Writer("set berry standard 52 --yes --specs branch"),
    Writer("adjust anchor --sugar -10% --write --yes --specs branch"),
    Writer("export drinks --out old.csv"),
    Writer("export totals --out new.csv"),
    Writer("export batches --out new.csv"),
    Writer("fits --all --out berry --csv old.csv"),
    Writer("import menu.csv --write"),
    Writer("import menu.csv --save-map map.yaml"),
    Writer("start new"),
    Writer("start new --demo"),
    Writer("start new --pantry juices"),
    Writer("start specs --pantry juices"),
    Writer("start empty"),
    Writer("start new --base specs"),
    Writer("cards --copy-template own"),
    Writer("cards anchor --out cards.pdf", prints=True),
    Writer("cards anchor --template look/card.typ --remember --out old.pdf", prints=True),
    Writer("chart berry --out chart.svg", prints=True),
    Writer("simulate anchor --sd 2 --draws 100 --out spread.svg", prints=True),
    Writer("strips --out strips.pdf", prints=True),
    Writer("labels --out old.pdf", prints=True),
    Writer("bottle anchor --serves 4 --out bottle.svg", prints=True),
    Writer("sheet rail --out rail.pdf", prints=True),
    Writer("sheet prep --out prep.pdf", prints=True),
    Writer("sheet allergens --out old.pdf", prints=True),
    Writer("sheet test anchor --against foam --out test.pdf", prints=True),
    Writer("adjust anchor --sugar -10% --test-sheet trial.pdf", prints=True),
)
"""`page` writes too, and listens until it is stopped: tests/benchmarks/page_load.py kills it."""

MENU: Final = """\
drink,ingredient,amount,method
Ebb,gold rum,60 ml,shaken
Ebb,lime juice,20 ml,shaken
Flood,dry gin,50 ml,stirred
Flood,plain syrup,10 ml,stirred
Slack,rye whiskey,60 ml,stirred
"""
BRANCH: Final = "format: 1\nhouse: The Branch\nbase: ../specs\n"
"""A house of a group: what it changes of its base it copies, and notes what the base said."""
TEMPLATES: Final = CHECKOUT / "balancer" / "output" / "paper" / "templates"
_UNPRINTABLE: Final = "燈台守の夏の夕暮れのサワー"


def bar(folder: Path) -> Path:
    """A bar's folder, specs/, with what lies beside it: a house that stands on it, a menu, files written before."""
    folder.mkdir(parents=True)
    specs = copy_of_house(folder)
    drinks = specs / "drinks" / "sours.yaml"
    drinks.write_text(drinks.read_text(encoding="utf-8").replace(_UNPRINTABLE, "Lamp Room"), encoding="utf-8")
    for name, text in {**USUAL, "menu.csv": MENU}.items():
        path = folder / name if name.endswith(".csv") else specs / name
        path.write_text(text, encoding="utf-8")
    (folder / "branch").mkdir()
    (folder / "branch" / "house.yaml").write_text(BRANCH, encoding="utf-8")
    (folder / "empty").mkdir()
    (folder / "old.csv").write_text("an older table\n", encoding="utf-8")
    (folder / "old.pdf").write_text("an older page\n", encoding="utf-8")
    (folder / "look").mkdir()
    for name in ("card.typ", "grid.typ", "press.typ"):
        shutil.copy(TEMPLATES / name, folder / "look" / name)
    return folder


State = dict[str, bytes | None]
"""Every file by its path, with its content; a folder has None."""


NOTED: Final = "branch/overrides.yaml"
"""Where a house notes what its base says of an entry before it copies that: noted without a copy it means nothing."""


def state(folder: Path) -> State:
    """What everybody sees in a folder, but for what is only noted."""
    return {name: content for name, content in _everything(folder).items() if not _is_hidden(name) and name != NOTED}


def leftovers(folder: Path) -> list[str]:
    """Hidden files and folders that are no lock, without what such a folder holds."""
    hidden = [name for name in _everything(folder) if name.rpartition("/")[2].startswith(".")]
    return [name for name in hidden if not name.endswith(".lock") and not _is_hidden(name.rpartition("/")[0])]


def _everything(folder: Path) -> State:
    paths = sorted(folder.rglob("*"))
    return {path.relative_to(folder).as_posix(): None if path.is_dir() else path.read_bytes() for path in paths}


def _is_hidden(name: str) -> bool:
    return any(part.startswith(".") for part in name.split("/"))
