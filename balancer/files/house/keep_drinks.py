"""Drinks that say which strength they are written for, added in their files when the standard of a syrup changes.

Only lines come, or a few characters inside brackets, version and date are raised, and whoever signed the old one goes;
everything else stays character for character, and the change counts only when what was asked for is all that differs.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from collections.abc import Mapping as Mapping_
from collections.abc import Sequence as Sequence_
from datetime import date
from pathlib import Path
from typing import Final

from balancer.engine.swaps.versions import next_version
from balancer.errors import CannotError, ProblemsError
from balancer.files.house.edit import TYPED, Edit, refuse_moved, refuse_other, told_of_change
from balancer.files.house.entries import Entry, document_entries, entries_of
from balancer.files.house.entry_text import EntryText, Splice, text_of
from balancer.files.house.load import Loaded, load
from balancer.files.house.own_copy import OwnCopy, own_copy
from balancer.files.house.written_for import KEY
from balancer.files.yaml.document import Mapping, Scalar
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.tree import read_document
from balancer.models.drink import Drink
from balancer.models.syrup import Syrup
from balancer.units import format_number

_LINE_END: Final = re.compile(r"\r\n|\r|\n")


def keep_drinks(
    folder: Path,
    before: Loaded,
    standard: Edit,
    syrup: Syrup,
    drinks: Sequence_[Drink],
    today: date,
) -> tuple[tuple[Edit, ...], Loaded]:
    """The changes of the drinks' files, to be written before that of the standard, and the folder with all of them.

    standard  the change of the syrup's standard, tried out; syrup is as it was before
    drinks    with the strength that each is written for; none of them says one of this syrup in its file
    today     the date that they get with their next version
    Raises CannotError when a drink cannot say it without touching more, would say something else, or was changed since.
    """
    strengths = {drink.id: f"{format_number(drink.written_for[syrup.id])} °Bx" for drink in drinks}
    return _raised(folder, before, standard, syrup, drinks, strengths, today)


def raise_versions(
    folder: Path, before: Loaded, standard: Edit, syrup: Syrup, drinks: Sequence_[Drink], today: date
) -> tuple[tuple[Edit, ...], Loaded]:
    """The same of drinks whose card alone says otherwise: only version and date are raised.

    Those of the base stay as they are: for that alone a house makes no copy of its own.
    Raises CannotError as `keep_drinks` does.
    """
    own = {entry.id for entry in entries_of(folder, "drinks") if not entry.depth and entry.readable}
    return _raised(folder, before, standard, syrup, [drink for drink in drinks if drink.id in own], {}, today)


def _raised(
    folder: Path,
    before: Loaded,
    standard: Edit,
    syrup: Syrup,
    drinks: Sequence_[Drink],
    strengths: Mapping_[str, str],
    today: date,
) -> tuple[tuple[Edit, ...], Loaded]:
    """Drinks with their next version, and with the strength that each is written for, where it is to say one."""
    told = {drink.id: told_of_change(next_version(drink.version), today, None) for drink in drinks}
    wanted = {drink.id: drink.model_copy(update=told[drink.id]) for drink in drinks}
    splices: dict[str, list[Splice]] = {}
    texts: dict[str, str] = {}
    copies: dict[str, OwnCopy] = {}
    for found in entries_of(folder, "drinks"):
        entry, drink = found, wanted.get(found.id)
        if drink is None or not entry.readable or entry.kind != "drinks":
            continue
        refuse_other(entry, before)
        if entry.depth:  # the base is never written
            copy = own_copy(folder, entry, copies)
            (entry,) = document_entries(copy.text.document, "drinks")
            copies[entry.document.path] = copy
        strength = strengths.get(drink.id)
        texts[entry.document.path] = entry.document.text
        own = text_of(entry)
        splices.setdefault(entry.document.path, []).extend(
            [
                *([_splice(entry, syrup.name, strength)] if strength else []),
                *_of_keys(own, told[drink.id]),
            ]
        )
    changed = {path: _spliced(texts[path], found) for path, found in splices.items()}
    instead = {Path(path): text.encode() for path, text in changed.items() if path not in copies}
    besides = {"drinks": [read_document(path, changed[path].encode()) for path in copies]}
    if standard.is_new:
        besides["syrups"] = [read_document(str(standard.path), standard.new.encode())]
    else:
        instead[standard.path] = standard.new.encode()
    after = load(folder, instead, besides=besides)
    _check(folder, before, standard.after, after, wanted)
    edits = [
        Edit(Path(path), texts[path], text, after, is_new=path in copies, copy=copies.get(path))
        for path, text in changed.items()
    ]
    return tuple(edits), after


def _check(folder: Path, before: Loaded, with_standard: Loaded, after: Loaded, wanted: Mapping_[str, Drink]) -> None:
    """Raise an error when the folder differs from one with the new standard in anything but the drinks' strengths."""
    fresh = [each for each in after.problems if not each.is_doubt and each not in before.problems]
    if len(fresh) > sum(not each.is_doubt and each not in before.problems for each in with_standard.problems):
        refuse_moved(folder, before)
        raise ProblemsError(fresh)
    expected, found = with_standard.specs, after.specs
    drinks = {**expected.drinks, **wanted}
    is_same = found.drinks == drinks and found.syrups == expected.syrups and found.ingredients == expected.ingredients
    if not is_same or {each.id for each in after.broken} != {each.id for each in with_standard.broken}:
        refuse_moved(folder, before)
        odd = next((drink.name for drink in drinks.values() if found.drinks.get(drink.id) != drink), "a drink")
        raise CannotError(
            "unsafe-edit",
            f"{odd} cannot say what it is written for without changing more",
            'write it in an editor, like "written for: {raspberry syrup: 50 °Bx}"',
        )


def _of_keys(entry: EntryText, keys: Mapping_[str, str | None]) -> Iterator[Splice]:
    """Keys set, and those without a value taken away."""
    for key, value in keys.items():
        splice = entry.key_gone(key) if value is None else entry.key_splice(key, value, typed=key in TYPED)
        if splice is not None:
            yield splice


def _spliced(text: str, splices: Sequence_[Splice]) -> str:
    """A text with something put in at several places."""
    parts, at = [], 0
    for start, end, new in sorted(splices, key=lambda splice: splice[:2]):
        parts += [text[at:start], new]
        at = end
    return "".join([*parts, text[at:]])


def _splice(entry: Entry, name: str, strength: str) -> Splice:
    """Where a drink can say which strength of a syrup it is written for, and how."""
    said = f"{plain_or_quoted(name, inside=True)}: {strength}"
    there = entry.node.get(KEY)
    if isinstance(there, Mapping) and there.flow:
        if there.entries:
            value = there.entries[-1][1]
            return _at(value.end, f", {_as_quoted(there.entries[0][0], entry, name, strength) or said}")
        return _at(there.start + 1, said)
    if isinstance(there, Mapping) and there.entries:
        return _line(entry, [key for key, _ in there.entries], said)
    if there is not None:
        raise _refused(entry, "what it says there cannot be added to")
    if entry.node.flow:
        pours = entry.node.key("pours") or entry.node.entries[0][0]
        quoted = _as_quoted(pours, entry, name, strength)
        return _at(pours.start, f'"{KEY}": {{{quoted}}}, ' if quoted else f"{KEY}: {{{said}}}, ")
    keys = [key for key, _ in entry.node.entries]
    keys.sort(key=lambda key: key.text != "pours")
    return _line(entry, keys, f"{KEY}: {{{said}}}")


def _at(offset: int, new: str) -> Splice:
    return Splice(offset, offset, new)


def _as_quoted(like: Scalar, entry: Entry, name: str, strength: str) -> str | None:
    """The same in the quotes that another key has: some files are JSON."""
    is_json = like.quoted and entry.document.text[like.start] == '"' and '"' not in name
    return f'"{name}": "{strength}"' if is_json else None


def _line(entry: Entry, keys: Sequence_[Scalar], said: str) -> Splice:
    """A line of its own, in front of the first key that begins one."""
    text = entry.document.text
    for key in keys:
        start = max(text.rfind("\n", 0, key.start), text.rfind("\r", 0, key.start)) + 1
        indent = text[start : key.start]
        if not indent.strip(" "):
            end = _LINE_END.search(text, start)
            return _at(start, f"{indent}{said}{end[0] if end else chr(10)}")
    raise _refused(entry, "no line of it can have another one in front")


def _refused(entry: Entry, why: str) -> CannotError:
    return CannotError(
        "unsafe-edit",
        f"{entry.name} cannot be told what it is written for: {why}: {entry.place}",
        'write it in an editor, like "written for: {raspberry syrup: 50 °Bx}"',
    )
