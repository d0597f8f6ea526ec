"""The pages of sources, symbols and formulas say what the code says, all of it and once."""

from __future__ import annotations

import csv
import inspect
import re
from collections import Counter

from tests import deviations
from tests.properties.inventory import REFERENCE_PAGES, ROOT, public_formulas, source_keys
from tests.reference import FOLDER, read_rows
from tests.reference.facts import facts

REMEMBERED = re.compile(r"memory|recalled|remembered")


def test_no_source_is_defined_twice() -> None:
    keys = source_keys()

    assert sorted(keys) == sorted(set(keys))


def test_every_key_used_in_the_formulas_and_check_values_has_an_entry() -> None:
    formulas = "\n".join(path.read_text("utf-8") for path in (ROOT / "balancer" / "properties").glob("*.py"))
    used = set(re.findall(r"\[([A-Z][A-Z0-9-]+)\]", formulas)) | {row.source for row in read_rows()}

    assert used - set(source_keys()) == set()


def test_every_source_is_used() -> None:
    texts = [path.read_text("utf-8") for path in (ROOT / "balancer").rglob("*.py")]
    texts += [path.read_text("utf-8") for path in (ROOT / "tests").rglob("*.py")]
    cited = set(re.findall(r"\[([A-Z][A-Z0-9-]+)\]", "\n".join(texts))) | {row.source for row in read_rows()}

    assert set(source_keys()) - cited == set()


def test_every_argument_is_described_once_in_the_symbols() -> None:
    described = re.findall(r"^\| `(\w+)` \|", (REFERENCE_PAGES / "symbols.md").read_text("utf-8"), re.MULTILINE)
    arguments = {name for formula in public_formulas() for name in inspect.signature(formula).parameters}

    assert sorted(described) == sorted(arguments)


def test_every_docstring_describes_its_arguments_and_gives_source_range_and_errors() -> None:
    for formula in public_formulas():
        lines = [line.strip() for line in str(formula.__doc__).splitlines()]
        starts = [*inspect.signature(formula).parameters, "Source:", "Range:", "Accuracy:", "Raises:"]
        found = [start for start in starts if any(line.split(" ")[0] == start for line in lines)]

        assert found == starts, formula.__name__


def test_page_of_formulas_is_up_to_date() -> None:
    assert deviations.PAGE.read_text("utf-8") == deviations.page(), "run: python tests/deviations.py --write"


def test_every_value_from_memory_is_marked_in_the_table_of_deviations() -> None:
    """Counted in the raw files: a line of its own for each table and source, with as many values."""
    page = deviations.PAGE.read_text("utf-8")
    for path in FOLDER.glob("*.csv"):
        with path.open(encoding="utf-8", newline="") as lines:
            found = Counter(row["source"] for row in csv.DictReader(lines) if REMEMBERED.search(" ".join(row.values())))
        table = page.partition(f"\n{path.stem.replace('_', ' ')}, ")[2]
        for source, count in found.items():
            line = next(line for line in table.splitlines() if line.startswith(f"    {source}, from memory"))
            assert sum(map(int, re.findall(r"(?<= )[0-9]+(?= |$)", line[:36]))) == count, (path.stem, source)


def test_every_value_from_memory_is_marked_in_the_sources() -> None:
    """A source of such a value says so in its entry, and the list at the end has every table and every row."""
    text = deviations.SOURCES.read_text("utf-8")
    entries = {entry.partition("]")[0]: entry for entry in text.split("- **[")[1:]}
    listed = text.partition("## Values from memory")[2]
    for row in read_rows():
        if row.is_from_memory:
            assert "rom memory" in entries[row.source], row.source
            assert f"| {row.stem.replace('_', ' ')} | [{row.source}] |" in listed
    for path in (FOLDER / "facts").glob("*.csv"):
        for fact in facts(path.stem):
            if REMEMBERED.search(" ".join(fact.values())):
                name = next(iter(fact.values()))
                assert re.search(rf"^\| {path.stem.replace('_', ' ')} \| .*{re.escape(name)}", listed, re.MULTILINE), (
                    name
                )


def test_page_of_sources_is_up_to_date() -> None:
    assert deviations.SOURCES.read_text("utf-8") == deviations.sources_page(), "run: python tests/deviations.py --write"


def test_table_of_deviations_fits_a_terminal() -> None:
    assert [line for line in deviations.summary().splitlines() if len(line) > 100] == []


def test_check_values_are_plain_utf8_with_one_header() -> None:
    for path in FOLDER.glob("*.csv"):
        text = path.read_bytes().decode("utf-8")
        assert "\r" not in text, path.name
        assert text.endswith("\n"), path.name
