"""How far the formulas are from every published value: `python tests/deviations.py`.

With `--write` the same table, and the page of formulas around it, go into docs/reference/formulas.md, and what of the
published values is from memory into docs/reference/sources.md.
"""

from __future__ import annotations

import inspect
import re
import sys
import textwrap
from itertools import groupby
from pathlib import Path

if not __package__:  # run as a script: make the project importable
    sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from balancer.properties import dilution, enthalpy, ethanol, freezing, mixture, refractometer, sucrose
from tests.reference import MEMORY, Row, read_rows
from tests.reference.facts import FOLDER as FACTS
from tests.reference.facts import facts

PAGE = Path(__file__).resolve().parents[1] / "docs" / "reference" / "formulas.md"
SOURCES = PAGE.with_name("sources.md")
MEMORY_BEGIN, MEMORY_END = "<!-- begin remembered -->", "<!-- end remembered -->"
MODULES = (sucrose, ethanol, refractometer, mixture, dilution, freezing, enthalpy)
NOTICE = (
    "<!-- Written by `python tests/deviations.py --write` from docstrings and the check values in tests/reference/. -->"
)
BEGIN, END = "<!-- begin deviations -->", "<!-- end deviations -->"

COLUMNS = "{:28}{:>7}{:>11}{:>11}  {:22}{:>8}{:>7}"
NOTES = """\
Deviation: ours minus the printed value, the largest in size, and what is allowed there (the row's
tolerance). Refused: rows outside the range of the formula, which must raise OutOfRangeError.
Shown: rows that are shown below and not asserted. From memory: remembered, the print was not
seen."""


def summary() -> str:
    """One line per table and source, then the rows that are shown and not asserted."""
    rows = read_rows()
    lines = [COLUMNS.format("table, unit, inputs; source", "points", "deviation", "allowed", "at", "refused", "shown")]
    for stem, table in groupby(rows, key=lambda row: row.stem):
        table_rows = list(table)
        unit = f", {table_rows[0].quantity.unit}" if table_rows[0].quantity.unit else ""
        lines.append(f"{_words(stem)}{unit}, of {', '.join(table_rows[0].inputs)}")
        lines.extend(_line(label, same) for label, same in sorted(by_label(table_rows).items()))
    shown = [row for row in rows if row.use == "listed"]
    lines += ["", NOTES, "", f"Shown, not asserted: {len(shown)}"]
    for _, same in groupby(sorted(shown, key=_likeness), key=_likeness):
        lines.extend(_shown(list(same)))
    return "\n".join(lines)


def by_label(rows: list[Row]) -> dict[str, list[Row]]:
    """Rows by their source; those whose print was not seen apart, and said so."""
    found: dict[str, list[Row]] = {}
    for row in rows:
        found.setdefault(f"{row.source}, {MEMORY}" if row.is_from_memory else row.source, []).append(row)
    return found


def remembered() -> str:
    """Every value in tests/reference that was remembered, by table: for docs/reference/sources.md."""
    lines = ["| table | source or row | from memory: how many values, or what |", "|---|---|---|"]
    rows = [row for row in read_rows() if row.is_from_memory]
    for (stem, source), same in groupby(rows, key=lambda row: (row.stem, row.source)):
        lines.append(f"| {_words(stem)} | [{source}] | {len(list(same))} |")
    for path in sorted(FACTS.glob("*.csv")):
        found: dict[str, list[str]] = {}
        for row in facts(path.stem):
            name, said = next(iter(row.values())), [text for text in row.values() if MEMORY in text]
            if said:
                found.setdefault(said[-1], []).append(name)
        lines += [f"| {_words(path.stem)} | {', '.join(names)} | {said} |" for said, names in found.items()]
    return "\n".join(lines)


def sources_page() -> str:
    """docs/reference/sources.md, with the values from memory as they are in tests/reference."""
    head, _, rest = SOURCES.read_text(encoding="utf-8").partition(MEMORY_BEGIN)
    return f"{head}{MEMORY_BEGIN}\n{remembered()}\n{MEMORY_END}{rest.partition(MEMORY_END)[2]}"


def _line(source: str, rows: list[Row]) -> str:
    used = {use: [row for row in rows if row.use == use] for use in ("check", "outside", "listed")}
    deviation, allowed, at = "-", "", ""
    if used["check"]:
        worst = max(used["check"], key=lambda row: abs(row.deviation()))
        deviation, allowed, at = f"{worst.deviation():+.2g}", f"{worst.tolerance:.2g}", _inputs(worst)
    counts = (len(used["outside"]) or "", len(used["listed"]) or "")
    return COLUMNS.format(f"    {source}", len(used["check"]), deviation, allowed, at, *counts).rstrip()


def _shown(rows: list[Row]) -> list[str]:
    """Rows of one table and source that share a note."""
    head = f"{_words(rows[0].stem)} [{rows[0].source}]: {rows[0].note}"
    values = "; ".join(f"at {_inputs(row)}: {row.expected} (ours {row.computed():.5g})" for row in rows)
    return [*textwrap.wrap(head, 100), *textwrap.wrap(values, 96, initial_indent="    ", subsequent_indent="    ")]


def _likeness(row: Row) -> tuple[str, str, str]:
    return row.stem, row.source, row.note


def _inputs(row: Row) -> str:
    return ", ".join(f"{value:g}" for value in row.inputs.values())


def _words(stem: str) -> str:
    return stem.replace("_", " ")


def page() -> str:
    """docs/reference/formulas.md."""
    parts = [
        "# Formulas",
        "",
        "Keys in square brackets are in [sources](sources.md), argument names in [symbols](symbols.md). Every formula",
        "refuses values outside its range with an `OutOfRangeError`.",
    ]
    for module in MODULES:
        parts += ["", f"## {module.__name__.rpartition('.')[2]}", "", _text(module.__doc__)]
        for name, function in inspect.getmembers(module, inspect.isfunction):
            if function.__module__ == module.__name__ and not name.startswith("_"):
                arguments = re.sub(r": float| -> float", "", str(inspect.signature(function)).replace("'", ""))
                parts += ["", f"### `{name}{arguments.replace(' = ', '=')}`", "", "```text"]
                parts += [_text(function.__doc__), "```"]
    parts += ["", "## Deviations from published values", "", BEGIN, "```text", summary(), "```", END, "", NOTICE, ""]
    return "\n".join(parts)


def _text(docstring: str | None) -> str:
    """A docstring without its examples; they are run by the tests."""
    return inspect.cleandoc(docstring or "").split("\n>>>")[0].rstrip()


def main(arguments: list[str]) -> None:
    if arguments == ["--write"]:
        PAGE.write_text(page(), encoding="utf-8")
        SOURCES.write_text(sources_page(), encoding="utf-8")
    elif arguments:
        sys.exit("usage: python tests/deviations.py [--write]")
    else:
        print(summary())


if __name__ == "__main__":
    main(sys.argv[1:])
