"""The map that was used, as a file to keep and edit."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path

from balancer.files.sheets.headings import Places, folded_heading
from balancer.files.sheets.spreadsheet import letter
from balancer.files.yaml.scalar import plain_or_quoted
from balancer.models.import_map import ImportMap, numbered
from balancer.units import format_quantity


def map_text(places: Places, used: ImportMap, path: str, doubted: Collection[int] = ()) -> str:
    """The map that was used, as a file.

    doubted  unread columns that seem to hold pours: a map never lets them be passed over by itself
    """
    lines = [f"# how {plain_or_quoted(Path(path).name)} was read", *_columns(places)]
    lines += [f"{key}: {text}" for key, text in _said_for_all(used) if text]
    unread = (column.heading for column in places.unread if column.heading and column.place not in doubted)
    lines += _listed("ignore", dict.fromkeys((*used.ignore, *unread)))
    for key, names in (("ingredients", used.ingredients), ("glasses", used.glasses)):
        if names:
            lines += [f"{key}:", *(f"  {plain_or_quoted(name)}: {plain_or_quoted(to)}" for name, to in names.items())]
    lines += [*_listed("leave out", used.leave_out), *_listed("pantry", used.pantry)]
    return "\n".join(lines) + "\n"


def _columns(places: Places) -> list[str]:
    """What every column holds; a column for an ingredient is listed apart."""
    if places.layout == "blocks":
        return ["layout: blocks"]
    own = {name: index for name, index in places.columns.items() if numbered(name)[1] not in places.called}
    lines = ["columns:", *(f"  {name}: {plain_or_quoted(_headed(places, index))}" for name, index in own.items())]
    lines.append(f"heading row: {places.heading_row}")
    at = [places.columns[f"amount {number}"] for number in places.called]
    return lines + _listed("ingredient columns", [_headed(places, index) for index in at])


def _listed(key: str, texts: Iterable[str]) -> list[str]:
    lines = [f"  - {plain_or_quoted(text)}" for text in texts]
    return [f"{key}:", *lines] if lines else []


def _headed(places: Places, index: int) -> str:
    """A column as a map names it: by its heading, or by its letter where that is not clear."""
    headed = " ".join(places.headings[index].split()) if index < len(places.headings) else ""
    twice = sum(folded_heading(cell) == folded_heading(headed) for cell in places.headings) > 1
    return letter(index) if twice or not folded_heading(headed) else headed


def _said_for_all(used: ImportMap) -> tuple[tuple[str, str | None], ...]:
    """What the map says of all that do not say it themselves, and of the file."""
    delimiter = "tab" if used.delimiter == "\t" else used.delimiter and plain_or_quoted(used.delimiter)
    return (
        ("unit", used.unit),
        ("method", used.method and plain_or_quoted(used.method)),
        ("top", format_quantity(used.top) if used.top else None),
        ("delimiter", delimiter),
        ("encoding", used.encoding),
    )
