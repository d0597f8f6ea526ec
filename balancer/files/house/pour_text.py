"""The pours of one entry, spliced: an amount or a name exchanged, a line added or taken out."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from balancer.errors import CannotError, QuantityError
from balancer.files.house.entry_text import EntryText
from balancer.files.yaml.document import Mapping, Node, Scalar, Sequence
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.models.pour import RINSE
from balancer.units import Quantity, format_quantity, split_pour

_HYPHEN: Final = re.compile(r" *-[ \t]+")
_COMMA: Final = re.compile(r"[0-9],[0-9]")
_OF: Final = re.compile(r"\s+of(?=\s)", re.IGNORECASE)
_LIKE: Final = "write it on one line first, like - 22.5 ml lime juice"
AGAIN: Final = "look at the file, then set it again"
CHANGED: Final = "changed"
"""The code of what cannot be written because somebody else wrote meanwhile."""


class Poured(NamedTuple):
    """What a pour is to be: its amount, as typed where a person typed it, and the name of what is poured."""

    amount: Quantity
    written: str
    name: str


def items_of(entry: EntryText) -> list[Node]:
    """The pours of an entry as they stand: a list of them, or one alone."""
    pours = entry.node.get("pours")
    return list(pours.items) if isinstance(pours, Sequence) else [pours] if pours is not None else []


def with_amount(entry: EntryText, index: int, amount: Quantity, written: str) -> EntryText:
    """A pour with another amount; nothing but the characters of the amount is touched."""
    value, in_flow, alone = _amount_of(entry, index)
    start, end = amount_span(entry, value)
    text = _amount_text(amount, written, entry.text[start:end], alone=alone)
    return entry.spliced(start, end, text.replace(",", ".") if in_flow and not value.quoted else text)


def with_other(entry: EntryText, index: int, poured: Poured) -> EntryText:
    """A pour of something else in the place of one, with the marks and the remark on its line."""
    item = items_of(entry)[index]
    if isinstance(item, Mapping):
        name = item.get("of")
        if not isinstance(name, Scalar):
            raise _changed(entry)
        in_flow = _in_flow(entry) or item.flow
        text = entry.scalar(name, poured.name, in_flow=in_flow)
        return with_amount(entry.spliced(name.start, name.end, text), index, poured.amount, poured.written)
    value, in_flow, _ = _amount_of(entry, index)
    start, end = amount_span(entry, value)
    amount = _amount_text(poured.amount, poured.written, entry.text[start:end], alone=False)
    of = _OF.match(entry.text, end, value.end)
    shown = f"{amount}{of[0] if of else ''} {poured.name}"
    if in_flow and not value.quoted:
        shown = shown.replace(amount, amount.replace(",", "."), 1)
    return entry.spliced(value.start, value.end, entry.scalar(value, shown, in_flow=in_flow))


def with_added(entry: EntryText, poured: Poured) -> EntryText:
    """One pour more, behind the others, in the style of the list."""
    pours, items = entry.node.get("pours"), items_of(entry)
    if pours is None or not items:
        raise _changed(entry)
    amount = poured.written or format_quantity(poured.amount, glyphs=False)
    shown = f"{RINSE if poured.amount.unit == RINSE else amount} {poured.name}"
    if not isinstance(pours, Sequence):
        entry = _listed(entry, pours)
        pours, items = entry.node.get("pours"), items_of(entry)
    last, in_flow = items[-1], _in_flow(entry)
    end = entry.end_of(last)
    if in_flow:
        shown = shown.replace(amount, amount.replace(",", "."), 1)
        text = (
            entry.scalar(last, shown, in_flow=True) if isinstance(last, Scalar) else plain_or_quoted(shown, inside=True)
        )
        return entry.spliced(end, end, f", {text}")
    lead = _lead(entry, items)
    at = entry.tail_of(end)
    text = plain_or_quoted(shown)
    if at and entry.text[at - 1] in "\r\n":
        return entry.spliced(at, at, f"{lead}{text}{entry.line_end}")
    return entry.spliced(at, at, f"{entry.line_end}{lead}{text}")


def without(entry: EntryText, index: int) -> EntryText:
    """The entry without one of several pours: its line goes, with the remark on it."""
    items = items_of(entry)
    item, end = items[index], entry.end_of(items[index])
    if _in_flow(entry):
        before = entry.end_of(items[index - 1]) if index else None
        return entry.without_item(item.start, end, before, is_last=index == len(items) - 1)
    return entry.without_lines(item.start, end, "-")


def amount_span(entry: EntryText, value: Scalar) -> tuple[int, int]:
    """Where in the text the amount of a value stands, its unit included."""
    text = entry.text
    source = text[value.start : value.end]
    quote = source[:1] if value.quoted else ""
    if quote not in ("", "'", '"'):
        told = f'the value is written as a block of text behind "{quote}": {entry.told(value.start)}'
        raise CannotError("block-text", told, _LIKE)
    inner = source[len(quote) : len(source) - len(quote)]
    blank = len(inner) - len(inner.lstrip())
    first = inner.split(None, 1)[0] if inner.strip() else ""
    if first.casefold() == RINSE:
        length = len(first)
    else:
        try:
            number, unit, _ = split_pour(inner[blank:])
        except QuantityError as error:
            raise _coded(entry, value) from error
        length = len(number) + len(unit)
    start = value.start + len(quote) + blank
    if quote == '"' and "\\" in text[start : start + length]:
        raise _coded(entry, value)
    return start, start + length


def _coded(entry: EntryText, value: Scalar) -> CannotError:
    told = f"the amount is written with a code behind a backslash: {entry.told(value.start)}"
    return CannotError("coded-text", told, "write it without one first, like - 22.5 ml lime juice")


def _changed(entry: EntryText) -> CannotError:
    return CannotError(CHANGED, f'"{entry.document.path}" was changed meanwhile', AGAIN)


def _in_flow(entry: EntryText) -> bool:
    pours = entry.node.get("pours")
    return entry.in_flow or (isinstance(pours, Sequence | Mapping) and pours.flow)


def _amount_of(entry: EntryText, index: int) -> tuple[Scalar, bool, bool]:
    """The value that holds the amount of a pour, whether it is inside brackets, and whether no name stands behind."""
    items = items_of(entry)
    item = items[index] if index < len(items) else None
    in_flow = _in_flow(entry)
    if isinstance(item, Mapping):
        in_flow = in_flow or item.flow
        value = item.get("pour")
    else:
        value = item
    if not isinstance(value, Scalar):
        raise _changed(entry)
    return value, in_flow, isinstance(item, Mapping)


def _amount_text(amount: Quantity, written: str, old: str, *, alone: bool) -> str:
    """An amount as it is to stand where the old one stands: as typed, or with its fraction signs and commas."""
    if amount.unit == RINSE:
        return f"1 {RINSE}" if alone else RINSE
    if written:
        return written
    text = format_quantity(amount, glyphs=any(sign.isnumeric() and not sign.isdigit() for sign in old))
    return text.replace(".", ",") if _COMMA.search(old) else text


def _lead(entry: EntryText, items: list[Node]) -> str:
    """What stands in front of a pour of a list with hyphens."""
    for item in reversed(items):
        lead = entry.text[entry.line_start(item.start) : item.start]
        if _HYPHEN.fullmatch(lead):
            return lead
    raise entry.refused(items[-1].start)


def _listed(entry: EntryText, alone: Node) -> EntryText:
    """The entry with its only pour, which stood behind the key itself, in a list."""
    key = entry.node.key("pours")
    if key is None or (isinstance(alone, Mapping) and not alone.flow):
        raise entry.refused(alone.start)
    end = entry.end_of(alone)
    if entry.in_flow:
        return entry.spliced(alone.start, end, f"[{entry.text[alone.start : end]}]")
    colon = entry.text.index(":", key.end) + 1
    indent = " " * (key.start - entry.line_start(key.start))
    if entry.text[colon : alone.start].strip(" \t"):
        raise entry.refused(alone.start)
    return entry.spliced(colon, alone.start, f"{entry.line_end}{indent}  - ")
