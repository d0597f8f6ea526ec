"""The pantry: generic ingredients that the package carries, in the files' own format, each value with its source.

It is read only when somebody asks for something that the house lacks. An entry is copied as it stands, comments and
all, so a group is taken apart by its lines; a test holds that against the reader of the files.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher, get_close_matches
from functools import cache
from pathlib import Path
from typing import Final

from balancer.errors import UsageError
from balancer.models.names import NameIndex, as_word, slug
from balancer.models.pantry import PantryEntry, PantryOffer

FOLDER: Final = Path(__file__).resolve().parents[2] / "pantry"
ALL: Final = "all"
_NEXT_ENTRY: Final = re.compile(r"(?m)^(?=- ingredient: )")
_KEY: Final = re.compile(r"(?m)^(?:- |  )(?P<key>ingredient|also|kind): (?P<value>.+)$")
_CLOSE: Final = 0.85
"""How like a name in the pantry must be to be asked about: one letter of eight may differ."""

_LEAST_WORD: Final = 4
"""Letters that a word needs to stand for a longer name."""


@dataclass(frozen=True, slots=True)
class Pantry:
    """heads are the comments above each group; entries stand in the order of the groups, and called by every slug."""

    heads: dict[str, str]
    entries: tuple[PantryEntry, ...]
    called: dict[str, PantryEntry]

    def of_group(self, group: str) -> tuple[PantryEntry, ...]:
        """The entries of one group."""
        return tuple(entry for entry in self.entries if entry.group == group)

    def offer(self, name: str, *, by_volume: bool) -> PantryOffer | None:
        """What may be meant by a name that the house lacks; fruit is never offered for a pour by volume.

        The very name is meant. "lime" by volume may be lime juice, and a slip of a letter any name: these are asked.
        """
        key = slug(name)
        found = self._fitting(key, by_volume=by_volume)
        if found is not None:
            return PantryOffer(found, is_meant=True)
        juices = (f"{key}-juice", f"{key.removesuffix('s')}-juice") if by_volume else ()
        for near in (*juices, *get_close_matches(key, self.called, n=3, cutoff=_CLOSE)):
            found = self._fitting(near, by_volume=by_volume)
            if found is not None:
                return PantryOffer(found, is_meant=False)
        longer = self._longer(key, by_volume=by_volume)
        return None if longer is None else PantryOffer(longer, is_meant=False)

    def _longer(self, key: str, *, by_volume: bool) -> PantryEntry | None:
        """The one entry with a name that begins or ends with a whole name; of several, nobody knows which."""
        if len(key) < _LEAST_WORD:
            return None
        names = [name for name in self.called if name.startswith(f"{key}-") or name.endswith(f"-{key}")]
        found = {entry.name: entry for name in names if (entry := self._fitting(name, by_volume=by_volume))}
        return next(iter(found.values())) if len(found) == 1 else None

    def _fitting(self, key: str, *, by_volume: bool) -> PantryEntry | None:
        found = self.called.get(key)
        return None if found is not None and by_volume and found.kind == "fruit" else found


@cache
def pantry() -> Pantry:
    """The pantry of this package, read once."""
    heads: dict[str, str] = {}
    entries: list[PantryEntry] = []
    for path in sorted(FOLDER.glob("*.yaml")):
        head, *texts = _NEXT_ENTRY.split(path.read_text(encoding="utf-8"))
        heads[path.stem] = head.rstrip("\n")
        entries += [_entry(path.stem, text) for text in texts]
    return Pantry(heads, tuple(entries), {slug(name): entry for entry in entries for name in entry.names})


def _entry(group: str, text: str) -> PantryEntry:
    said = {found["key"]: found["value"].partition(" #")[0].strip() for found in _KEY.finditer(text)}
    also = tuple(name.strip() for name in said.get("also", "").strip("[]").split(",") if name.strip())
    return PantryEntry(said["ingredient"], also, said["kind"], group, text.rstrip("\n") + "\n")


def pantry_remedy(name: str, near: str | None, names: NameIndex, folder: str, *, by_volume: bool) -> str | None:
    """What the pantry makes of a name that the house lacks, or None where what the house has is as likely meant.

    near       what the house has that is called nearly so
    names      what the house answers to
    folder     the house's
    by_volume  whether it is poured by volume
    """
    offer = pantry().offer(name, by_volume=by_volume)
    if offer is None or (not offer.is_meant and near and _likeness(name, near) >= _likeness(name, offer.entry.name)):
        return None
    found = offer.entry.name
    if names.whole(found) is not None:
        return f'did you mean "{found}"?'
    line = f"balancer start {as_word(folder)} --pantry {as_word(found)}"
    if not offer.is_meant:
        return f'did you mean "{found}"? The pantry has it: {line}'
    as_what = "" if slug(name) == slug(found) else f' as "{found}"'
    return f"the pantry has it{as_what}: {line}"


def _likeness(one: str, other: str) -> float:
    return SequenceMatcher(None, slug(one), slug(other)).ratio()


def chosen(words: Sequence[str]) -> tuple[PantryEntry, ...]:
    """The entries of some groups and some single ingredients, each once, as a person lists them with commas.

    Raises UsageError for a word that is neither, with the groups and how many each has.
    """
    known = pantry()
    found: dict[str, PantryEntry] = {}
    for word in (part.strip() for text in words for part in text.split(",")):
        one = known.called.get(slug(word))
        if slug(word) == ALL:
            picked = known.entries
        elif slug(word) in known.heads:
            picked = known.of_group(slug(word))
        elif one is not None:
            picked = (one,)
        else:
            raise UsageError("pantry", f'the pantry has no group or ingredient called "{word}"', _choice(word))
        found |= {entry.name: entry for entry in picked}
    return tuple(found.values())


def _choice(word: str) -> str:
    """What there is to choose from, beginning with what is spelt almost so."""
    known = pantry()
    near = get_close_matches(slug(word), [*known.heads, *known.called], n=1, cutoff=0.75)
    name = known.called[near[0]].name if near and near[0] in known.called else "".join(near)
    groups = ", ".join(f"{group} {len(known.of_group(group))}" for group in known.heads)
    return (f'did you mean "{name}"? ' if name else "") + f"groups: {groups}; {ALL}; or one ingredient by its name"
