"""Every problem of every file, of one folder or of many."""

from __future__ import annotations

from collections.abc import Sequence, Sized
from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.folder import holds_bar
from balancer.engine.drink.not_known import not_known
from balancer.errors import BalancerError, Problem, ProblemsError, UsageError
from balancer.files.house.base import Shelf
from balancer.files.house.load import NoBarError
from balancer.files.house.overrides import agreed, read_seen, remember_seen, standings
from balancer.files.reading import closed_to_us
from balancer.models.checked import Checked
from balancer.models.layered import Override
from balancer.models.names import NameIndex
from balancer.output.data.check import agreed_data, check_data, checks_data
from balancer.output.screen.check import agreed_text, check_text, checks_text

_ALL = "all"


@answering(lists=True)
def command(
    desk: Desk,
    folders: Annotated[
        list[Path] | None,
        typer.Argument(metavar="DIR", help="Folders of bars, each with its base; one that they share is read once."),
    ] = None,
    agree: Annotated[
        list[str] | None,
        typer.Option(
            "--agree", metavar="NAME", help="Note that what the base says of NAME was seen, and yours stays; or all."
        ),
    ] = None,
) -> Answer:
    """Read every file and tell every problem. Of a house on a base, also what it has its own for and what changed."""
    if folders and desk.named is not None:
        raise UsageError("usage", "--specs and DIR: one of them says which bar", "leave one out")
    if folders and len(folders) > 1:
        if agree:
            raise UsageError("usage", "--agree is for one folder", "name one, as its house sees the base")
        return _check_all(folders, as_json=desk.as_json)
    if folders:
        desk = Desk(folders[0], as_json=desk.as_json, ask=desk.ask)
    if agree:
        return _agree(desk, agree)
    one = _checked(desk)
    return Answer(lambda: check_text(one), lambda: check_data(one), touching=one.problems, about=(), tells_all=True)


def _check_all(folders: Sequence[Path], *, as_json: bool) -> Answer:
    """Every folder as if it were alone, but what they share is read once and told once."""
    shelf = Shelf()
    found = [_tried(Desk(folder, as_json=as_json, shelf=shelf), folder) for folder in dict.fromkeys(folders)]
    problems = tuple(dict.fromkeys(problem for one in found for problem in one.problems))
    return Answer(
        lambda: checks_text(found, problems),
        lambda: checks_data(found, problems),
        touching=problems,
        about=(),
        tells_all=True,
    )


def _tried(desk: Desk, folder: Path) -> Checked:
    """One of many folders: what keeps it from being read is its problem, and stops no other."""
    try:
        if folder.is_dir() and not holds_bar(folder):
            raise NoBarError(folder)
        return _checked(desk)
    except BalancerError as error:
        return Checked(str(folder), error.problems())
    except PermissionError as error:
        return Checked(str(folder), (closed_to_us(error),))


def _checked(desk: Desk) -> Checked:
    """All that a folder has to be told."""
    desk.any_folder()
    loaded, specs = desk.loaded, desk.specs
    held: dict[str, Sized] = {"drinks": specs.drinks, "syrups": specs.syrups, "ingredients": specs.ingredients}
    told: tuple[Problem, ...]
    try:
        told = (*desk.log_problems, *desk.ahead)
        held |= {"batches": desk.batches} if desk.batches else {}
    except ProblemsError as error:  # the log cannot be read at all
        told = error.problems()
    bases = loaded.layers[1:]
    seen, torn = read_seen(desk.folder) if bases else ((), ())
    own = [
        (kind, identity, thing.name)
        for kind, things in (("ingredients", specs.ingredients), ("syrups", specs.syrups), ("drinks", specs.drinks))
        for identity, thing in things.items()
        if loaded.base_of(kind, identity) is None
    ]
    return Checked(
        str(desk.folder),
        (*loaded.problems, *told, *torn),
        {kind: len(things) for kind, things in held.items()},
        loaded.files,
        tuple(map(str, bases)),
        tuple(standings(loaded.overrides, seen, own)) if bases else (),
        not_known(desk.bar, specs.drinks.values()),
    )


def _agree(desk: Desk, names: Sequence[str]) -> Answer:
    """Note that what the base says now was seen."""
    loaded, folder = desk.loaded, desk.own_folder
    wanted = _meant(loaded.overrides, names)
    held, _ = read_seen(folder)
    known = {(one.kind, one.id) for one in standings(loaded.overrides, held, ()) if one.since == "same"}
    fresh = [one for one in wanted if (one.kind, one.id) not in known]
    remember_seen(folder, agreed(fresh, desk.at))
    told = [one.name for one in fresh]
    return Answer(lambda: agreed_text(str(folder), told), lambda: agreed_data(told), about=(), code=0)


def _meant(overrides: Sequence[Override], names: Sequence[str]) -> list[Override]:
    """The entries that are named, whole or by a beginning that is clear."""
    if any(name.strip().casefold() == _ALL for name in names):
        return list(overrides)
    index = NameIndex()
    for place, one in enumerate(overrides):
        index.add(f"{place}", [one.name, one.id])
    found: dict[str, None] = {}
    for name in names:
        places = index.find(name)
        if len(places) != 1:
            listed = ", ".join(f'"{one.name}"' for one in overrides[:6]) or "none"
            told = f'--agree "{name}" is {"several" if places else "none"} of what the house has its own for'
            raise UsageError("unknown-name", told, f"here: {listed}; or all")
        found |= dict.fromkeys(places)
    return [overrides[int(place)] for place in found]
