"""The entries of a bar's files: every mapping that should become a model, its id, and the names it claims."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final

from balancer.errors import Problem
from balancer.files.house.folders import house_files
from balancer.files.reading import read_bytes, unreadable
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.tree import MAX_BYTES, read_document
from balancer.files.yaml.validate import plain
from balancer.models.names import NameIndex, slug

NAME_KEY: Final = {"ingredients": "ingredient", "syrups": "syrup", "drinks": "drink"}
"""The key that names an entry, by the folder such entries belong to."""


@dataclass(slots=True)
class Entry:
    """One mapping of a file on its way to a model.

    kind      the folder such an entry belongs to
    readable  it was read to its end and stands where it belongs; otherwise only its name counts
    apart     problems that stand elsewhere and break this entry too
    """

    kind: str
    document: Document
    node: Mapping
    readable: bool = True
    apart: list[Problem] = field(default_factory=list)
    data: dict[str, Any] = field(init=False)
    name: str = field(init=False)
    id: str = field(init=False)

    def __post_init__(self) -> None:
        self.data = plain(self.node)
        self.name = _one_line(self.data.get(NAME_KEY[self.kind]))
        given = _one_line(self.data.get("id"))
        self.id = slug(given or self.name)
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
    files: Iterable[Path], kind: str, documents: list[Document], instead: dict[Path, bytes] | None = None
) -> Iterator[Entry]:
    """The entries of the files of one folder of a bar, reading them into documents.

    instead  what to read in place of some of the files
    """
    for path in files:
        document = read_document(str(path), instead[path]) if instead and path in instead else read_file(path)
        documents.append(document)
        yield from document_entries(document, kind)


def entries_of(directory: Path, kind: str) -> Iterator[Entry]:
    """The entries of one folder of a bar, read once more."""
    return read_entries(house_files(directory, NAME_KEY)[kind].files, kind, [])


def read_file(path: Path) -> Document:
    """The document of a file, even when it cannot be read."""
    try:
        return read_document(str(path), read_bytes(path, MAX_BYTES + 1))
    except OSError as error:
        return Document.lost_to(unreadable(path, error, "the file"))


def claim_names(entries: Iterable[Entry], names: NameIndex) -> None:
    """Make every entry findable.

    A name that two entries have is a problem of both, for nobody can tell which one a pour means.
    Names come before other names, so an `also` that takes one is a problem only of its own entry.
    """
    owners: dict[str, Entry] = {}
    findable = [entry for entry in entries if entry.id]
    clashing: set[int] = set()
    for entry in findable:
        owner = owners.get(entry.id) or owners.get(names.add(entry.id, [entry.name]) or "")
        owners.setdefault(entry.id, entry)
        if owner is not None:
            clashing.add(id(entry))
            place = entry.name_place
            name = place.text if isinstance(place, Scalar) else entry.name
            owner.apart.extend(_report_clash(entry, place, name, owner))
    for entry in findable:
        for other in entry.other_names if id(entry) not in clashing else ():
            taken = names.add(entry.id, [other.text])
            if taken is not None:
                _report_clash(entry, other, other.text, owners[taken])


def _report_clash(entry: Entry, place: Node, name: str, owner: Entry) -> list[Problem]:
    problem = entry.document.report(
        "same-name", place, f'"{name}" is already a name of the {NAME_KEY[owner.kind]} in {owner.place}',
        "rename one, or delete the one that is not needed",
    )  # fmt: skip
    return [problem] if problem else []


def document_entries(document: Document, folder: str) -> Iterator[Entry]:
    """The entries of one document of a folder."""
    root = document.root
    nodes = root.items if isinstance(root, Sequence) else [root] if root is not None else []
    seen = 0
    if not nodes and not document.found and document.cut is None:
        told = "the file holds no entry" if document.text.strip() else "the file is empty"
        remedy = f"write its {NAME_KEY[folder]} again, starting with {NAME_KEY[folder]}: NAME; or delete the file"
        document.report("empty", 0, told, remedy)
    for node in nodes:
        if isinstance(node, Mapping):
            entry = _entry(node, folder, document)
            if node.complete or entry.name:
                yield entry
            seen = node.end if node.complete else entry.name_place.end if entry.name else node.start
        elif document.cut is None:
            key = NAME_KEY[folder]
            document.report("shape", node, f"an entry that starts with {key}: is wanted here", f"write {key}: NAME")
    if document.cut:
        yield from _unread(document, folder, seen)


def _entry(node: Mapping, folder: str, document: Document) -> Entry:
    """A mapping as an entry of its folder, or of the folder it should be in."""
    apart = [document.cut] if document.cut and not node.complete else []
    if node.key(NAME_KEY[folder]) is None:
        for kind, key in NAME_KEY.items():
            if node.key(key) is not None:
                document.report(
                    "wrong-folder", node.key(key) or node, f"this {key} is in the folder of the {folder}",
                    f"move it to {kind}/",
                )  # fmt: skip
                return Entry(kind, document, node, readable=False, apart=apart)
    return Entry(folder, document, node, readable=node.complete, apart=apart)


def _unread(document: Document, folder: str, seen: int) -> Iterator[Entry]:
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
        yield Entry(folder, document, node, readable=False, apart=[document.cut])


def _one_line(value: object) -> str:
    return " ".join(value.split()) if isinstance(value, str) else ""
