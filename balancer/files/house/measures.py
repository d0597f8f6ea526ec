"""The house of a bar out of the house.yaml of every layer: a key that the house leaves out is its base's."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Final

from balancer.files.house.base import Layer
from balancer.files.yaml.document import Mapping, Scalar
from balancer.files.yaml.validate import check, plain, report
from balancer.models.house import House
from balancer.models.look import LOOK
from balancer.models.methods import method_key
from balancer.models.names import glass_key

_OWN: Final = ("format", "house", "base")
"""Keys that a house says itself or not at all."""

_BY_NAME: Final[dict[str, Callable[[str], object]]] = {"glasses": glass_key, "dilution": method_key, LOOK: str}
"""Keys that list things by name, each of which counts by itself, and what two spellings of a name have in common."""


def house_of(found: Sequence[Layer]) -> House:
    """The house, with what stands in for every key that has a problem: the base's value, or the usual one."""
    below: dict[str, Any] = {}
    for layer in found[:0:-1]:
        _, own = _house(layer, below)
        below = _over(below, {key: value for key, value in own.items() if key not in _OWN})
    return _house(found[0], below)[0]


def _house(layer: Layer, below: dict[str, Any]) -> tuple[House, dict[str, Any]]:
    """The house that a house.yaml makes over what is below it, and the keys of it that are sound."""
    document = layer.document
    usual = {"format": "1", "house": layer.folder.resolve().name.strip() or "house"}
    if document is None:
        return House.model_validate(usual | below), {}
    node = document.root
    if not isinstance(node, Mapping):
        if not document.found:
            document.report(
                "shape", node or 0, "house.yaml holds no keys", "start it with two lines: format: 1 and house: NAME"
            )
        return House.model_validate(usual | below), {}
    data = {key.text: plain(value) for key, value in node.entries if isinstance(value, Scalar) or value.complete}
    house, errors = check(House, _over(below, data))
    if house is None:
        report(House, errors, node, document)
        for error in errors:
            _leave_out(data, error["loc"])
        house = House.model_validate(usual | _over(below, data))
    return house, data


def _leave_out(data: dict[str, Any], loc: tuple[int | str, ...]) -> None:
    """Take out the key that is wrong. A wrong part of the look costs no other part of it."""
    part = data.get(LOOK)
    if loc[0] == LOOK and len(loc) > 1 and isinstance(part, dict):
        data[LOOK] = {key: value for key, value in part.items() if key != loc[1]}
    else:
        data.pop(str(loc[0]), None)


def _over(below: dict[str, Any], own: dict[str, Any]) -> dict[str, Any]:
    """Keys laid over those of the base: whole, but glass by glass and method by method where names are listed."""
    merged = below | own
    for key, same in _BY_NAME.items():
        base, mine = below.get(key), own.get(key)
        if isinstance(base, dict) and isinstance(mine, dict):
            said = {same(name) for name in mine}
            merged[key] = {name: value for name, value in base.items() if same(name) not in said} | mine
    return merged
