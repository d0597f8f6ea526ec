"""The bytes of a YAML file as a document with its tree.

One pass over the parser's events sees what the usual loader hides: anchors, tags, duplicate keys,
depth, and the raw text of every value (`007` and `1984` stay what the user wrote).
"""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any, Final

from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined] # told by no list of names
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from balancer.files.reading import TooLargeError, unreadable
from balancer.files.sizes import SPECS
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.syntax import explain, in_quotes
from balancer.unseen import NO_TEXT

__all__ = ["Document", "Mapping", "Node", "Scalar", "Sequence", "read_document"]

MAX_VALUES: Final = 300_000
MAX_DEPTH: Final = 12

_TOKEN: Final = re.compile(r"[^\s,\[\]{}]{1,60}")
_WHOLE_NUMBER: Final = re.compile(r"[-+]?[0-9]+")
_DIGIT_FIRST: Final = re.compile(r"[0-9]")
# Bytes that are not UTF-8 shown as the character an old Windows editor meant by them.
_WINDOWS: Final = {0xDC00 + byte: bytes([byte]).decode("cp1252", errors="replace") for byte in range(0x80, 0x100)}


def read_document(path: str, raw: bytes) -> Document:
    """The tree of one file. Whatever is wrong with it is reported in the document; nothing is raised."""
    document = Document(path)
    try:
        SPECS.refuse(len(raw))
    except TooLargeError as error:
        return Document.lost_to(unreadable(Path(path), error, "the file"))
    if _decode(document, raw):
        builder = _Builder(document)
        try:
            builder.build()
        except MarkedYAMLError as error:
            mark = explain(document.text, error, builder.last_quoted)
            document.cut = document.report(mark.code, mark.offset, mark.message, mark.remedy)
            if mark.code == "indentation":
                builder.doubt_last()
        except YAMLError:
            document.cut = document.report("syntax", 0, "this file cannot be read", "save it as plain text in UTF-8")
        if document.cut:
            builder.abandon()
    return document


def _decode(document: Document, raw: bytes) -> bool:
    """Put the text of a file into its document, or say why it is none."""
    utf16 = _utf16(raw)
    if utf16:
        document.text = NO_TEXT.sub("\ufffd", raw.decode(utf16, errors="replace"))
        document.cut = document.report(
            "encoding", 0, "the file is UTF-16 text, not UTF-8", "save it again as UTF-8 (in the editor: Save as)"
        )
        return False
    try:
        document.text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        offset = len(error.object[: error.start].decode())
        byte = f"0x{error.object[error.start]:02X}"
        document.text = NO_TEXT.sub("\ufffd", raw.decode("utf-8-sig", "surrogateescape").translate(_WINDOWS))
        document.cut = document.report(
            "encoding", offset,
            f'the file is not saved as UTF-8: its "{document.text[offset]}" is the byte {byte}',
            "save it again as UTF-8 (in the editor: Save as, encoding UTF-8)",
        )  # fmt: skip
        return False
    invisible = NO_TEXT.search(document.text)
    if invisible:
        document.text = NO_TEXT.sub("\ufffd", document.text)
        document.cut = document.report(
            "invisible", invisible.start(), f"an invisible character (U+{ord(invisible[0]):04X}) stands here",
            "delete it; type the line again if it cannot be seen",
        )  # fmt: skip
    return document.cut is None


def _utf16(raw: bytes) -> str | None:
    """The name of the UTF-16 a file starts with, with or without its mark."""
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return "utf-16"
    if 0 in raw[:2] and len(raw) > 1:
        return "utf-16-be" if raw[0] == 0 else "utf-16-le"
    return None


class _Builder:
    """Turns parser events into nodes."""

    def __init__(self, document: Document) -> None:
        self.document = document
        self.stack: list[Sequence | Mapping] = []
        self.keys: list[Scalar | None] = []
        self.last_quoted: tuple[int, int] | None = None

    def build(self) -> None:
        # The C parser itself: going by way of ruamel's YAML object costs half as much again for every file.
        parser = CParser(self.document.text)
        for count in itertools.count():
            if self.document.cut or not parser.check_event():
                return
            event = parser.get_event()
            self._take(event)
            if count == MAX_VALUES:
                self._cut(
                    "too-large", event.start_mark.index, f"the file holds more than {MAX_VALUES} values",
                    "split it, or move it out of this folder",
                )  # fmt: skip

    def _take(self, event: Any) -> None:
        kind = type(event)
        if kind is ScalarEvent:
            self._place(self._scalar(event))
        elif kind is SequenceStartEvent:
            self._open(event, Sequence(event.start_mark.index, flow=bool(event.flow_style)))
        elif kind is MappingStartEvent:
            self._open(event, Mapping(event.start_mark.index, flow=bool(event.flow_style)))
        elif kind is SequenceEndEvent or kind is MappingEndEvent:
            self._close(event.end_mark.index)
        elif kind is AliasEvent:
            self._place(self._alias(event))
        elif kind is DocumentStartEvent and self.document.root is not None:
            self._cut(
                "second-document", event.start_mark.index, 'a second document starts here with "---"',
                "keep one document in a file: delete the line, or split the file",
            )  # fmt: skip

    def abandon(self) -> None:
        """Mark what was still open when the reading stopped."""
        for node in self.stack:
            node.complete = False
            node.end = len(self.document.text) + 1

    def doubt_last(self) -> None:
        """Reopen the last entry when the reading stopped between entries: what is out of line may belong to it."""
        root = self.document.root
        last = root.items[-1] if isinstance(root, Sequence) and root.items and self.stack == [root] else root
        if isinstance(last, Mapping) and not (self.stack and last is root):
            self.stack.append(last)

    def _cut(self, code: str, offset: int, message: str, remedy: str) -> None:
        self.document.cut = self.document.report(code, offset, message, remedy)

    def _scalar(self, event: Any) -> Scalar:
        refused = (event.anchor is not None or event.tag is not None) and self._refuse_properties(event)
        start, end = event.start_mark.index, event.end_mark.index
        quoted = not event.implicit[0]
        if quoted and self.document.text[start] in "'\"":
            self.last_quoted = (start, end)
        return Scalar(event.value, start, end, quoted=quoted, refused=refused and not event.value)

    def _alias(self, event: Any) -> Scalar:
        start, end = event.start_mark.index, event.end_mark.index
        if not self._is_merge():
            self._refuse_token("anchor", start, "repeats another place")
        return Scalar("", start, end, quoted=True, refused=True)

    def _open(self, event: Any, node: Sequence | Mapping) -> None:
        if len(self.stack) == MAX_DEPTH:
            self._cut(
                "too-deep", node.start, f"lists and keys are nested more than {MAX_DEPTH} deep here",
                "nothing in these files needs that; check the brackets and the indentation",
            )  # fmt: skip
            return
        self._refuse_properties(event)
        self._place(node)
        self.stack.append(node)
        self.keys.append(None)

    def _close(self, end: int) -> None:
        node = self.stack.pop()
        self.keys.pop()
        node.end = end
        if isinstance(node, Sequence):
            if node.flow:
                _mend_decimal_commas_in_list(self.document, node)
            return
        if node.flow:
            _mend_decimal_commas_in_group(self.document, node)
        _refuse_duplicates(self.document, node)

    def _place(self, node: Node) -> None:
        empty = isinstance(node, Scalar) and node.start == node.end
        if not self.stack:
            self.document.root = None if empty else node
            return
        parent = self.stack[-1]
        if isinstance(parent, Sequence):
            if empty and node.start:
                node.start -= 1
            parent.items.append(node)
            return
        key = self.keys[-1]
        if key is None:
            self.keys[-1] = self._key(node)
            return
        if empty:
            node.start, node.end = key.start, key.end
        if not self._is_merge() and not key.refused:
            parent.entries.append((key, node))
        self.keys[-1] = None

    def _key(self, node: Node) -> Scalar:
        """A node as a key. What cannot be one leaves everything around it incomplete."""
        if isinstance(node, Scalar) and node.text and not node.refused:
            if node.text == "<<" and not node.quoted:
                self._incomplete()
                self.document.report(
                    "anchor", node, '"<<" copies keys from another place, which these files do not do',
                    "write the keys out",
                )  # fmt: skip
            return node
        self._incomplete()
        self.document.report(
            "key", node, "a key is plain words, and this is not", 'write it like "garnish: lime wheel"'
        )
        return Scalar("", node.start, node.start + 1, quoted=True, refused=True)

    def _is_merge(self) -> bool:
        key = self.keys[-1] if self.keys else None
        return key is not None and key.text == "<<" and not key.quoted

    def _incomplete(self) -> None:
        for node in self.stack:
            node.complete = False

    def _refuse_properties(self, event: Any) -> bool:
        """Report an anchor or a tag before a value."""
        if event.anchor is not None:
            self._refuse_token("anchor", event.start_mark.index, "names a place to be repeated")
        elif event.tag is not None:
            self._refuse_token("tag", event.start_mark.index, "tells a type")
        else:
            return False
        return True

    def _refuse_token(self, code: str, offset: int, does: str) -> None:
        match = _TOKEN.match(self.document.text, offset)
        token = match[0] if match else ""
        self.document.report(
            code, offset, f'"{token}" is not read as text: "{token[:1]}" in front {does}',
            "write everything out here; if it is text, put it in quotes", width=len(token),
        )  # fmt: skip


def _refuse_duplicates(document: Document, node: Mapping) -> None:
    """Report a key written twice; the first one counts."""
    seen: dict[str, Scalar] = {}
    for key, _ in node.entries:
        first = seen.setdefault(key.text, key)
        if first is not key:
            line = document.line_number(first.start)
            document.report(
                "duplicate-key", key, f'"{key.text}" is written twice, first in line {line}', "keep one of them"
            )
    if len(seen) < len(node.entries):
        node.entries = [(key, value) for key, value in node.entries if seen[key.text] is key]


def _mend_decimal_commas_in_list(document: Document, node: Sequence) -> None:
    """Inside [ ] and { } a comma ends the value: '22,5 ml' becomes '22' and '5 ml'. Report it and join the two."""
    items: list[Node] = []
    for item in node.items:
        joined = _join(document, items[-1], item) if items else None
        if joined:
            items[-1] = joined
        else:
            items.append(item)
    node.items = items


def _mend_decimal_commas_in_group(document: Document, node: Mapping) -> None:
    """The same where the second half became a key without a value."""
    entries: list[tuple[Scalar, Node]] = []
    for key, value in node.entries:
        empty = isinstance(value, Scalar) and value.start == key.start
        joined = _join(document, entries[-1][1], key) if entries and empty else None
        if joined:
            entries[-1] = (entries[-1][0], joined)
        else:
            entries.append((key, value))
    node.entries = entries


def _join(document: Document, before: Node, after: Node) -> Scalar | None:
    """Two halves of a number with a decimal comma as one value, or None when they are not that."""
    if not (isinstance(before, Scalar) and isinstance(after, Scalar)) or before.quoted or after.quoted:
        return None
    if document.text[before.end : after.start] != ",":
        return None
    if not (_WHOLE_NUMBER.fullmatch(before.text) and _DIGIT_FIRST.match(after.text)):
        return None
    whole = Scalar(f"{before.text},{after.text}", before.start, after.end, quoted=False)
    document.report(
        "decimal-comma", whole, f'the comma in "{whole.text}" ends the value inside [ ] and {{ }}',
        f'write {before.text}.{after.text}, or put it in quotes: {in_quotes(whole.text)}',
    )  # fmt: skip
    return whole
