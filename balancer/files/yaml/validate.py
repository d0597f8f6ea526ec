"""A node of the tree through a model, and pydantic's errors back to places in the user's text."""

from __future__ import annotations

import difflib
from collections.abc import Sequence as Items
from functools import cache
from typing import Any, Final, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from balancer.files.yaml.document import Document, Mapping, Node, Scalar, Sequence
from balancer.files.yaml.syntax import in_quotes
from balancer.models.fields import FileModel

M = TypeVar("M", bound=FileModel)
Place = tuple[int | str, ...]

MOST_AT_ONCE: Final = 100
"""So many errors of one entry are told; an entry with more is something else."""

_SHAPES: Final = {
    "model_type": ("a group of keys is wanted here", "write the keys below it, indented"),
    "dict_type": ("a group of keys is wanted here", "write name: value, one on a line, indented"),
    "tuple_type": ("a list is wanted here", "write one value on a line, each after a hyphen"),
}


def plain(node: Node) -> Any:
    """A node as text, lists and dictionaries."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    return {key.text: plain(value) for key, value in node.entries}


def check(model: type[M], data: object) -> tuple[M | None, list[ErrorDetails]]:
    """The model of some data, or None and what is wrong with the data."""
    try:
        return model.model_validate(data), []
    except ValidationError as error:
        found = error.errors(include_url=False, include_input=False)
        # What a key means when absent was not worked out, because one it depends on is wrong: that one is told.
        return None, [each for each in found if each["type"] != "default_factory_not_called"]


def validate(model: type[M], data: object, node: Mapping, document: Document) -> M | None:
    """The model of some data, or None after reporting every error at its place in the document."""
    found, errors = check(model, data)
    report(model, errors, node, document)
    return found


def report(model: type[FileModel], errors: Items[ErrorDetails], node: Mapping, document: Document) -> None:
    """Report validation errors. A misspelt required key is one problem, not a missing one and an extra one."""
    meant = {_meant(model, error["loc"]) for error in errors[:MOST_AT_ONCE] if error["type"] == "extra_forbidden"}
    for error in errors[:MOST_AT_ONCE]:
        if error["type"] == "extra_forbidden":
            _report_unknown(model, error["loc"], node, document)
        elif error["type"] != "missing":
            _report_value(error, node, document)
        elif error["loc"] not in meant and node.complete:
            key = error["loc"][-1]
            document.report(
                "missing-key", place(node, error["loc"]), f'the key "{key}" is missing', f'add it, as "{key}: …"'
            )
    if len(errors) > MOST_AT_ONCE:
        document.report(
            "too-many", node.entries[0][0], f"{len(errors) - MOST_AT_ONCE} more problems in what starts here",
            "mend the others first, or move the file out of this folder",
        )  # fmt: skip


def _report_unknown(model: type[FileModel], loc: Place, node: Mapping, document: Document) -> None:
    suggestion = _meant(model, loc)[-1]
    remedy = f'did you mean "{suggestion}"?' if suggestion else f"known here: {', '.join(_keys_at(model, loc))}"
    document.report("unknown-key", place(node, loc, want_key=True), f'unknown key "{loc[-1]}"', remedy)


def _report_value(error: ErrorDetails, node: Mapping, document: Document) -> None:
    loc, code = error["loc"], error["type"]
    key, wrong = _walk(node, loc)
    if code == "shape" and key is None and isinstance(wrong, Mapping) and report_colon(wrong, document):
        return
    if code in _SHAPES:
        message, remedy = _SHAPES[code]
        code = "shape"
    else:
        message, remedy = error["msg"], str(error["ctx"]["remedy"])
    document.report(code, place(node, loc, want_key=loc[-1] == "[key]"), message, remedy)


def report_colon(node: Mapping, document: Document) -> bool:
    """Say so when a group of keys is no group but text with a colon in it."""
    if node.flow or len(node.entries) != 1 or not isinstance(node.entries[0][1], Scalar):
        return False
    key = node.entries[0][0]
    text = in_quotes(document.source(key.start))
    document.report("colon", key, f'": " makes "{key.text}" a key', f"put the text in quotes: {text}")
    return True


def place(node: Node, loc: Place, *, want_key: bool = False) -> Node:
    """What a location points at: the text at its end, or else the key before it.

    A location that leads nowhere, as of a missing key, points at what should hold it.
    """
    key, value = _walk(node, loc)
    if isinstance(value, Scalar) and not (want_key and key):
        return value
    if key:
        return key
    return value.entries[0][0] if isinstance(value, Mapping) and value.entries else value


def _walk(node: Node, loc: Place) -> tuple[Scalar | None, Node]:
    """The key and the value a location leads to, or the nearest above it."""
    key: Scalar | None = None
    for step in loc:
        if isinstance(node, Mapping) and isinstance(step, str):
            inner = node.get(step)
            if inner is None:
                break
            key, node = node.key(step), inner
        elif isinstance(node, Sequence) and isinstance(step, int) and step < len(node.items):
            key, node = None, node.items[step]
    return key, node


def _meant(model: type[FileModel], loc: Place) -> Place:
    """The location a misspelt key should have had, with an empty key when nothing is like it."""
    return (*loc[:-1], like(str(loc[-1]), _keys_at(model, loc)) or "")


def like(word: str, known: Items[str]) -> str | None:
    """The known word that a misspelt one most likely means, or None.

    >>> like("methd", ["method", "ice"]), like("price", ["method", "ice"])
    ('method', None)
    """
    word = word.casefold()
    for match in difflib.get_close_matches(word, known, n=3, cutoff=0.6):
        # People seldom get the first letter wrong; without this a price would be taken for ice.
        if match[0] == word[0] or difflib.SequenceMatcher(None, match, word).ratio() > 0.8:
            return match
    return None


def _keys_at(model: type[FileModel], loc: Place) -> list[str]:
    """The keys known where a location ends: those of the model, or of the model inside it."""
    current: type[FileModel] = model
    for step in loc[:-1]:
        if isinstance(step, str):
            current = _inner_models(current).get(step, current)
    return list(_keys(current))


@cache
def _keys(model: type[FileModel]) -> tuple[str, ...]:
    return tuple(field.alias or name for name, field in model.model_fields.items())


@cache
def _inner_models(model: type[FileModel]) -> dict[str, type[FileModel]]:
    found: dict[str, type[FileModel]] = {}
    for name, field in model.model_fields.items():
        for part in (field.annotation, *getattr(field.annotation, "__args__", ())):
            if isinstance(part, type) and issubclass(part, FileModel):
                found[field.alias or name] = part
    return found
