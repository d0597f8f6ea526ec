"""What the arguments of the Python interface may be: their annotations say it, and this holds callers to them.

What comes from numpy or pandas counts as what it holds.
"""

from __future__ import annotations

import inspect
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from datetime import date, datetime
from difflib import get_close_matches
from functools import cache, wraps
from os import PathLike, fspath
from reprlib import Repr
from types import NoneType, UnionType
from typing import Any, Final, ParamSpec, SupportsFloat, TypeVar, Union, get_args, get_origin, get_type_hints

from balancer.asking.in_python import in_python
from balancer.errors import CannotError, QuantityError, UsageError
from balancer.models.days import within

P = ParamSpec("P")
R = TypeVar("R")

_KINDS: Final[dict[Any, tuple[str, str]]] = {
    str: ("a text", "texts"),
    float: ("a number", "numbers"),
    int: ("a whole number", "whole numbers"),
    bool: ("True or False", "True or False"),
    date: ("a date", "dates"),
    datetime: ("a datetime, like datetime(2026, 11, 25, 18, 30)", "datetimes"),
    PathLike: ("a path", "paths"),
}
"""What a type is called, one and several."""

_REFUSED: Final = object()
_SHOWN: Final = 60
_SHORT: Final = Repr()
_SHORT.maxstring = _SHORT.maxother = _SHORT.maxlong = _SHOWN


def asked(**like: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """A method that is only given what its annotations allow; everything else is a UsageError that says what is wanted.

    like  what an argument may look like, where its type does not say it
    """

    def made(method: Callable[P, R]) -> Callable[P, R]:
        signature = inspect.signature(method)

        @wraps(method)
        def checked(*args: P.args, **kwargs: P.kwargs) -> R:
            try:
                bound = signature.bind(*args, **kwargs)
            except TypeError as error:
                raise _miscalled(method, signature, kwargs, error) from None
            for name, hint in _hints(method).items():
                if name in bound.arguments:
                    bound.arguments[name] = _taken(name, bound.arguments[name], hint, like.get(name, ""))
            try:
                return method(*bound.args, **bound.kwargs)
            except CannotError as error:  # what the engine says, it says to whoever types a line
                error.remedy = in_python(error.remedy)
                raise

        return checked

    return made


def _miscalled(
    method: Callable[..., object], signature: inspect.Signature, given: Mapping[str, object], error: TypeError
) -> UsageError:
    """A call with an argument too few or too many."""
    names = [name for name in signature.parameters if name != "self"]
    called = "load" if method.__name__ == "__init__" else method.__name__
    strange = [name for name in given if name not in names]
    near = get_close_matches(strange[0], names, n=1) if strange else []
    remedy = f"did you mean {near[0]}?" if near else f"it is {called}({', '.join(names)})"
    return UsageError("usage", f"{called}: {error}", remedy)


@cache
def _hints(method: Callable[..., object]) -> dict[str, Any]:
    """The types of the arguments, worked out when the method is first asked."""
    return {name: hint for name, hint in get_type_hints(method).items() if name != "return"}


def _taken(name: str, value: object, hint: object, like: str = "") -> Any:
    """A value as the method takes it. Raises UsageError for one that its type does not allow."""
    if hasattr(value, "tolist") and hasattr(value, "dtype"):
        value = value.tolist()
    kinds = [*_flat(hint)]
    if value is None and NoneType in kinds:
        return None
    kinds = [kind for kind in kinds if kind is not NoneType]
    for kind in kinds:
        found = _as(name, value, kind)
        if found is not _REFUSED:
            return found
    wanted = like or " or ".join(_called(kind) for kind in kinds)
    raise UsageError("usage", f"{name}: {_seen(value)} is not {' or '.join(map(_name, kinds))}", f"give {wanted}")


def _flat(hint: object) -> Iterator[Any]:
    """The types of a union, a generic one with what it holds."""
    if get_origin(hint) in (Union, UnionType):
        for each in get_args(hint):
            yield from _flat(each)
    else:
        yield hint


def _as(name: str, value: Any, kind: Any) -> Any:
    """A value of a kind, or _REFUSED. Raises UsageError for what is wrong inside of it."""
    origin = get_origin(kind) or kind
    if origin is Sequence:
        if isinstance(value, str | bytes | bytearray | memoryview | Mapping) or not isinstance(value, Collection):
            return _REFUSED
        (inner,) = get_args(kind)
        return tuple(_taken(name, each, inner) for each in value)
    if origin is Mapping:
        if not isinstance(value, Mapping):
            return _REFUSED
        key, inner = get_args(kind)
        return {_taken(name, each, key): _taken(f"{name}[{_seen(each)}]", value[each], inner) for each in value}
    if origin in (float, int):
        return _number(value, origin)
    if origin in (date, datetime):
        return _moment(name, value, origin)
    if origin is PathLike:
        return value if isinstance(value, PathLike) and isinstance(fspath(value), str) else _REFUSED
    return value if isinstance(value, origin) else _REFUSED


def _number(value: object, kind: type[float] | type[int]) -> object:
    """A number that can be reckoned with. True is none, although Python counts with it."""
    if isinstance(value, bool | str | bytes) or not isinstance(value, int if kind is int else SupportsFloat):
        return _REFUSED
    try:
        number = float(value)
    except Exception:  # of 400 digits, or whatever a stranger's object does when it is asked
        return _REFUSED
    return value if isinstance(value, int | float) else number


def _moment(name: str, value: object, kind: type[date]) -> object:
    """A date or a moment of the years of a bar; one without a zone is in this machine's."""
    if not isinstance(value, kind) or isinstance(value, datetime) is not (kind is datetime):
        return _REFUSED
    try:
        within(value, str(value))
        return value.astimezone() if isinstance(value, datetime) and value.utcoffset() is None else value
    except QuantityError as error:
        raise UsageError("usage", f"{name}: {error.reason}", error.remedy) from None


def _name(kind: Any) -> str:
    """What a kind is called in "5 is not a text"."""
    return _called(kind).partition(",")[0]


def _called(kind: Any) -> str:
    """What is wanted, in words."""
    origin = get_origin(kind) or kind
    if origin is Sequence:
        return f"a list of {_several(*get_args(kind))}"
    if origin is Mapping:
        key, value = get_args(kind)
        return f"a dict of {_several(key)} and their {_several(value)}"
    return _KINDS[origin][0]


def _several(hint: object) -> str:
    return " or ".join(_KINDS[kind][1] for kind in _flat(hint))


def _seen(value: object) -> str:
    """A value in a line, shortened."""
    try:
        shown = f'"{value[:_SHOWN]}"' if isinstance(value, str) else _SHORT.repr(value)
    except Exception:  # whatever a stranger's object does when it is looked at
        shown = f"a {type(value).__name__}"
    shown = " ".join(shown.split())
    return shown if len(shown) <= 2 * _SHOWN else f"{shown[: 2 * _SHOWN]}…"
