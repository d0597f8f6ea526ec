"""The text of one entry as a file of its own, with the remarks that belong to it."""

from __future__ import annotations

import re
from typing import Final

from balancer.files.house.entry_text import EntryText
from balancer.files.yaml.document import Sequence
from balancer.files.yaml.tree import read_document

_REMARK: Final = re.compile(r"[ \t]*#")
_HYPHEN: Final = re.compile(r" *-[ \t]+")


def copied(entry: EntryText, path: str) -> EntryText:
    """The entry alone in a new file: of a file that holds nothing else the whole text.

    Of a list, what stands in the entry's own lines, and the remarks right above its hyphen.
    """
    root = entry.document.root
    if not isinstance(root, Sequence):
        text = entry.text
    elif entry.in_flow:
        text = entry.text[entry.node.start : entry.node.end] + entry.line_end
    else:
        text = _of_list(entry)
    return EntryText(read_document(path, text.encode()), None)


def _of_list(entry: EntryText) -> str:
    """The lines of an entry behind a hyphen, moved to the left by as much as the hyphen took."""
    start = entry.node.start
    first = entry.line_start(start)
    lead = entry.text[first:start]
    if not _HYPHEN.fullmatch(lead):
        raise entry.refused(start)
    columns = len(lead)
    above: list[str] = []
    at = first
    while at:
        before = entry.line_start(at - (2 if entry.text[at - 2 : at] == "\r\n" else 1))
        remark = _REMARK.match(entry.text, before)
        if remark is None or remark.end() - before > lead.index("-") + 1:  # further in, it belongs to the one above
            break
        above.insert(0, entry.text[before:at].lstrip(" \t"))
        at = before
    lines = [*above, entry.text[start : entry.next_line(start)]]
    end = entry.tail_of(entry.end_of(entry.node))
    at = entry.next_line(start)
    blank: list[str] = []
    while at < len(entry.text):
        after = entry.next_line(at)
        line = entry.text[at:after]
        inside = len(line) - len(line.lstrip(" "))
        if at >= end and not line.strip():
            blank.append(line.lstrip(" \t"))
        elif at >= end and not (inside >= columns and _REMARK.match(line)):
            break
        else:
            lines += [*blank, line[min(inside, columns) :]]
            blank = []
        at = after
    text = "".join(lines)
    return text if text[-1] in "\r\n" else text + entry.line_end
