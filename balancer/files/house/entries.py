"""The entries of a bar's files: every mapping that should become a model, its id, and the names it claims."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from balancer.errors import Problem
from balancer.files.house.base import Shelf, layers
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.validate import plain
from balancer.models.lengths import MOST
from balancer.models.names import NameIndex, slug

NAME_KEY: Final = {"ingredients": "ingredient", "syrups": "syrup", "drinks": "drink"}
"""The key that names an entry, by the folder such entries belong to."""


@dataclass(slots=True)
class Entry:
    """One mapping of a file on its way to a model.

    kind      the folder such an entry belongs to
    readable  it was read to its end and stands where it belongs; otherwise only its name counts
    apart     problems that stand elsewhere and break this entry too
    depth     0 in the house's own folder, 1 in its base, 2 in that one's: only what is 0 may be edited
    """

    kind: str
    document: Document
    node: Mapping
    readable: bool = True
    apart: list[Problem] = field(default_factory=list)
    depth: int = 0
    data: dict[str, Any] = field(init=False)
    name: str = field(init=False)
    id: str = field(init=False)

    def __post_init__(self) -> None:
        self.data = plain(self.node)
        self.name = _one_line(self.data.get(NAME_KEY[self.kind]))
        given = _one_line(self.data.get("id"))
        # Of an endless name it is told at the name.
        self.id = slug(given) if given else slug(self.name)[: MOST["name"]]
        if given or "id" not in self.data:
            self.data["id"] = self.id or "?"  # what is wrong with the name is told at the name
        if (given or self.name) and not self.id:
            message = f'"{given or self.name}" has no letter or digit'
            self.document.report("name", self.name_place, message, "write it with letters")

    @property
    def name_place(self) -> Node:
        """Where its id or name stands."""
        return self.node.get("id") or self.node.get(NAME_KEY[self.kind]) or self.node

    @property
    def other_names(self) -> list[Scalar]:
        """The names in its `also`."""
        also = self.node.get("also")
        items = also.items if isinstance(also, Sequence) else [also]
        return [item for item in items if isinstance(item, Scalar)]

    @property
    def place(self) -> str:
        """File and line, for a message about another entry."""
        return f"{self.document.path}:{self.document.line_number(self.name_place.start)}"

    def problems(self) -> tuple[Problem, ...]:
        """Everything that keeps it from loading. What is doubted does not."""
        if not self.document.found and not self.apart:
            return ()
        found = self.document.problems_between(self.node.start, self.node.end)
        return tuple(dict.fromkeys((*(problem for problem in found if not problem.is_doubt), *self.apart)))

    def doubts(self) -> tuple[Problem, ...]:
        """What is doubted about it."""
        found = self.document.problems_between(self.node.start, self.node.end)
        return tuple(problem for problem in found if problem.is_doubt)


def read_entries(
    files: Iterable[Path], kind: str, documents: list[Document], read: Callable[[Path], Document], depth: int = 0
) -> Iterator[Entry]:
    """The entries of the files of one folder of a bar, reading them into documents; depth is that of their layer."""
    for path in files:
        document = read(path)
        documents.append(document)
        yield from document_entries(document, kind, depth)


def entries_of(directory: Path, kind: str) -> list[Entry]:
    """The entries of one folder of a bar, read once more: its own, and those of its base that it has none for."""
    shelf = Shelf()
    found: list[Entry] = []
    for depth, layer in reversed([*enumerate(layers(directory, shelf))]):
        files = shelf.files(layer.folder, NAME_KEY)[kind].files
        found += read_entries(files, kind, [], shelf.document, depth)
    return standing(found)[0]


def standing(entries: Iterable[Entry]) -> tuple[list[Entry], list[tuple[Entry, Entry]]]:
    """The entries that count, nearest layer first for each id; and those of the house with what they stand for."""
    listed = list(entries)
    if not any(entry.depth for entry in listed):
        return listed, []
    by_id: dict[tuple[bool, str], list[Entry]] = {}
    for entry in listed:
        if entry.id:
            by_id.setdefault((entry.kind == "drinks", entry.id), []).append(entry)
    nearest = {key: min(entry.depth for entry in same) for key, same in by_id.items()}
    kept = [entry for entry in listed if not entry.id or nearest[entry.kind == "drinks", entry.id] == entry.depth]
    over = []
    for same in by_id.values():
        deeper = sorted((entry for entry in same if entry.depth), key=lambda entry: entry.depth)
        over += [(entry, deeper[0]) for entry in same if not entry.depth and deeper]
    return kept, over


def claim_names(entries: Iterable[Entry], names: NameIndex) -> None:
    """Make every entry findable.

    A name that two entries have is a problem of both, for nobody can tell which one a pour means.
    Names come before other names, so an `also` that takes one is a problem only of its own entry; but of an entry
    of the house that takes one of its base, because the base is not the house's to mend.
    """
    owners: dict[str, Entry] = {}
    findable = [entry for entry in entries if entry.id]
    clashing: set[int] = set()
    for entry in findable:
        owner = owners.get(entry.id) or owners.get(names.add(entry.id, [entry.name]) or "")
        owners.setdefault(entry.id, entry)
        if owner is not None:
            clashing.add(id(entry))
            mine, other = (entry, owner) if entry.depth <= owner.depth else (owner, entry)
            place = mine.name_place
            name = place.text if isinstance(place, Scalar) else mine.name
            other.apart.extend(_report_clash(mine, place, name, other))
    for entry in findable:
        for said in entry.other_names if id(entry) not in clashing else ():
            taken = names.add(entry.id, [said.text])
            if taken is None:
                continue
            owner = owners[taken]
            if owner.depth < entry.depth:
                same = (each for each in owner.other_names if slug(each.text) == slug(said.text))
                _report_clash(owner, next(same, owner.name_place), said.text, entry)
            else:
                _report_clash(entry, said, said.text, owner)


def _report_clash(entry: Entry, place: Node, name: str, owner: Entry) -> list[Problem]:
    remedy = "rename one, or delete the one that is not needed"
    if entry.depth < owner.depth:
        remedy = f"rename yours; or, if it is to take that one's place, give it its id: {owner.id}"
    problem = entry.document.report(
        "same-name", place, f'"{name}" is already a name of the {NAME_KEY[owner.kind]} in {owner.place}', remedy
    )
    return [problem] if problem else []


def document_entries(document: Document, folder: str, depth: int = 0) -> Iterator[Entry]:
    """The entries of one document of a folder; depth is that of its layer."""
    root = document.root
    nodes = root.items if isinstance(root, Sequence) else [root] if root is not None else []
    seen = 0
    if not nodes and not document.found and document.cut is None:
        told = "the file holds no entry" if document.text.strip() else "the file is empty"
        remedy = f"write its {NAME_KEY[folder]} again, starting with {NAME_KEY[folder]}: NAME; or delete the file"
        document.report("empty", 0, told, remedy)
    for node in nodes:
        if isinstance(node, Mapping):
            entry = _entry(node, folder, document, depth)
            if node.complete or entry.name:
                yield entry
            seen = node.end if node.complete else entry.name_place.end if entry.name else node.start
        elif document.cut is None:
            key = NAME_KEY[folder]
            document.report("shape", node, f"an entry that starts with {key}: is wanted here", f"write {key}: NAME")
    if document.cut:
        yield from _unread(document, folder, seen, depth)


def _entry(node: Mapping, folder: str, document: Document, depth: int) -> Entry:
    """A mapping as an entry of its folder, or of the folder it should be in."""
    apart = [document.cut] if document.cut and not node.complete else []
    if node.key(NAME_KEY[folder]) is None:
        for kind, key in NAME_KEY.items():
            if node.key(key) is not None:
                document.report(
                    "wrong-folder", node.key(key) or node, f"this {key} is in the folder of the {folder}",
                    f"move it to {kind}/",
                )  # fmt: skip
                return Entry(kind, document, node, readable=False, apart=apart, depth=depth)
    return Entry(folder, document, node, readable=node.complete, apart=apart, depth=depth)


def _unread(document: Document, folder: str, seen: int, depth: int) -> Iterator[Entry]:
    """The entries behind the place where the reading stopped, by name only.

    They are broken, but what pours them is not told that they do not exist.
    """
    if document.cut is None:
        return
    pattern = re.compile(rf"^[ \t-]*{NAME_KEY[folder]}:[ \t]+(?P<name>[^\r\n]+)", re.MULTILINE)
    for match in pattern.finditer(document.text, seen):
        name = match["name"].split(" #", 1)[0].strip().strip("\"'")
        node = Mapping(match.start(), flow=False)
        key = Scalar(NAME_KEY[folder], match.start(), match.start(), quoted=False)
        node.entries = [(key, Scalar(name, match.start("name"), match.end(), quoted=False, refused=True))]
        yield Entry(folder, document, node, readable=False, apart=[document.cut], depth=depth)


def _one_line(value: object) -> str:
    return " ".join(value.split()) if isinstance(value, str) else ""
