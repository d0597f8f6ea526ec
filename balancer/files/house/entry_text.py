"""The text of one entry of a file, spliced: everything that does not change stays character for character.

After each change the text is read again, so the next one starts from where things stand then.
"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Final, NamedTuple

from balancer.errors import CannotError
from balancer.files.house.entries import Entry
from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.files.yaml.tree import read_document

LINE_END: Final = re.compile(r"\r\n|\r|\n|\Z")
_TAIL: Final = re.compile(r"[ \t]*(?:(?<=[ \t])#[^\r\n]*)?(?=[\r\n]|\Z)")
_BLANK: Final = re.compile(r"[ \t]*")
_COMMA: Final = re.compile(r"\s*,[ \t]*(?:(?<=[ \t])#[^\r\n]*)?")


class Splice(NamedTuple):
    """A stretch of a file's text, by its offsets, and what comes in its place."""

    start: int
    end: int
    new: str


def text_of(entry: Entry) -> EntryText:
    """An entry as its file has it."""
    root = entry.document.root
    return EntryText(entry.document, root.items.index(entry.node) if isinstance(root, Sequence) else None)


@dataclass(frozen=True, slots=True)
class EntryText:
    """A file and the one entry of it that changes; place is its place in the file's list, None where it is alone."""

    document: Document
    place: int | None

    @property
    def text(self) -> str:
        """The whole file."""
        return self.document.text

    @property
    def node(self) -> Mapping:
        """The entry. Raises CannotError when it is no longer there."""
        root = self.document.root
        node: Node | None = root
        if self.place is not None:
            node = root.items[self.place] if isinstance(root, Sequence) and self.place < len(root.items) else None
        if not isinstance(node, Mapping) or self.document.cut:
            raise self.refused(0)
        return node

    @property
    def in_flow(self) -> bool:
        """Whether the entry stands inside [ ] or { }, where a comma ends a value."""
        root = self.document.root
        return self.node.flow or (isinstance(root, Sequence) and root.flow)

    @property
    def line_end(self) -> str:
        """What ends the lines of the file."""
        found = LINE_END.search(self.text)
        return found[0] if found and found[0] else "\n"

    def told(self, offset: int) -> str:
        """A place for a message."""
        return f"{self.document.path}:{self.document.line_number(offset)}"

    def refused(self, offset: int) -> CannotError:
        """The error for what cannot be changed by itself."""
        return CannotError(
            "unsafe-edit",
            f"this cannot be changed here without touching more than it: {self.told(offset)}",
            "change it in an editor, then see what it says: balancer check",
        )

    def spliced(self, start: int, end: int, new: str) -> EntryText:
        """The file with a stretch of it replaced."""
        text = self.text[:start] + new + self.text[end:]
        return EntryText(read_document(self.document.path, text.encode()), self.place)

    def line_start(self, offset: int) -> int:
        """Where the line of an offset starts."""
        return max(self.text.rfind("\n", 0, offset), self.text.rfind("\r", 0, offset)) + 1

    def next_line(self, offset: int) -> int:
        """Where the line behind that of an offset starts; the end of the text where there is none."""
        found = LINE_END.search(self.text, offset)
        return found.end() if found else len(self.text)

    def end_of(self, node: Node, key: Scalar | None = None) -> int:
        """Where a value ends: the parser's own end of a block runs on to what follows."""
        end = node.end
        if isinstance(node, Sequence) and not node.flow:
            end = self.end_of(node.items[-1]) if node.items else node.start
        elif isinstance(node, Mapping) and not node.flow:
            end = self.end_of(node.entries[-1][1], node.entries[-1][0]) if node.entries else node.start
        return max(end, key.end if key else 0)

    def tail_of(self, end: int) -> int:
        """The end of the line on which something ends, its comment included. Raises CannotError for what goes on."""
        if end and self.text[end - 1] in "\r\n":  # a block of text ends at the start of a line
            return end
        found = _TAIL.match(self.text, end)
        if found is None:
            colon = re.compile(r"[ \t]*:").match(self.text, end)  # behind a key without a value
            found = _TAIL.match(self.text, colon.end()) if colon else None
        if found is None:
            raise self.refused(end)
        return found.end()

    def set_key(self, key: str, value: str, *, typed: bool = False) -> EntryText:
        """A key of the entry with one value in place of its own, or added behind the last one.

        typed  whether it may stand without quotes although readers of YAML take it for a number or a date
        """
        return self.spliced(*self.key_splice(key, value, typed=typed))

    def key_splice(self, key: str, value: str, *, typed: bool = False) -> Splice:
        """What `set_key` changes; several that add keys are put in one behind the other."""
        found = self.node.get(key)
        if isinstance(found, Scalar) and found.start != _start_of(self.node.key(key)):
            return Splice(found.start, found.end, self.scalar(found, value, in_flow=self.in_flow, typed=typed))
        if found is not None:
            raise self.refused(found.start)
        return self._added_key(key, value, typed=typed)

    def scalar(self, old: Scalar, value: str, *, in_flow: bool, typed: bool = False) -> str:
        """A text as it may stand where another stands, in the same quotes."""
        quote = self.text[old.start] if old.quoted else ""
        if quote == "'":
            return "'" + value.replace("'", "''") + "'"
        if quote == '"':
            return json.dumps(value, ensure_ascii=False)
        if quote:
            raise CannotError(
                "block-text",
                f'the value is written as a block of text behind "{quote}": {self.told(old.start)}',
                "write it on one line first",
            )
        return value if typed else plain_or_quoted(value, inside=in_flow)

    def _added_key(self, key: str, value: str, *, typed: bool) -> Splice:
        name, last = self.node.entries[-1]
        end = self.end_of(last, name)
        if self.node.flow:
            first = self.node.entries[0][0]
            quote = self.text[first.start] if first.quoted else ""
            bare = value if typed else plain_or_quoted(value, inside=True)
            shown = f"{quote}{key}{quote}: " + (f"{quote}{value}{quote}" if quote else bare)
            return Splice(end, end, f", {shown}")
        start = self.line_start(name.start)
        indent = self.text[start : name.start]
        if indent.strip(" "):  # one key alone behind its hyphen
            indent = " " * len(indent)
        shown = value if typed else plain_or_quoted(value)
        at = self._before_blank_lines(last, self.tail_of(end))
        before, after = self.text[:at], self.line_end
        if before and before[-1] not in "\r\n":
            return Splice(at, at, f"{after}{indent}{key}: {shown}")
        return Splice(at, at, f"{indent}{key}: {shown}{after}")

    def _before_blank_lines(self, last: Node, at: int) -> int:
        """A block of text takes the blank lines behind it along; they belong to it only where it says so."""
        while isinstance(last, Mapping | Sequence) and not last.flow:
            last = last.items[-1] if isinstance(last, Sequence) else last.entries[-1][1]
        if not (isinstance(last, Scalar) and last.quoted and self.text[last.start] in "|>"):
            return at
        header = self.text[last.start : self.next_line(last.start)].partition("#")[0]
        if "+" in header:
            return at
        content = self.text[:at].rstrip(" \t\r\n")
        return self.next_line(len(content)) if len(content) < at else at

    def without_key(self, key: str) -> EntryText:
        """The entry without a key, if it has it: its lines go, with the comment on the last of them."""
        gone = self.key_gone(key)
        return self if gone is None else self.spliced(*gone)

    def key_gone(self, key: str) -> Splice | None:
        """What `without_key` changes; None where it has no such key."""
        entries = self.node.entries
        place = next((index for index, (name, _) in enumerate(entries) if name.text == key), None)
        if place is None:
            return None
        name, value = entries[place]
        end = self.end_of(value, name)
        if self.node.flow:
            before = self.end_of(entries[place - 1][1], entries[place - 1][0]) if place else None
            return self._item_gone(name.start, end, before, is_last=place == len(entries) - 1)
        return self._lines_gone(name.start, end)

    def without_lines(self, start: int, end: int, before: str = "") -> EntryText:
        """The text without the lines from start to end. before is what may stand on the first one: a hyphen."""
        return self.spliced(*self._lines_gone(start, end, before))

    def _lines_gone(self, start: int, end: int, before: str = "") -> Splice:
        first = self.line_start(start)
        if self.text[first:start].strip(" \t") != before:
            raise self.refused(start)
        tail = self.tail_of(end)
        last = tail if tail and self.text[tail - 1] in "\r\n" else self.next_line(tail)
        if last == len(self.text) and self.text[last - 1 : last] not in ("\r", "\n") and first:
            first -= 2 if self.text[first - 2 : first] == "\r\n" else 1  # the file goes on to end without a line end
        return Splice(first, last, "")

    def without_item(self, start: int, end: int, before: int | None, *, is_last: bool) -> EntryText:
        """The text without one item inside [ ] or { }, and without one comma; before is the end of the one ahead."""
        return self.spliced(*self._item_gone(start, end, before, is_last=is_last))

    def _item_gone(self, start: int, end: int, before: int | None, *, is_last: bool) -> Splice:
        comma = _COMMA.match(self.text, end)
        if is_last and before is not None and "#" not in self.text[before:start]:
            return Splice(before, end, "")
        if comma is None:  # a comma may stand behind the last one, and a remark of another is not to go
            return Splice(start, end, "")
        first = self.line_start(start)
        line = LINE_END.match(self.text, comma.end())
        if line and not self.text[first:start].strip():
            return Splice(first, line.end(), "")
        return Splice(start, comma.end(), "")


def _start_of(key: Scalar | None) -> int:
    return key.start if key else -1
