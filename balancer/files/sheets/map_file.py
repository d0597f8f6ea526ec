"""The file of an import's map: read with its mistakes, and told what somebody answered."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from balancer.errors import CannotError, Problem, ProblemsError
from balancer.files.house.base import read_file
from balancer.files.reading import read_bytes
from balancer.files.save import save
from balancer.files.sizes import SPECS
from balancer.files.yaml.document import Document, Mapping, Sequence
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.tree import read_document
from balancer.files.yaml.validate import place, plain, validate
from balancer.models.import_map import ImportMap


class MapFile(NamedTuple):
    """A map and the document it came from, for pointing into it."""

    found: ImportMap
    document: Document | None = None

    def report(self, loc: tuple[str, ...], code: str, message: str, remedy: str) -> Problem:
        """A problem at a place in the map, or about the map as a whole when there is no file of it."""
        if self.document is not None and isinstance(self.document.root, Mapping):
            problem = self.document.report(code, place(self.document.root, loc), message, remedy)
            if problem is not None:
                return problem
        return Problem(code, message, remedy)


def read_map(path: Path | None) -> MapFile:
    """The map in a file, or an empty one.

    Raises ProblemsError with every mistake in it.
    """
    if path is None:
        return MapFile(ImportMap())
    document = read_file(path)
    root = document.root
    found = None
    if isinstance(root, Mapping):
        found = validate(ImportMap, plain(root), root, document)
    elif not document.found:
        document.report("shape", root or 0, "the map holds no keys", "start it like columns: {drink: Cocktail}")
    if found is None or document.found:
        raise ProblemsError(document.problems())
    return MapFile(found, document)


def with_column(given: MapFile, name: str, heading: str) -> MapFile:
    """A map with one column more."""
    return given._replace(found=given.found.model_copy(update={"columns": {**given.found.columns, name: heading}}))


class Answers(NamedTuple):
    """What somebody answered about the names of a sheet, to be kept in its map.

    ingredients, glasses  a name of the sheet: what it is called in the house, the same where it stays as it is
    leave_out             names that are not poured
    pantry                names that the house gets out of the pantry
    """

    ingredients: dict[str, str]
    glasses: dict[str, str]
    leave_out: tuple[str, ...] = ()
    pantry: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nothing was answered."""
        return not any(self)

    def added_to(self, found: ImportMap) -> ImportMap:
        """A map that knows the answers too."""
        said = {
            "ingredients": {**found.ingredients, **self.ingredients},
            "glasses": {**found.glasses, **self.glasses},
            "leave_out": (*found.leave_out, *self.leave_out),
            "pantry": (*found.pantry, *self.pantry),
        }
        return found.model_copy(update=said)


def keep_answers(path: Path, answers: Answers) -> None:
    """Write answers into the file of a map, which keeps everything that stands in it, or into a new one.

    Raises CannotError when it cannot be done without touching more; then nothing is written.
    """
    text = read_bytes(path, SPECS).decode("utf-8-sig") if path.exists() else ""
    wanted = answers.added_to(read_map(path).found if text.strip() else ImportMap())
    for key, names in (("ingredients", answers.ingredients), ("glasses", answers.glasses)):
        said = [(plain_or_quoted(name, inside=True), plain_or_quoted(to, inside=True)) for name, to in names.items()]
        text = _added(text, key, [f"{name}: {to}" for name, to in said])
    for key, listed in (("leave out", answers.leave_out), ("pantry", answers.pantry)):
        text = _added(text, key, [plain_or_quoted(name, inside=True) for name in listed], mark="- ")
    document = read_document(str(path), text.encode())
    root = document.root
    found = None
    if isinstance(root, Mapping) and not document.found:
        found = validate(ImportMap, plain(root), root, document)
    if found is None or _sorted(found) != _sorted(wanted):
        raise CannotError("map", f'"{path}" cannot be added to', "keep the answers in another file: --save-map F.yaml")
    save(path, text.encode())


def _sorted(found: ImportMap) -> ImportMap:
    """A map for comparing: in which order names are listed says nothing."""
    listed = {key: tuple(sorted(getattr(found, key))) for key in ("leave_out", "pantry")}
    return found.model_copy(update=listed)


def _added(text: str, key: str, entries: list[str], mark: str = "") -> str:
    """The text of a map with entries added under a key, in the way that is written there already."""
    if not entries:
        return text
    root = read_document("map", text.encode()).root if text.strip() else None
    node = root.get(key) if isinstance(root, Mapping) else None
    if isinstance(node, Mapping | Sequence) and node.flow:
        end = node.end - 1
        is_first = not (node.entries if isinstance(node, Mapping) else node.items)
        return f"{text[:end].rstrip()}{'' if is_first else ', '}{', '.join(entries)}{text[end:]}"
    if isinstance(node, Mapping | Sequence):
        first = node.entries[0][0].start if isinstance(node, Mapping) else node.start
        start = text.rfind("\n", 0, first) + 1
        indent = text[start : start + len(text[start:]) - len(text[start:].lstrip(" "))]
        return text[:start] + "".join(f"{indent}{mark}{entry}\n" for entry in entries) + text[start:]
    end_of_line = "" if not text or text.endswith("\n") else "\n"
    return text + end_of_line + f"{key}:\n" + "".join(f"  {mark}{entry}\n" for entry in entries)
