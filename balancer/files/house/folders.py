"""The files of a bar's folders. Whatever cannot be read or followed there is told: no drink vanishes silently.

Links are followed, to files and folders inside the house and outside, each thing once. What stands in the
folders themselves comes first, so of two ways to one file the link is the one that is told.
"""

from __future__ import annotations

import os
import stat
from collections import ChainMap, deque
from collections.abc import Iterable, MutableMapping
from dataclasses import dataclass, field
from itertools import islice
from operator import attrgetter
from pathlib import Path
from typing import Final

from balancer.errors import Problem
from balancer.files.reading import NotAFileError, is_there, unreadable

MOST_DEEP: Final = 12
"""So many folders one in another are read."""

MOST_SEEN: Final = 20_000
"""So many files and folders are looked at in one of the bar's folders, and so many behind one link."""

_SUFFIXES: Final = (".yaml", ".yml")
_Seen = MutableMapping[tuple[int, int] | str, Path]
"""The path at which each file and folder was met, by what it really is."""


@dataclass(frozen=True, slots=True)
class Found:
    """What one folder of a bar holds.

    files     its YAML files, in the order of their paths
    problems  what cannot be read or followed, and what was met before
    missing   those of the problems behind which entries may be that nobody has seen
    """

    files: list[Path] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    missing: list[Problem] = field(default_factory=list)

    def lose(self, problem: Problem) -> None:
        """Note what could not be read."""
        self.problems.append(problem)
        self.missing.append(problem)

    def add(self, other: Found) -> None:
        """Take in what was found elsewhere."""
        self.files.extend(other.files)
        self.problems.extend(other.problems)
        self.missing.extend(other.missing)


def house_files(directory: Path, kinds: Iterable[str]) -> dict[str, Found]:
    """The files of some folders of a bar, by folder. Hidden ones are an editor's, not the bar's."""
    walk = _Walk()
    found = {kind: Found() for kind in kinds}
    for kind, part in found.items():
        path = directory / kind
        if os.path.islink(path):
            walk.links.append(_Way(path, part))
        elif is_there(path):
            walk.look_through(_Way(path, part), is_link=False)
    walk.follow_links()
    for part in found.values():
        part.files.sort()
        part.problems.sort(key=lambda problem: problem.path or "")
    return found


@dataclass(frozen=True, slots=True)
class _Way:
    """A folder to look through or a link to follow, so deep in its folder of the bar."""

    path: Path
    into: Found
    depth: int = 0


class _Walk:
    """Everything met so far, and the links that wait until all that is no link was met."""

    def __init__(self) -> None:
        self.seen: _Seen = {}
        self.links: deque[_Way] = deque()

    def follow_links(self) -> None:
        """Follow the links, and those met behind them."""
        while self.links:
            link = self.links.popleft()
            try:
                status = link.path.stat()
            except OSError as error:
                link.into.lose(unreadable(link.path, error, "this"))
                continue
            is_folder = stat.S_ISDIR(status.st_mode)
            real = Path(os.path.realpath(link.path))
            if is_folder and Path(os.path.realpath(link.path.parent)).is_relative_to(real):
                told = f'this link leads back to "{real}", which it is in itself'
                link.into.problems.append(Problem("link", told, "delete the link", str(link.path)))
            elif is_folder:
                self.look_through(link, is_link=True)
            elif link.depth == 0:
                link.into.lose(unreadable(link.path, NotADirectoryError(), "this"))
            elif _is_yaml(link.path.name):
                _take(link.path, status, link.into, self.seen)
            elif _is_yaml(real.name):
                told = f'this link leads to "{real}", but its own name does not end in .yaml: it was not read'
                link.into.lose(Problem("link", told, "rename the link, or delete it", str(link.path)))

    def look_through(self, start: _Way, *, is_link: bool) -> None:
        """Look through a folder and those in it. What a link leads to counts whole or, where too much, not at all."""
        tree = _Tree(self.seen)
        if tree.look_through(start):
            told = f"more than {MOST_SEEN:,} files and folders are here, and the rest was not looked at"
            remedy = "move what is no spec elsewhere"
            if is_link:
                tree = _Tree({})
                told, remedy = (
                    f"this link leads to more than {MOST_SEEN:,} files and folders",
                    "link to the specs alone",
                )
            tree.part.lose(Problem("too-many", told, remedy, str(start.path)))
        self.seen.update(tree.new)
        self.links.extend(tree.links)
        start.into.add(tree.part)


class _Tree:
    """A folder with those in it. new holds what was not met before; links wait."""

    def __init__(self, met: _Seen) -> None:
        self.part = Found()
        self.links: list[_Way] = []
        self.new: _Seen = {}
        self.seen: _Seen = ChainMap(self.new, met)
        self.waiting: deque[_Way] = deque()

    def look_through(self, start: _Way) -> bool:
        """Look at everything, and say whether it was too much to go on."""
        looked_at = 0
        self.waiting.append(start)
        while self.waiting and looked_at <= MOST_SEEN:
            way = self.waiting.popleft()
            try:
                entries = self._listed(way, MOST_SEEN + 1 - looked_at)
            except OSError as error:
                self.part.lose(unreadable(way.path, error, "this folder" if way.depth else "this"))
                continue
            looked_at += len(entries)
            for entry in entries:
                below = _Way(Path(entry.path), start.into, way.depth + 1)
                try:
                    self._sort(entry, below)
                except OSError as error:
                    self.part.lose(unreadable(below.path, error, "this"))
        return looked_at > MOST_SEEN

    def _listed(self, way: _Way, most: int) -> list[os.DirEntry[str]]:
        """What stands in a folder, by name; nothing where it was met before or is too deep."""
        if way.depth > MOST_DEEP:
            told = f"folders are one in another more than {MOST_DEEP} deep here"
            self.part.lose(Problem("too-deep", told, "move this one up: nothing in it was read", str(way.path)))
            return []
        if not _is_first(way.path, way.path.stat(), self.part, self.seen, "folder"):
            return []
        with os.scandir(way.path) as listing:
            return sorted(islice(listing, most), key=attrgetter("name"))

    def _sort(self, entry: os.DirEntry[str], below: _Way) -> None:
        if entry.name.startswith("."):
            return
        if entry.is_symlink():
            self.links.append(below)
        elif entry.is_dir() and not _is_yaml(entry.name):
            self.waiting.append(below)
        elif _is_yaml(entry.name):
            _take(below.path, below.path.stat(), self.part, self.seen)


def _take(path: Path, status: os.stat_result, part: Found, seen: _Seen) -> None:
    """A YAML file, unless it was met before. What has only the name of a file is told."""
    if not stat.S_ISREG(status.st_mode):
        part.lose(unreadable(path, NotAFileError(status.st_mode), "this"))
    elif _is_first(path, status, part, seen, "file"):
        part.files.append(path)


def _is_first(path: Path, status: os.stat_result, part: Found, seen: _Seen, word: str) -> bool:
    """Whether a file or folder was not met before; it is told if it was."""
    # Some shared disks give no number to what they hold.
    identity = (status.st_dev, status.st_ino) if status.st_ino else os.path.realpath(path)
    first = seen.setdefault(identity, path)
    if first is path:
        return True
    told = f'this is the {word} "{first}" once more, and was read there'
    part.problems.append(Problem("same-file", told, "keep one of the two", str(path)))
    return False


def _is_yaml(name: str) -> bool:
    return name.lower().endswith(_SUFFIXES)
