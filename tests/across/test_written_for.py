"""A house changes its standards, and every drink says what it was written for: no pour of it may change for that."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.across.houses import Bar, MadeBatch, answer, ask, bars, tried
from tests.across.test_one_decision import UNSURE, lines_of, row_of

pytestmark = pytest.mark.slow


def read_bar(bar: Bar, data: st.DataObject) -> Bar:
    """The house with one open batch of every syrup, each read and not so far off that it would be read again."""
    batches = []
    for syrup in bar.syrups:
        off = data.draw(st.sampled_from([0.0, 0.01, -0.03, 0.04, -0.05, 0.06]))
        brix = round(syrup.standard * (1.0 + off), 1)
        batches.append(MadeBatch(f"{syrup.name[:3].upper()}-1", syrup.id, "counts", -1, 2, brix))
    return replace(bar, batches=tuple(batches))


def with_other_standards(bar: Bar, data: st.DataObject) -> Bar:
    """The same house with other standards, every drink of it being written for the old ones."""
    syrups, old = [], {}
    for syrup in bar.syrups:
        standard = round(syrup.standard + data.draw(st.sampled_from([-3.0, -2.0, -0.6, 1.1, 2.0, 3.0])), 1)
        text = syrup.text.replace(f"standard: {syrup.standard:g} °Bx", f"standard: {standard:g} °Bx")
        assert text != syrup.text
        syrups.append(replace(syrup, standard=standard, text=text))
        old[syrup.name] = syrup.standard
    drinks = {
        name: text + "written for:\n" + "".join(f"  {key}: {old[key]:g} °Bx\n" for key in old if key in text)
        for name, text in bar.drinks.items()
    }
    return replace(bar, syrups=tuple(syrups), drinks=drinks)


def same_pours(one: dict[str, Any], other: dict[str, Any], where: str) -> None:
    """Two rows of JSON that must pour alike; an amount that is weighed is told in ml of the bottle, too."""
    found, wanted = row_of(one), row_of(other)
    assert (found.verdict, found.unit) == (wanted.verdict, wanted.unit), where
    numbers = (found.spec, found.exact, found.poured, found.as_written, found.after)
    assert numbers == pytest.approx(
        (wanted.spec, wanted.exact, wanted.poured, wanted.as_written, wanted.after), abs=1e-6
    ), where


@given(bar=bars(apart=False, most_syrups=4), data=st.data())
@tried(60)
def test_a_house_with_other_standards_pours_the_same(bar: Bar, data: st.DataObject) -> None:
    bar = read_bar(bar, data)
    other = with_other_standards(bar, data)
    with TemporaryDirectory() as folder:
        before, after = Path(folder) / "before", Path(folder) / "after"
        for where, house in ((before, bar), (after, other)):
            where.mkdir()
            house.write(where)
        tonights = [answer(specs, "tonight", "--json").data for specs in (before, after)]
        assume(not any(item["advice"] in UNSURE for data in tonights for item in data["batches"]))
        rows = [{(row["batch"], row["drink"]): row for row in data["drinks"]} for data in tonights]
        assert set(rows[0]) == set(rows[1])
        for key, row in rows[1].items():
            same_pours(row, rows[0][key], f"tonight, {key}")
        for was, now in zip(*[data["batches"] for data in tonights], strict=True):
            assert lines_of(now["conversions"]) == lines_of(was["conversions"])
            assert now["exceptions"] == was["exceptions"]
        assert tonights[1]["as_written"] == tonights[0]["as_written"]
        assert tonights[1]["assumed"] == []
        _same_paper(before, after)
        for name in bar.drinks:
            was, now = [answer(specs, "totals", name, "--json").data for specs in (before, after)]
            for state in ("mix", "served"):
                known = {key: value for key, value in was[state].items() if value is not None}
                assert {key: now[state][key] for key in known} == pytest.approx(known, rel=1e-9)
                assert {key for key in now[state] if now[state][key] is None} == was[state].keys() - known.keys()


def _same_paper(before: Path, after: Path) -> None:
    """Strips and labels: the same lines, and the same drinks that they are not for."""
    told = []
    for specs in (before, after):
        strips = answer(specs, "strips", "--out", str(specs / "strips.svg"), "--json").data["strips"]
        labels = answer(specs, "labels", "--out", str(specs / "labels.svg"), "--json").data["labels"]
        told.append(({one["batch"]: one for one in strips}, {one["batch"]: one for one in labels}))
    for was, now in zip(*told, strict=True):
        for batch in {*was, *now}:
            if any(one[batch].get("hanging") for one in (was, now) if batch in one):
                continue  # on another bottle: at what that one is corrected to, which is not the same in both
            lines = [lines_of(one[batch]["conversions"]) if batch in one else {} for one in (was, now)]
            assert lines[0] == lines[1], batch
            own = [one[batch]["own_pours"] if batch in one else [] for one in (was, now)]
            assert [(each["drink"], each["unit"]) for each in own[0]] == [
                (each["drink"], each["unit"]) for each in own[1]
            ], f"{batch}: a strip is there for one house only"


@given(bar=bars(apart=False, most_syrups=3, most_drinks=4), data=st.data())
@tried(40)
def test_whatever_a_batch_reads(bar: Bar, data: st.DataObject) -> None:
    """`rescale` at any strength, the others as they read; and a bottle mixed from that batch, every line by weight."""
    bar = read_bar(bar, data)
    other = with_other_standards(bar, data)
    syrup = data.draw(st.sampled_from(bar.syrups))
    brix = data.draw(st.floats(-9.0, 9.0).map(lambda off: min(max(round(syrup.standard + off, 2), 24.0), 79.5)))
    with TemporaryDirectory() as folder:
        before, after = Path(folder) / "before", Path(folder) / "after"
        for where, house in ((before, bar), (after, other)):
            where.mkdir()
            house.write(where)
        words = ("rescale", "--syrup", syrup.name, "--brix", f"{brix}", "--json", "--yes")
        was, now = [answer(specs, *words).data for specs in (before, after)]
        for one, wanted in zip(now["drinks"], was["drinks"], strict=True):
            same_pours(one, wanted, f"{syrup.name} at {brix} in {one['drink']}")
        assert lines_of(now["conversions"]) == lines_of(was["conversions"])
        assert now["exceptions"] == was["exceptions"]
        names = [each.name for each in bar.syrups]
        for name, text in bar.drinks.items():
            poured = [each for each in names if each in text]
            if len(poured) == 1:  # another one would go in at its standard, which is not the same in both
                line = ("bottle", name, "--serves", "6", "--from", f"{poured[0][:3].upper()}-1", "--json")
                bottles = [ask(specs, *line).data for specs in (before, after)]
                pairs = zip(*[bottle["lines"] for bottle in bottles], strict=True)
                assert all(one["g"] == pytest.approx(two["g"], rel=1e-9) for one, two in pairs), name
