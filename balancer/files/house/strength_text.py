"""The strengths that a drink is written for, in the text of its entry, when it pours other syrups."""

from __future__ import annotations

from collections.abc import Collection

from balancer.files.house.entry_text import EntryText
from balancer.files.house.written_for import KEY
from balancer.files.yaml.document import Mapping
from balancer.models.names import NameIndex


def without_strengths(entry: EntryText, names: NameIndex, gone: Collection[str]) -> EntryText:
    """The entry without a word on the strength of syrups, by their ids, that the drink pours no more.

    Raises CannotError when that cannot be done without touching more.
    """
    for identity in gone:
        node = entry.node.get(KEY)
        entries = node.entries if isinstance(node, Mapping) else []
        place = next((at for at, (key, _) in enumerate(entries) if names.whole(key.text) == identity), None)
        if place is None:
            continue
        key, value = entries[place]
        end = entry.end_of(value, key)
        if len(entries) == 1:
            entry = entry.without_key(KEY)
        elif isinstance(node, Mapping) and node.flow:
            before = entry.end_of(entries[place - 1][1], entries[place - 1][0]) if place else None
            entry = entry.without_item(key.start, end, before, is_last=place == len(entries) - 1)
        else:
            entry = entry.without_lines(key.start, end)
    return entry
