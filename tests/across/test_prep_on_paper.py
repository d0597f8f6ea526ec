"""What a prep cook reads on the printed sheet is what its JSON, and so the engine, says: houses made at random."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import given

from tests.across.houses import CLOCK, Bar, bars, tried
from tests.prep_sheet import day, figure, number, printed

pytestmark = pytest.mark.slow

TITLES: Final = {
    "throw out": "Discard",
    "last day": "Use by today or tomorrow",
    "read": "Stir and read",
    "correct": "Correct, stir, read",
    "make": "Make",
}
"""The sections of the page, by what JSON calls what is to be done, in the order of the page."""
END: Final = "Within tolerance, leave: "


def sections(text: str) -> dict[str, str]:
    """The page's text by section; each title stands before the word of its column for initials."""
    found: dict[str, str] = {}
    starts = {
        todo: match.start()
        for todo, title in TITLES.items()
        if (match := re.search(rf"{title} (?:reading )?(?:weight, g )?initials ", text))
    }
    assert [*starts.values()] == sorted(starts.values())
    ends = [*[*starts.values()][1:], text.rfind(END) if END in text else len(text)]
    for (todo, start), end in zip(starts.items(), ends, strict=True):
        found[todo] = text[start:end]
    return found


def rows(section: str, heads: list[str]) -> list[str]:
    """What stands behind each head, in their order, up to the next."""
    starts: list[int] = []
    for head in heads:
        starts.append(section.index(f" {head} ", starts[-1] + 1 if starts else 0))
    return [f"{section[start:end]} " for start, end in zip(starts, [*starts[1:], len(section)], strict=True)]


def reading(shows: dict[str, Any]) -> str:
    """What the refractometer should read, on the sample as it is or with water in it."""
    value = shows["reading_brix"] if shows["sample_g"] is None else shows["diluted_reading_brix"]
    return f"should read {number(value)}"


def check_correction(row: dict[str, Any], shown: str) -> None:
    add = row["add"]
    assert f" {row['brix']:g} → {row['standard_brix']:g} °Bx " in shown
    assert f" {figure(add['g_per_kg'])} {add['name']} per kg " in shown
    if add["first_g_per_kg"] > 0.0:
        assert f" {figure(add['first_g_per_kg'])} first, per kg " in shown
    else:
        assert "read again before adding any" in shown
        assert "first, per kg" not in shown
    assert add["mass_g"] is None  # the logs of these houses weigh nothing
    assert f"then your refractometer {reading(row['shows'])} " in shown


def check_make(told: list[dict[str, Any]], shown: str) -> None:
    for made, said in zip(told, rows(shown, [made["name"] for made in told]), strict=True):
        assert ("make more" in said) == (made["runs_out"] is not None)
        assert f"refractometer {reading(made['shows'])} " in said  # there is no alcohol in these syrups


@given(bar=bars())
@tried(40)
def test_every_row_of_the_printed_prep_sheet_is_that_of_json(bar: Bar) -> None:
    with tempfile.TemporaryDirectory() as folder:
        data, text = printed(Path(folder), bar.write(Path(folder)), CLOCK)
    told = {todo: [row for row in data["batches"] if row["todo"] == todo] for todo in TITLES if todo != "make"}
    shown = sections(text)
    assert {*shown} == {todo for todo, found in told.items() if found} | ({"make"} if data["make"] else set())
    for todo, found in told.items():
        if not found:
            continue
        heads = [f"{row['batch']} {row['name']}" for row in found]
        assert len(re.findall(r" [A-Z]{3}-[0-9]+ [a-z]+ (?:syrup|juice) ", shown[todo])) == len(heads)
        for row, said in zip(found, rows(shown[todo], heads), strict=True):
            assert f"open, use by {day(row['discard'])} " in said
            if todo == "correct":
                check_correction(row, said)
            elif todo == "read":
                assert f"refractometer {reading(row['shows'])} " in said
                assert f" {row['reason']} " in said
            elif todo == "last day":
                assert ("make more" in said) == bool(row["make_more"])
    if data["make"]:
        check_make(data["make"], shown["make"])
    left = [f"{row['batch']} {row['name']}" for row in data["batches"] if row["todo"] == "leave"]
    assert text.count(END) == (1 if left else 0)
    if left:
        assert text.partition(END)[2].startswith(", ".join(left) + " ")
