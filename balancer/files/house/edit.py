"""One value of a file changed in place: only its characters, so that comments, quotes and layout stay as they are.

A change is spliced into the text, the folder is read again with it, and it counts only when what was asked for is all
that differs.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any, Final, Literal, NamedTuple

from balancer.errors import CannotError, Problem, ProblemsError, QuantityError
from balancer.files.house.entries import Entry, entries_of
from balancer.files.house.load import Loaded, load
from balancer.files.log.batch_log import LOCK, LOCK_SECONDS
from balancer.files.save import acquire, save
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.units import Quantity, split_pour

_MARK: Final = "\N{BYTE ORDER MARK}".encode()
_AGAIN: Final = "look at the file, then set it again"


class Edit(NamedTuple):
    """A change that was tried out and not yet written.

    path      the file as the folder names it; line is the 1-based line of the value
    old, new  the file's text before and after
    after     the folder with the change
    """

    path: Path
    line: int
    old: str
    new: str
    after: Loaded


class _Place(NamedTuple):
    """Where a value stands. in_flow: inside [ ] or { }, where a comma ends it. alone: no name stands behind it."""

    document: Document
    value: Scalar
    in_flow: bool
    alone: bool = True

    def told(self) -> str:
        return f"{self.document.path}:{self.document.line_number(self.value.start)}"


def edit_pour(folder: Path, before: Loaded, drink: Drink, pour: Pour, amount: Quantity, written: str) -> Edit:
    """A pour of a drink with another amount.

    amount   what the pour will be; written is the same as it is to stand in the file
    Raises CannotError when it cannot be done without touching more than the amount, ProblemsError when the drink would
    no longer load.
    """
    place = _place_of_pour(folder, drink, pour)
    pours = tuple(each.model_copy(update={"amount": amount}) if each is pour else each for each in drink.pours)
    wanted = drink.model_copy(update={"pours": pours})
    if amount.unit == RINSE:
        written = f"1 {RINSE}" if place.alone else RINSE
    return _tried(folder, before, place, written, before.specs.drinks | {drink.id: wanted}, "drinks")


def edit_standard(folder: Path, before: Loaded, syrup: Syrup, brix: float, written: str) -> Edit:
    """A syrup with another standard; written is its strength as it is to stand in the file.

    Raises CannotError and ProblemsError as `edit_pour` does, and CannotError when the file has no `standard`.
    """
    entry = _entry(folder, "syrups", syrup.id)
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
    place = _Place(entry.document, value, _in_flow(entry))
    wanted = syrup.model_copy(update={"standard": brix})
    return _tried(folder, before, place, written, before.specs.syrups | {syrup.id: wanted}, "syrups")


def write_edit(folder: Path, edit: Edit) -> None:
    """Put the changed text into the file, whole or not at all.

    Raises CannotError when the file is no longer the text that the change was made on, or cannot be written.
    """
    remedy = "see who may write the file and its folder, then set it again"
    lock = folder / LOCK  # the log's: one lock for all that writes into a folder
    try:
        held = acquire(lock, "in this folder", LOCK_SECONDS)
    except (OSError, NotImplementedError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise CannotError("unwritable", f'"{lock}" cannot be written: {reason}; nothing was changed', remedy) from None
    with held:
        raw = _read(edit.path)
        mark = _MARK if raw.startswith(_MARK) else b""
        if raw != mark + edit.old.encode():
            raise CannotError("changed", f'"{edit.path}" was changed meanwhile; nothing was written', _AGAIN)
        save(Path(os.path.realpath(edit.path)), mark + edit.new.encode(), remedy=remedy)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise CannotError("unreadable", f'"{path}" cannot be read: {error.strerror}', _AGAIN) from None


def _entry(folder: Path, kind: str, identity: str) -> Entry:
    """The entry of an id in a folder whose entry of it is sound."""
    for entry in entries_of(folder, kind):
        if entry.id == identity and entry.readable and entry.kind == kind:
            return entry
    raise CannotError("changed", f'"{identity}" is no longer where it was', "set it again")


def _in_flow(entry: Entry) -> bool:
    root = entry.document.root
    return entry.node.flow or (isinstance(root, Sequence) and root.flow)


def _place_of_pour(folder: Path, drink: Drink, pour: Pour) -> _Place:
    entry = _entry(folder, "drinks", drink.id)
    pours = entry.node.get("pours")
    items: list[Node] = list(pours.items) if isinstance(pours, Sequence) else [pours] if pours else []
    if len(items) != len(drink.pours):
        raise CannotError("changed", f'"{entry.document.path}" was changed meanwhile', _AGAIN)
    item = items[next(index for index, each in enumerate(drink.pours) if each is pour)]
    in_flow = _in_flow(entry) or (not isinstance(pours, Scalar) and pours is not None and pours.flow)
    if isinstance(item, Mapping):
        in_flow = in_flow or item.flow
        value = item.get("pour")
    else:
        value = item
    if not isinstance(value, Scalar):
        raise CannotError("changed", f'"{entry.document.path}" was changed meanwhile', _AGAIN)
    return _Place(entry.document, value, in_flow, isinstance(item, Mapping))


def _tried(
    folder: Path, before: Loaded, place: _Place, written: str, wanted: dict[str, Any], kind: Literal["drinks", "syrups"]
) -> Edit:
    """The change of one value, tried out. wanted is what the folder should then hold of its kind."""
    document = place.document
    start, end = _amount_span(place)
    is_bare = not place.value.quoted
    text = written.replace(",", ".") if is_bare and place.in_flow else written
    new = document.text[:start] + text + document.text[end:]
    path = Path(document.path)
    after = load(folder, {path: new.encode()})
    fresh = [problem for problem in _faults(after) if problem not in before.problems]
    if len(_faults(after)) > len(_faults(before)) and fresh:
        raise ProblemsError(fresh)
    if _held(after, kind, None) != _held(before, kind, wanted):
        raise CannotError(
            "unsafe-edit",
            f'"{written}" cannot be written here without changing more than this value: {place.told()}',
            "change it in an editor, then see what it says: balancer check",
        )
    return Edit(path, document.line_number(start), document.text, new, after)


def _held(loaded: Loaded, kind: str, wanted: dict[str, Any] | None) -> tuple[Any, ...]:
    """All that a folder holds and all that is broken in it, for comparing; with wanted in place of one kind."""
    specs: Specs = loaded.specs
    kinds: dict[str, dict[str, Any]] = {
        "ingredients": {**specs.ingredients},
        "syrups": {**specs.syrups},
        "drinks": {**specs.drinks},
    }
    if wanted is not None:
        kinds[kind] = wanted
    broken = [(entry.kind, entry.id, entry.name, entry.pours) for entry in loaded.broken]
    problems = [(problem.path, problem.line, problem.code) for problem in _faults(loaded)]
    return specs.house, kinds, broken, problems


def _faults(loaded: Loaded) -> list[Problem]:
    """The problems that are more than a doubt: what is doubted may be meant, and whoever sets it is asked."""
    return [problem for problem in loaded.problems if not problem.is_doubt]


def _amount_span(place: _Place) -> tuple[int, int]:
    """Where in the text the amount of a value stands, its unit included."""
    text, value = place.document.text, place.value
    source = text[value.start : value.end]
    quote = source[:1] if value.quoted else ""
    if quote not in ("", "'", '"'):
        raise CannotError(
            "block-text",
            f'the value is written as a block of text behind "{quote}": {place.told()}',
            "write it on one line first, like - 22.5 ml lime juice",
        )
    inner = source[len(quote) : len(source) - len(quote)]
    blank = len(inner) - len(inner.lstrip())
    first = inner.split(None, 1)[0] if inner.strip() else ""
    if first.casefold() == RINSE:
        length = len(first)
    else:
        try:
            number, unit, _ = split_pour(inner[blank:])
        except QuantityError as error:
            raise _coded(place) from error
        length = len(number) + len(unit)
    start = value.start + len(quote) + blank
    if quote == '"' and "\\" in text[start : start + length]:
        raise _coded(place)
    return start, start + length


def _coded(place: _Place) -> CannotError:
    return CannotError(
        "coded-text",
        f"the amount is written with a code behind a backslash: {place.told()}",
        "write it without one first, like - 22.5 ml lime juice",
    )
