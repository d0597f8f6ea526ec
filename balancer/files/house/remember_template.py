"""The house's own card template written into its house.yaml: one key of it changes, everything else stays as it is."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from balancer.errors import CannotError
from balancer.files.house.base import HOUSE_FILE, counted_from, read_file
from balancer.files.house.edit import Edit
from balancer.files.house.entry_text import EntryText
from balancer.files.house.load import Loaded
from balancer.files.yaml.document import Mapping, Scalar
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.validate import plain
from balancer.models.look import LOOK

_TEMPLATE = "template"


@dataclass(frozen=True, slots=True)
class _LookText(EntryText):
    """What stands below `look` in a house.yaml, as an entry whose keys can be set."""

    @property
    def node(self) -> Mapping:
        """The group of keys. Raises CannotError when it is none."""
        root = self.document.root
        found = root.get(LOOK) if isinstance(root, Mapping) else None
        if not isinstance(found, Mapping) or self.document.cut:
            raise self.refused(0)
        return found

    @property
    def in_flow(self) -> bool:
        """Whether they stand inside { }."""
        return self.node.flow


def template_edit(folder: Path, loaded: Loaded, template: Path) -> Edit | None:
    """A house that prints its cards with a template; None where it says so already. The path counts from its folder.

    Raises CannotError where house.yaml is missing, cannot be read, or cannot be changed without touching more.
    """
    path = folder / HOUSE_FILE
    document = read_file(path)
    if document.lost is not None or not isinstance(document.root, Mapping):
        told = document.found[0][1].message if document.found else f'there is no "{path}" with keys in it'
        raise CannotError("unreadable", f"the template cannot be remembered: {told}", "see: balancer check")
    root = EntryText(document, None)
    look = root.node.get(LOOK)
    value = counted_from(folder, template).as_posix()
    said = look.get(_TEMPLATE) if isinstance(look, Mapping) else None
    if isinstance(said, Scalar) and said.text.strip() == value:
        return None
    if isinstance(look, Mapping):
        edited: EntryText = _LookText(document, None).set_key(_TEMPLATE, value)
    elif look is None:
        edited = root.set_key(LOOK, f"{{{_TEMPLATE}: {plain_or_quoted(value, inside=True)}}}", typed=True)
    else:
        raise root.refused(look.start)
    wanted = plain(document.root)
    wanted[LOOK] = {**wanted.get(LOOK, {}), _TEMPLATE: value}
    if edited.document.cut or edited.document.root is None or plain(edited.document.root) != wanted:
        raise root.refused(root.node.start)
    return Edit(path, document.text, edited.text, loaded)
