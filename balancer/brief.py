"""Answers at a prompt or in a notebook: a line a part, what is inside of a part by its name or its length."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from typing import Final

_WIDTH: Final = 110
_SHORT: Final = 40


def brief(record: object) -> str:
    """A record for its `__repr__`, where Python's own would be pages long. Figures are shortened, to be read."""
    names = getattr(record, "__match_args__", ()) or getattr(record, "_fields", ())
    return listed(type(record).__name__, ((name, getattr(record, name)) for name in names))


def listed(title: str, parts: Iterable[tuple[str, object]]) -> str:
    """A title, and a line for each part: <title, part: value, ...>."""
    return "\n".join([f"<{title}", *(_cut(f"  {name}: {_shown(value)}") for name, value in parts)]) + ">"


def _shown(value: object, *, inside: bool = False) -> str:
    """A part in a few words."""
    if isinstance(value, float):
        return f"{value:.5g}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str) or not value:
        return repr(value)
    if isinstance(value, Mapping):
        held = (f"{_shown(key, inside=True)}: {_shown(each, inside=True)}" for key, each in value.items())
        return "{…}" if inside else f"{{{', '.join(held)}}}"
    if type(value) in (list, tuple, set, frozenset):
        return _several(list(value), inside=inside)  # type: ignore[call-overload]
    called = getattr(value, "id", None) or getattr(value, "name", None)
    if isinstance(called, str):
        return f"{type(value).__name__} {called!r}"
    plain = repr(value)
    return plain if len(plain) <= _SHORT and "\n" not in plain else f"{type(value).__name__}(…)"


def _several(values: list[object], *, inside: bool) -> str:
    is_long = inside or not all(isinstance(each, str | int | float | None) for each in values)
    return f"[… {len(values)}]" if is_long else f"[{', '.join(map(_shown, values))}]"


def _cut(line: str) -> str:
    line = " ".join(line.splitlines())
    return line if len(line) <= _WIDTH else f"{line[: _WIDTH - 1]}…"
