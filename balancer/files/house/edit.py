"""Specs changed in place: only the characters of what changes, so that remarks, quotes and layout stay as they are.

A change is spliced into the text, the folder is read again with it, and it counts only when what was asked for is all
that differs. `write_edit` writes it.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.swaps.versions import FIRST, next_version
from balancer.errors import CannotError, Problem, ProblemsError
from balancer.files.house.drink_text import settled, wanted_pours, wanted_strengths, with_pours
from balancer.files.house.entries import Entry, entries_of
from balancer.files.house.entry_copy import copied
from balancer.files.house.entry_text import EntryText, text_of
from balancer.files.house.load import Loaded, load
from balancer.files.house.own_copy import OwnCopy, own_copy
from balancer.files.house.pour_text import AGAIN, CHANGED, amount_span
from balancer.files.yaml.document import Scalar
from balancer.models.changes import NOTHING_ELSE, AlsoChanged, PourChange
from balancer.models.drink import Drink
from balancer.models.names import file_stem, slug
from balancer.models.syrup import Syrup

TYPED: Final = ("version", "date")
"""Keys whose text may stand without quotes although readers of YAML take it for something else."""
_KINDS: Final = ("ingredients", "syrups", "drinks")


class Edit(NamedTuple):
    """A change that was tried out and not yet written.

    path      the file as the folder names it
    old, new  the file's text before and after; nothing before where the file is new
    after     the folder with the change
    drink     id of the drink that is changed or new; None of a syrup
    copy      the copy that the house gets of an entry of its base, of which old is the text; it is a new file too
    before    the folder that it was judged in; None where nothing else in it matters
    """

    path: Path
    old: str
    new: str
    after: Loaded
    drink: str | None = None
    is_new: bool = False
    copy: OwnCopy | None = None
    before: Loaded | None = None


def edit_drink(
    folder: Path,
    before: Loaded,
    drink: Drink,
    changes: Sequence[PourChange],
    today: date,
    *,
    by: str | None = None,
    also: AlsoChanged = NOTHING_ELSE,
) -> Edit:
    """A drink with other pours, its next version, and its date. One of the base gets a copy in the house.

    folder   the house's own, to be written in
    changes  to pours of this very drink; those by a person's own writing are written so
    by       who changes it; without it, nobody is named: who wrote the old one did not write this one
    also     what else of it changes
    Raises CannotError when it cannot be done without touching more, or when the folder is no longer what was read
    before, ProblemsError when the drink would not load.
    """
    changes = settled(changes)
    entry, copy = _own(folder, _entry(folder, before, "drinks", drink.id))
    wanted: dict[str, Any] = {
        "pours": wanted_pours(before, drink, changes),
        "written_for": wanted_strengths(drink, changes),
    }
    told = told_of_change(next_version(drink.version), today, by, also)
    edited = with_pours(entry, before, drink, changes)
    if also.dilution is not None:
        edited, wanted["weighed"] = edited.without_key("weighed"), None
    edited = _with_keys(edited, told)
    wanted_drink = drink.model_copy(update=wanted | told | _as_read(also))
    after = _tried(folder, before, None if copy else entry, edited, "drinks", wanted_drink)
    return _edit(entry, edited, before, after, copy, drink.id)


def new_drink(
    folder: Path,
    before: Loaded,
    drink: Drink,
    changes: Sequence[PourChange],
    name: str,
    today: date,
    *,
    by: str | None = None,
    also: AlsoChanged = NOTHING_ELSE,
) -> Edit:
    """A drink with other pours under a name of its own, in a file beside that of the old one, which stays as it is.

    The entry is copied with its remarks: without its `id`, without its weighing, which was of the old pours, and
    without who wrote the old one.
    Raises CannotError for a name or file that is there, ProblemsError when the drink would not load.
    """
    changes = settled(changes)
    name = " ".join(name.split())
    found = _entry(folder, before, "drinks", drink.id)
    entry = text_of(found)
    path = _free(folder / "drinks" if found.depth else Path(found.document.path).parent, before, name)
    wanted: dict[str, Any] = {
        "id": slug(name),
        "name": name,
        "weighed": None,
        "pours": wanted_pours(before, drink, changes),
        "written_for": wanted_strengths(drink, changes),
    }
    copy = with_pours(copied(entry, str(path)), before, drink, changes)
    copy = copy.without_key("id").without_key("weighed").set_key("drink", name)
    told = told_of_change(FIRST, today, by, also)
    copy = _with_keys(copy, told)
    after = _tried(folder, before, None, copy, "drinks", drink.model_copy(update=wanted | told | _as_read(also)))
    return Edit(path, "", copy.text, after, wanted["id"], is_new=True, before=before)


def told_of_change(
    version: str, today: date, by: str | None, also: AlsoChanged = NOTHING_ELSE
) -> dict[str, str | None]:
    """What a changed drink says of itself besides its pours, as it stands in the file; None: that key goes."""
    told = {"version": version, "date": today.isoformat(), "by": None if by is None else " ".join(by.split())}
    if also.glass is not None:
        told["glass"] = also.glass
    if also.dilution is not None:
        told["dilution"] = f"{also.dilution:.1f} %"
    return told


def _as_read(also: AlsoChanged) -> dict[str, float]:
    """What of that is no text once it is read."""
    return {} if also.dilution is None else {"dilution": round(also.dilution, 1)}


def _with_keys(entry: EntryText, keys: Mapping[str, str | None]) -> EntryText:
    for key, value in keys.items():
        entry = entry.without_key(key) if value is None else entry.set_key(key, value, typed=key in TYPED)
    return entry


def edit_standard(folder: Path, before: Loaded, syrup: Syrup, brix: float, written: str) -> Edit:
    """A syrup with another standard; written is its strength as it is to stand in the file. As `edit_drink` otherwise.

    Raises CannotError and ProblemsError as `edit_drink` does, and CannotError when the file has no `standard`.
    """
    entry, copy = _own(folder, _entry(folder, before, "syrups", syrup.id))
    value = entry.node.get("standard")
    if not isinstance(value, Scalar):
        reading = entry.node.get("standard reading")
        shown = f"standard reading: {reading.text if isinstance(reading, Scalar) else ''}"
        line = entry.document.line_number((reading or entry.node).start)
        raise CannotError(
            "standard-reading",
            f'{syrup.name} has no standard but what a refractometer reads: "{shown}"',
            f'in {entry.document.path}, line {line}: write there what yours should read, or "standard: {written}"',
        )
    start, end = amount_span(entry, value)
    in_flow = entry.in_flow and not value.quoted
    edited = entry.spliced(start, end, written.replace(",", ".") if in_flow else written)
    wanted = syrup.model_copy(update={"standard": brix})
    after = _tried(folder, before, None if copy else entry, edited, "syrups", wanted)
    return _edit(entry, edited, before, after, copy)


def _edit(
    entry: EntryText, edited: EntryText, before: Loaded, after: Loaded, copy: OwnCopy | None, drink: str | None = None
) -> Edit:
    """The change of an entry that the house has, or gets as a copy."""
    path, is_new = Path(entry.document.path), copy is not None
    return Edit(path, entry.text, edited.text, after, drink, is_new=is_new, copy=copy, before=before)


def _entry(folder: Path, before: Loaded, kind: str, identity: str) -> Entry:
    """The entry of an id that the house has or its base, where it is sound and says what it said before."""
    for entry in entries_of(folder, kind):
        if entry.id == identity and entry.readable and entry.kind == kind:
            refuse_other(entry, before)
            return entry
    raise CannotError(CHANGED, f'"{identity}" is no longer where it was', "set it again")


def refuse_other(entry: Entry, before: Loaded) -> None:
    """Raise an error for an entry that says something else than when the folder was read.

    Its next version was reckoned from what was read, and would be that of what somebody wrote meanwhile.
    """
    if entry.data != before.written[entry.kind].get(entry.id):
        raise changed_meanwhile(entry.document.path)


def refuse_moved(folder: Path, before: Loaded) -> None:
    """Raise an error where anything in a folder is no longer as it was read: what a change does is unknown then."""
    now = load(folder)
    if (now.specs.house, now.written, _broken(now)) != (before.specs.house, before.written, _broken(before)):
        raise changed_meanwhile(folder)


def _own(folder: Path, entry: Entry) -> tuple[EntryText, OwnCopy | None]:
    """The text that may be written: the entry's own, or that of a copy where it is the base's, which never is."""
    if not entry.depth:
        return text_of(entry), None
    copy = own_copy(folder, entry)
    return copy.text, copy


def _free(directory: Path, before: Loaded, name: str) -> Path:
    """The file of a new drink in a folder. Raises CannotError for a name that is taken, or makes no name of a file."""
    identity = slug(name)
    if not identity:
        raise CannotError("name", f'"{name}" has no letter or digit', "give it a name with letters")
    specs = before.specs
    taken = specs.drink_names.whole(name)
    if taken is not None:
        known = specs.drinks.get(taken)
        told = f'"{name}" is already a drink{f": {known.name}" if known and known.name != name else ""}'
        raise CannotError("name-taken", told, "give the new one another name, or change that one: leave --as out")
    path = directory / f"{file_stem(identity)}.yaml"
    if os.path.lexists(path):
        raise there_already(path)
    return path


def changed_meanwhile(path: Path | str) -> CannotError:
    """What is told where somebody else wrote since it was read."""
    return CannotError(CHANGED, f'"{path}" was changed meanwhile; nothing was written', AGAIN)


def there_already(path: Path) -> CannotError:
    """What is told where a new file would be written over another."""
    told = f'"{path}" is there already; nothing was written'
    return CannotError("file-exists", told, "give the new drink another name")


def _tried(
    folder: Path, before: Loaded, entry: EntryText | None, edited: EntryText, kind: str, wanted: Drink | Syrup
) -> Loaded:
    """The folder with a change; entry is what it was made on, None where the file is new.

    Raises CannotError when anything but what is wanted differs.
    """
    document, path = edited.document, Path(edited.document.path)
    is_new = entry is None
    after = load(
        folder, None if is_new else {path: document.text.encode()}, besides={kind: [document]} if is_new else {}
    )
    fresh = _fresh(before, after, path)
    kinds = _kinds(before)
    kinds[kind][wanted.id] = wanted
    if fresh or (after.specs.house, _kinds(after), _broken(after)) != (before.specs.house, kinds, _broken(before)):
        refuse_moved(folder, before)
        raise ProblemsError(fresh) if fresh else edited.refused(entry.node.start if entry else 0)
    return after


def _kinds(loaded: Loaded) -> dict[str, dict[str, Any]]:
    specs = loaded.specs
    return dict(zip(_KINDS, ({**specs.ingredients}, {**specs.syrups}, {**specs.drinks}), strict=True))


def _broken(loaded: Loaded) -> list[tuple[Any, ...]]:
    return [(entry.kind, entry.id, entry.name, entry.pours) for entry in loaded.broken]


def _fresh(before: Loaded, after: Loaded, path: Path) -> list[Problem]:
    """The faults that were not there before. In the file itself lines move: they are known by their own line's text."""
    if not Counter(map(_kind_of, _faults(after))) - Counter(map(_kind_of, _faults(before))):
        return []

    def known_as(problem: Problem) -> tuple[Any, ...]:
        return (*_kind_of(problem), problem.excerpt) if problem.path == str(path) else problem.same_as

    known = Counter(map(known_as, _faults(before)))
    return [problem for problem in _faults(after) if not known[known_as(problem)]]


def _kind_of(problem: Problem) -> tuple[str | None, str]:
    return problem.path, problem.code


def _faults(loaded: Loaded) -> list[Problem]:
    """The problems that are more than a doubt: what is doubted may be meant, and whoever sets it is asked."""
    return [problem for problem in loaded.problems if not problem.is_doubt]
