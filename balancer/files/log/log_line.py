"""One line of the batch log, to an entry and back.

Values written are plain: numbers in °Bx and g, ISO dates, a moment with its offset. Values read may be
text as a person writes it: "46,5 °Bx", 2 kg, 25.11.2026.
"""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any, Final, NamedTuple

from balancer.errors import QuantityError
from balancer.files.yaml import tree
from balancer.models.batch import CAUSES, EVENTS, LogEntry
from balancer.models.days import parse_day, parse_time, within
from balancer.models.lengths import too_long
from balancer.units import Kind, Quantity, format_number, parse_number, parse_quantity

STARTS: Final = re.compile(rb"\s*- +(?=\{)")
_FLOAT: Final = re.compile(r"-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?")
# What JSON lets stand in a string and YAML does not: line ends and controls of Unicode, and half characters.
_ESCAPED: Final = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
# Half a character, or none: no file, page or terminal can hold it.
_NO_CHARACTER: Final = re.compile("[\0\ud800-\udfff]")
_LONGEST: Final = 1_000
_MOST_NAMED: Final = 100
_LARGEST: Final = 1e15
_LONGEST_SHOWN: Final = 40


def entry_line(entry: LogEntry) -> bytes:
    """An entry as its line, which is JSON and YAML at once."""
    keys: dict[str, object] = {
        "batch": entry.batch,
        "syrup": entry.liquid,
        "event": entry.event,
        "brix": _number(entry.brix),
        "uncertainty": _number(entry.uncertainty),
        "acid": str(entry.acid) if entry.acid else None,
        "cause": entry.cause,
        "mass": _number(entry.mass),
        "made": _iso(entry.made),
        "discard": _iso(entry.discard),
        "by": _one_line(entry.by),
        "at": entry.at.isoformat(timespec="microseconds") if entry.at else None,
        "refers": list(entry.refers) or None,
        "only": entry.only,
        "note": _one_line(entry.note),
    }
    written = {key: value for key, value in keys.items() if value is not None}
    text = json.dumps(written, ensure_ascii=False, allow_nan=False)
    text = _ESCAPED.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
    return f"- {text}\n".encode()


def _number(value: float | None) -> float | int | None:
    return int(value) if value is not None and value == int(value) else value


def _one_line(text: str | None) -> str | None:
    return " ".join(_NO_CHARACTER.sub("\ufffd", text).split()) or None if text else None


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None


# Reading: every value may be what JSON gives for it, or text as a person writes it.


def _plain(value: object) -> str:
    """Text, a bare number included: `by: 7` is a name."""
    if isinstance(value, str):
        text = " ".join(value.split())
        if _NO_CHARACTER.search(text):
            shown = _NO_CHARACTER.sub("\ufffd", text)
            raise QuantityError(
                "invisible", text, f'"{_short(shown)}" holds half a character, or none', "type the text again"
            )
        if fault := too_long(text, _LONGEST):
            raise QuantityError("too-long", text, *fault)
        if text:
            return text
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < _LARGEST:
        return format_number(value)
    raise QuantityError("shape", "", "one text is wanted here", "write it in quotes")


def _short(value: object) -> str:
    text = str(value)
    return text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}…"


def _choice(what: str, known: Sequence[str]) -> Callable[[object], str]:
    def read(value: object) -> str:
        text = _plain(value).casefold()
        if text not in known:
            near = difflib.get_close_matches(text, known, n=1, cutoff=0.6)
            remedy = f'did you mean "{near[0]}"?' if near else f"known: {', '.join(known)}"
            raise QuantityError("choice", text, f'"{_short(text)}" is no {what} of this log', remedy)
        return text

    return read


def _amount(kind: Kind, unit: str, low: float, high: float, example: str) -> Callable[[object], float]:
    """A number in the unit the log keeps, or text with any unit of the kind; from low to high."""

    def read(value: object) -> float:
        number = float(value) if type(value) in (int, float) and abs(value) < _LARGEST else _written(value)  # type: ignore[arg-type]
        if not low <= number <= high:
            raise QuantityError(
                "value", str(value), f'"{value}" cannot be right: it must be above 0 and at most {high:g} {unit}',
                f"write it like {example}",
            )  # fmt: skip
        return number

    def _written(value: object) -> float:
        text = _plain(value)
        if _FLOAT.fullmatch(text):
            return float(text)
        try:
            return parse_number(text)
        except QuantityError:
            quantity = parse_quantity(text)
        if quantity.kind == "volume" and kind == "mass":
            raise QuantityError(
                "unit-kind", text, f'"{text}" is a volume, and the log keeps mass',
                f"weigh it and write it like {example}, or delete mass in the line",
            )  # fmt: skip
        if quantity.kind != kind:
            raise QuantityError("unit-kind", text, f'"{text}" does not fit here', f"write it like {example}")
        return quantity.base

    return read


def _acid(value: object) -> Quantity:
    text = _plain(value)
    quantity = parse_quantity(text)
    if quantity.kind != "concentration" or not 0 <= quantity.value <= 1600:
        raise QuantityError("value", text, f'"{text}" is no acid content', "write it like 46 g/l or 9 g/kg")
    return quantity


def _day(value: object) -> date:
    text = _plain(value)
    try:
        return within(date.fromisoformat(text), text) if len(text) == 10 else parse_day(text)
    except QuantityError:
        raise
    except ValueError:
        return parse_day(text)


def _time(value: object) -> datetime:
    return parse_time(_plain(value))


def _refers(value: object) -> tuple[str, ...]:
    listed = value if isinstance(value, list) else [value]
    if len(listed) > _MOST_NAMED:
        raise QuantityError("too-many", "", f"{len(listed):,} things are named here", f"name at most {_MOST_NAMED}")
    return tuple(_plain(item) for item in listed)


class _Key(NamedTuple):
    field: str
    read: Callable[[Any], object]


_KEYS: Final = {
    "batch": _Key("batch", _plain),
    "syrup": _Key("liquid", _plain),
    "event": _Key("event", _choice("event", EVENTS)),
    "brix": _Key("brix", _amount("strength", "°Bx", 0.001, 85.0, "46.5 °Bx")),
    "uncertainty": _Key("uncertainty", _amount("strength", "°Bx", 1e-6, 20.0, "0.3 °Bx")),
    "acid": _Key("acid", _acid),
    "cause": _Key("cause", _choice("cause", CAUSES)),
    "mass": _Key("mass", _amount("mass", "g", 0.001, 1e6, "2 kg")),
    "made": _Key("made", _day),
    "discard": _Key("discard", _day),
    "by": _Key("by", _plain),
    "at": _Key("at", _time),
    "refers": _Key("refers", _refers),
    "only": _Key("only", _choice("event", EVENTS)),
    "note": _Key("note", _plain),
}


def missing_key(fields: dict[str, Any]) -> str | None:
    """A key without which a line means nothing."""
    for key in ("batch", "event"):
        if key not in fields:
            return key
    if fields["event"] == "made" and "liquid" not in fields and "refers" not in fields:
        return "syrup"
    return "refers" if fields["event"] == "undo" and "refers" not in fields else None


def _no_duplicates(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key is written twice")
    return found


_DECODE: Final = json.JSONDecoder(object_pairs_hook=_no_duplicates).decode


def entry_from_json(line: bytes) -> LogEntry | None:
    """The entry of a line that is sound JSON; None for any other, which is then looked at closely."""
    start = STARTS.match(line)
    if start is None:
        return None
    fields: dict[str, Any] = {}
    try:
        for key, value in _DECODE(line[start.end() :].decode()).items():
            if value is not None and value != "":
                field, read = _KEYS[key]
                fields[field] = read(value)
    except (ValueError, KeyError, RecursionError):  # QuantityError is a ValueError
        return None
    return None if missing_key(fields) else entry_of(fields)


def entry_of(fields: dict[str, Any]) -> LogEntry:
    """The entry of what a line says, by field."""
    return LogEntry(**({"at": None} | fields))


def fields_of(node: tree.Mapping, document: tree.Document) -> dict[str, Any]:
    """What a group of keys says; what is wrong with a key or value is told and left out."""
    fields: dict[str, Any] = {}
    told: set[str] = set()
    for name, value in node.entries:
        key = _KEYS.get(name.text)
        if key is None:
            near = difflib.get_close_matches(name.text.casefold(), _KEYS, n=1, cutoff=0.6)
            told.update(near)
            remedy = f'did you mean "{near[0]}"?' if near else f"known here: {', '.join(_KEYS)}"
            document.report("unknown-key", name, f'unknown key "{name.text}"', remedy)
            continue
        try:
            plain = _plain_node(value)
            if plain is not None:
                fields[key.field] = key.read(plain)
        except QuantityError as error:
            told.add(name.text)
            document.report(error.code, value, _reason(error), error.remedy)
    missing = missing_key(fields)
    if missing and missing not in told:
        document.report("missing-key", node, f'"{missing}" is missing here', f'add "{missing}": … to the line')
    return fields


def _reason(error: QuantityError) -> str:
    """What is wrong with a value; an endless one is not repeated."""
    return error.reason.replace(error.text, _short(error.text)) if len(error.text) > _LONGEST else error.reason


def _plain_node(node: tree.Node) -> str | list[str] | None:
    """Text or a list of texts; None for nothing."""
    if isinstance(node, tree.Scalar):
        empty = not node.text.strip() or (not node.quoted and node.text in ("~", "null"))
        return None if empty else node.text
    if isinstance(node, tree.Sequence) and all(isinstance(item, tree.Scalar) for item in node.items):
        return [item.text for item in node.items if isinstance(item, tree.Scalar)]
    raise QuantityError("shape", "", "one value is wanted here, not a group of keys", "write one value")
