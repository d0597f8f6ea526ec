"""One bottle, one answer: every door of the program tells the same pours, and they are those of the rules."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any, Final

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from balancer.engine.drink.bar import Bar as LoadedBar
from balancer.files.house.load import load
from tests.across.houses import Bar, MadeBatch, answer, ask, bars, taken, tried
from tests.across.oracle import Amounts, Oracle, Row, SyrupPour, decide

UNSURE: Final = ("read again", "pull")
"""Advice on a strength that nobody pours by."""
Lines = dict[tuple[str, float], float]
"""By unit and written pour, what to pour instead."""


@contextmanager
def written(bar: Bar) -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as folder:
        yield bar.write(Path(folder))


def oracle_of(bar: Bar, specs: Path) -> Oracle:
    return Oracle(bar.house, {syrup.id: syrup.tolerance for syrup in bar.syrups}, LoadedBar(load(specs).specs))


def amount(pour: dict[str, Any], what: str) -> float:
    """The written, exact or poured amount, in the unit that the pour is made in."""
    found = pour[f"{what}_{pour['unit']}"]
    assert isinstance(found, float), f"{what} of {pour}"
    return found


def row_of(data: dict[str, Any]) -> Row:
    """A row of JSON as the oracle says it."""
    pour = data["pour"]
    return Row(
        data["verdict"],
        pour["unit"],
        amount(pour, "spec"),
        amount(pour, "exact"),
        amount(pour, "poured"),
        data["sugar_as_written_percent"],
        data["sugar_after_percent"],
    )


def assert_same(found: Row, wanted: Row, where: str) -> None:
    assert (found.verdict, found.unit) == (wanted.verdict, wanted.unit), f"{where}: {found} is not {wanted}"
    numbers = (found.spec, found.exact, found.poured, found.as_written, found.after)
    expected = (wanted.spec, wanted.exact, wanted.poured, wanted.as_written, wanted.after)
    assert numbers == pytest.approx(expected, abs=1e-6), f"{where}: {found} is not {wanted}"


def lines_of(conversions: list[dict[str, Any]]) -> Lines:
    """Conversions as they hang on a bottle."""
    found: Lines = {}
    for one in conversions:
        unit = one.get("unit") or ("g" if one.get("spec_g") is not None else "ml")
        found[unit, round(one[f"spec_{unit}"], 6)] = round(one[f"poured_{unit}"], 6)
    return found


def rows_of(tonight: dict[str, Any]) -> dict[str, dict[str, Row]]:
    """By batch and drink."""
    found: dict[str, dict[str, Row]] = {}
    for data in tonight["drinks"]:
        assert data["drink"] not in found.setdefault(data["batch"], {}), "two rows for one drink and batch"
        found[data["batch"]][data["drink"]] = row_of(data)
    return found


def assumed_rows(tonight: dict[str, Any]) -> dict[str, dict[str, Row]]:
    """By syrup that nobody read and drink."""
    return {one["syrup"]: {row["drink"]: row_of(row) for row in one["drinks"]} for one in tonight["assumed"]}


def unread_and_apart(bar: Bar, oracle: Oracle) -> set[str]:
    """The syrups at standard for want of a reading that some drink is written for another strength of."""
    read = {batch.liquid for batch, _ in bar.read}
    return {
        syrup
        for syrup, standard in bar.standards.items()
        if syrup not in read
        and any(oracle.wanted(oracle.bar.specs.drinks[drink], syrup) != standard for drink in pouring(oracle, syrup))
    }


def pouring(oracle: Oracle, syrup: str) -> set[str]:
    return {drink.id for drink in oracle.bar.specs.drinks.values() if any(pour.of == syrup for pour in drink.pours)}


@given(bar=bars())
@tried(120)
def test_tonight_is_the_decision(bar: Bar) -> None:
    with written(bar) as specs:
        oracle = oracle_of(bar, specs)
        counting = oracle.strengths(bar.read)
        data = answer(specs, "tonight", "--json").data
        found, assumed = rows_of(data), assumed_rows(data)
        wanted_batches = {one.id for one, _ in bar.read if pouring(oracle, one.liquid)}
        assert set(found) == wanted_batches, "rows for what may be poured, and for nothing else"
        for batch, brix in bar.read:
            rows = found.get(batch.id, {})
            assert set(rows) == pouring(oracle, batch.liquid)
            for drink, row in rows.items():
                wanted = oracle.rows(drink, counting | {batch.liquid: brix})[batch.liquid]
                assert_same(row, wanted, f"{batch.id} in {drink}")
        assert set(assumed) == unread_and_apart(bar, oracle)
        for syrup, rows in assumed.items():
            assert set(rows) == pouring(oracle, syrup)
            for drink, row in rows.items():
                assert_same(row, oracle.rows(drink, counting)[syrup], f"{syrup}, which nobody read, in {drink}")


@given(bar=bars())
@tried(80)
def test_a_measured_juice_has_lines_of_its_own(bar: Bar) -> None:
    with written(bar) as specs:
        juices = answer(specs, "tonight", "--json").data["ingredients"]
        wanted = {}
        if bar.juice is not None and bar.juice.acid is not None:
            wanted = {bar.juice.id: oracle_of(bar, specs).juice_lines("lime-juice", bar.juice.acid)}
        found = {one["batch"]: lines_of(one["conversions"]) for one in juices}
        assert {batch: lines for batch, lines in found.items() if lines} == {
            batch: pytest.approx(lines, abs=1e-6) for batch, lines in wanted.items() if lines
        }


@given(bar=bars(), data=st.data())
@tried(80)
def test_rescale_takes_the_others_as_they_read_or_alone(bar: Bar, data: st.DataObject) -> None:
    syrup = data.draw(st.sampled_from(bar.syrups))
    brix = data.draw(st.floats(-12.0, 12.0).map(lambda off: min(max(round(syrup.standard + off, 2), 24.0), 79.5)))
    with written(bar) as specs:
        oracle = oracle_of(bar, specs)
        for extra, others in (([], oracle.strengths(bar.read)), (["--alone"], {})):
            words = ["rescale", "--syrup", syrup.name, "--brix", f"{brix}", "--json", *extra]
            rows = {one["drink"]: row_of(one) for one in answer(specs, *words).data["drinks"]}
            assert set(rows) == pouring(oracle, syrup.id)
            for drink, row in rows.items():
                wanted = oracle.rows(drink, others | {syrup.id: brix})[syrup.id]
                assert_same(row, wanted, f"{syrup.id} at {brix} in {drink} {extra}")


@given(bar=bars())
@tried(120)
def test_no_pour_moves_against_its_own_error_nor_beyond_it(bar: Bar) -> None:
    with written(bar) as specs:
        oracle = oracle_of(bar, specs)
        for batch, rows in rows_of(answer(specs, "tonight", "--json").data).items():
            for drink, row in rows.items():
                moved = row.poured - row.spec
                assert moved * (row.exact - row.spec) >= -1e-9, f"{batch} in {drink} moves the wrong way: {row}"
                limit = oracle.amounts(row.unit).first_past(row.spec, row.exact)
                assert abs(moved) <= abs(limit - row.spec) + 1e-6, f"{batch} in {drink} moves beyond: {row}"


def strings(data: object) -> set[str]:
    """Every text in a JSON value."""
    if isinstance(data, dict):
        return set().union(*[strings(value) for value in data.values()])
    if isinstance(data, list):
        return set().union(*[strings(value) for value in data])
    return {data} if isinstance(data, str) else set()


def exceptions(rows: dict[str, Row], lines: Lines) -> set[str]:
    """Drinks that do not pour what the bottle says for their written amount."""
    return {
        drink
        for drink, row in rows.items()
        if abs(lines.get((row.unit, round(row.spec, 6)), row.spec) - row.poured) > 1e-5
    }


@given(bar=bars(most_syrups=4, most_drinks=6))
@tried(28)
def test_strip_and_label_say_what_tonight_says(bar: Bar) -> None:
    assume(bar.read)
    with written(bar) as specs:
        oracle = oracle_of(bar, specs)
        tonight = answer(specs, "tonight", "--json").data
        rows = rows_of(tonight)
        screen = tonight_screen(specs)
        strips = answer(specs, "strips", "--out", str(specs / "strips.svg"), "--json").data
        labels = answer(specs, "labels", "--out", str(specs / "labels.svg"), "--json").data
        names = {drink.id: drink.name for drink in oracle.bar.specs.drinks.values()}
        hung = {strip["batch"]: strip for strip in strips["strips"]}
        none = {item["batch"]: item["why"] for item in strips["without"]}
        stuck = {label["batch"]: label for label in labels["labels"]}
        standing = {item["batch"]: item for item in tonight["batches"]}
        for batch, brix in bar.read:
            said, mine = standing[batch.id], rows.get(batch.id, {})
            lines = lines_of(said["conversions"])
            if said["advice"] in UNSURE:
                assert batch.id not in hung
                continue
            for (unit, spec), poured in lines.items():
                so_much = [drink for drink, row in mine.items() if (row.unit, round(row.spec, 6)) == (unit, spec)]
                own = oracle.own_line(batch.liquid, brix, unit, spec, so_much)
                assert poured == pytest.approx(own, abs=1e-5), f"{batch.id}: {spec} {unit} → {poured}"
                assert poured != spec
            odd = exceptions(mine, lines)
            for drink in odd:
                assert names[drink] in screen, f"{batch.id}: tonight does not name {names[drink]}\n{screen}"
            label = stuck[batch.id]
            if not label["hanging"]:
                assert lines_of(label["conversions"]) == lines, f"label and tonight differ on {batch.id}"
            # What hangs on another bottle is left to the strip, and then another pour may have the line.
            astray = exceptions(mine, lines_of(label["conversions"]))
            assert astray <= strings(label), f"the label of {batch.id} does not name {astray}"
            if batch.id in hung:
                assert lines_of(hung[batch.id]["conversions"]) == lines, f"strip and tonight differ on {batch.id}"
                assert odd <= strings(hung[batch.id]), f"the strip of {batch.id} does not name {odd}"
            elif none[batch.id] == "as written":
                assert not [drink for drink, row in mine.items() if abs(row.poured - row.spec) > 1e-6]
        if bar.juice is not None and bar.juice.acid is not None:
            own_lines = {
                key: round(poured, 6) for key, poured in oracle.juice_lines("lime-juice", bar.juice.acid).items()
            }
            assert lines_of(stuck[bar.juice.id]["conversions"]) == pytest.approx(own_lines)
            if own_lines:
                assert lines_of(hung[bar.juice.id]["conversions"]) == pytest.approx(own_lines)


def tonight_screen(specs: Path) -> str:
    """All that `tonight` can print."""
    done = ask(specs, "tonight", "--all")
    return done.out if done.code == 0 else answer(specs, "tonight").out


@given(bar=bars(), data=st.data())
@tried(80)
def test_measure_rescale_and_tonight_agree(bar: Bar, data: st.DataObject) -> None:
    """A reading of an open bottle, taken at its word: the same advice and lines as asking for that strength."""
    assume(bar.read)
    batch, brix = data.draw(st.sampled_from(bar.read))
    reading = data.draw(st.floats(-4.0, 4.0).map(lambda off: round(min(max(brix + off, 24.0), 79.0), 1)))
    with written(bar) as specs:
        measured = answer(specs, "measure", f"{reading}", "--batch", batch.id, "--json").data
        words = ["rescale", "--syrup", batch.liquid, "--brix", repr(measured["brix"]), "--json"]
        asked = answer(specs, *words).data
        tonight = answer(specs, "tonight", "--json").data
        standing = next(item for item in tonight["batches"] if item["batch"] == batch.id)
        read_now = answer(specs, "rescale", "--syrup", batch.liquid, "--brix", f"{brix}", "--json").data
    if asked["advice"] not in UNSURE:
        assert (measured["advice"], measured["reason"]) == (asked["advice"], asked["reason"])
        assert lines_of(measured["conversions"]) == pytest.approx(lines_of(asked["conversions"]))
    if read_now["advice"] not in UNSURE:
        assert (standing["advice"], standing["reason"]) == (read_now["advice"], read_now["reason"])
        assert lines_of(standing["conversions"]) == lines_of(read_now["conversions"])
    rows = {one["drink"]: one for one in tonight["drinks"] if one["batch"] == batch.id}
    assert {one["drink"]: one["pour"] for one in read_now["drinks"]} == {
        drink: one["pour"] for drink, one in rows.items()
    }
    if "drinks" in measured:
        assert [one["pour"] for one in measured["drinks"]] == [one["pour"] for one in asked["drinks"]]


@given(bar=bars(most_syrups=3, most_drinks=5))
@tried(16)
def test_prep_corrects_what_the_rules_say_is_off(bar: Bar) -> None:
    """The list of prep shows no pours; what it does with a bottle must not deny what the bar is told to do."""
    with written(bar) as specs:
        tonight = {item["batch"]: item for item in answer(specs, "tonight", "--json").data["batches"]}
        listed = answer(specs, "sheet", "prep", "--out", str(specs / "prep.svg"), "--json").data["batches"]
    todo: dict[str, set[str]] = {}
    for item in listed:
        todo.setdefault(item["batch"], set()).add(item["todo"])
    limits = {syrup.id: syrup.tolerance or bar.house.batch_tolerance for syrup in bar.syrups}
    for batch, brix in bar.read:
        is_off = abs(brix - bar.standards[batch.liquid]) > limits[batch.liquid] + 1e-9
        if tonight[batch.id]["advice"] in UNSURE:
            assert "read" in todo[batch.id]
            assert "correct" not in todo[batch.id]
        elif tonight[batch.id]["advice"] == "correct the batch" and is_off:
            assert "correct" in todo[batch.id], f"{batch.id}: prep does not correct what tonight says to correct"
        if "leave" in todo[batch.id]:
            assert not is_off
    for batch in bar.batches:
        if batch.last < 0:
            assert todo[batch.id] == {"throw out"}


COUNTED: Final = re.compile(
    r"(?P<ids>(?:[A-Z]{3}-\d+|[a-z]+ syrup)(?:, (?:[A-Z]{3}-\d+|[a-z]+ syrup))*)"
    r" changes? (?P<number>\d+) (?P<noun>drinks?)"
)
OTHERS: Final = re.compile(r"(?P<number>\d+) others? as written")
SAME_POUR: Final = re.compile(r"(?<![\d./])(\d+(?:[./]\d+)?(?: \d+/\d+)?) → \1(?![\d./]|  ?\d+/)")
PLURAL: Final = re.compile(
    r"(?<![\d.,/])1 (?:more )?(?:drinks|others|batches|bottles|strips|labels|pages|syrups|cards)\b"
)
BROKEN_WORD: Final = re.compile(r"\b(?:batche|bottels|drinkes)\b")


@given(bar=bars())
@tried(120)
def test_the_first_line_is_true(bar: Bar) -> None:
    with written(bar) as specs:
        done = answer(specs, "tonight")
        data = answer(specs, "tonight", "--json").data
        oracle = oracle_of(bar, specs)
    drinks = oracle.bar.specs.drinks
    unsure = {item["batch"] for item in data["batches"] if item["advice"] in UNSURE}
    rows = rows_of(data) | {syrup.replace("-", " "): mine for syrup, mine in assumed_rows(data).items()}
    moved = {
        batch: {drink for drink, row in mine.items() if abs(row.poured - row.spec) > 1e-6}
        for batch, mine in rows.items()
    }
    if bar.juice is not None and bar.juice.acid is not None:
        moved[bar.juice.id] = set(oracle.juice_pours("lime-juice", bar.juice.acid))
    sure = set().union(*[mine for batch, mine in moved.items() if batch not in unsure])
    stuck = {drink for mine in rows.values() for drink, row in mine.items() if row.verdict == "out of reach"}
    text = re.sub(r"\s+", " ", done.out)
    first = text.partition(" more: ")[0] if "more: " not in done.first else done.first
    if "every drink as written" in first:
        assert not any(moved.values()), f"something moves under {done.first!r}"
        assert not stuck, f"something is out of reach under {done.first!r}"
    counted = COUNTED.search(text)
    if counted:
        mine = set().union(*[moved.get(batch, set()) for batch in counted["ids"].split(", ")])
        assert int(counted["number"]) in {len(mine), len(sure)}, f"{counted[0]!r}, but {mine or sure}"
        assert (counted["noun"] == "drink") == (counted["number"] == "1")
    others = OTHERS.search(text)
    if others:
        still = {drink.id for drink in drinks.values()} - sure - stuck
        assert int(others["number"]) <= len(still), f"{others[0]!r}, but only {still} pour as written"
    for wrong in (SAME_POUR, PLURAL, BROKEN_WORD):
        assert not wrong.search(text), f"{wrong.search(text)} in {done.out}"


def first_lines(text: str) -> str:
    """The first sentence of an answer, however many lines it runs on; rows begin further left than its other lines."""
    head, *rest = text.splitlines()
    stop = next((place for place, row in enumerate(rest) if not row.startswith("    ")), len(rest))
    return " ".join([head, *(row.strip() for row in rest[:stop])])


def poured_of(data: dict[str, Any]) -> tuple[Lines, list[str], dict[str, float]]:
    """What a batch comes to: its lines, the drinks they are not for, and what each drink pours."""
    rows = {one["drink"]: row_of(one) for one in data["drinks"]}
    return lines_of(data["conversions"]), data["exceptions"], {drink: row.poured for drink, row in rows.items()}


def stuck_in(data: dict[str, Any]) -> set[str]:
    """The drinks that no pour is right for because of this batch."""
    return {
        one["drink"]
        for one in data["drinks"]
        if one["drink"] in data["exceptions"] and row_of(one).verdict == "out of reach"
    }


@given(bar=bars(apart=True), data=st.data())
@tried(100)
def test_the_first_line_of_rescale_is_true_of_every_drink(bar: Bar, data: st.DataObject) -> None:
    """And a correction is offered only with what is poured then, where that is not as written, and not for nothing."""
    syrup = data.draw(st.sampled_from(bar.syrups))
    brix = data.draw(st.floats(-6.0, 6.0).map(lambda off: min(max(round(syrup.standard + off, 1), 24.0), 79.5)))
    with written(bar) as specs:
        names = {drink.id: drink.name for drink in oracle_of(bar, specs).bar.specs.drinks.values()}
        words = ["rescale", "--syrup", syrup.name, "--brix"]
        said = answer(specs, *words, f"{brix}", "--json").data
        text = answer(specs, *words, f"{brix}", "--all").out
        corrected = answer(specs, *words, f"{syrup.standard}", "--json").data
    assume(said["advice"] not in UNSURE)
    first, everything = first_lines(text), " ".join(text.split())
    rows = {one["drink"]: row_of(one) for one in said["drinks"]}
    if first.startswith("change pours"):
        odd = {drink for drink in exceptions(rows, lines_of(said["conversions"])) if rows[drink].verdict == "new pour"}
        for drink in odd | set(said["exceptions"]):
            assert names[drink] in first, f"{names[drink]} pours otherwise under {first!r}"
    elif first.startswith("as written"):
        assert not said["exceptions"], f"something is not as written under {first!r}"
        assert "new pour" not in {row.verdict for row in rows.values()}, f"something moves under {first!r}"
    now, then = poured_of(said), poured_of(corrected)
    is_right_then = not then[0] and not then[1]
    stuck_now, stuck_then = stuck_in(said), stuck_in(corrected)
    if "correct it" in everything:
        assert ("corrected, pour" in everything) != is_right_then, everything
        assert is_right_then or then != now or stuck_then < stuck_now, f"nothing else is poured: {everything}"
        assert said["advice"] == "correct the batch" or stuck_then <= stuck_now, f"a drink is lost by it: {everything}"
    elif stuck_then <= stuck_now and said["correct"]["add"] and said["advice"] == "change pours":
        assert (then, stuck_then) == (now, stuck_now), f"a correction is not offered: {everything}"


@given(bar=bars(styles=("jigger", "scale")), data=st.data())
@tried(40)
def test_what_is_past_its_day_is_never_offered(bar: Bar, data: st.DataObject) -> None:
    syrup = data.draw(st.sampled_from(bar.syrups))
    batch = MadeBatch("OLD-1", syrup.id, "past", -9, -1, syrup.standard)
    assert batch.brix is not None
    bar = replace(bar, batches=(*bar.batches, batch))
    with written(bar) as specs:
        tonight = answer(specs, "tonight", "--json").data
        assert not [one for one in tonight["drinks"] if one["batch"] == batch.id]
        (old,) = [one for one in tonight["batches"] if one["batch"] == batch.id]
        assert (old["past"], old["advice"], old["conversions"], old["exceptions"]) == (True, "pull", [], [])
        assert {one["batch"] for one in tonight["batches"] if one["past"]} <= set(tonight["discard"])
        assert batch.id in " ".join(tonight["notes"])
        measured = ask(specs, "measure", f"{batch.brix}", "--batch", batch.id)
        assert not re.search(r"pour as written|pour .* →", measured.out), measured.out
        assert re.search("discard|past its last day|out of date", measured.out + measured.err), measured.out
        compared = answer(specs, "compare", "--against", bar.syrups[0].id, "--json")
        assert batch.id not in taken(compared.data)
        for drink in load(specs).specs.drinks.values():
            out = next((pour.of for pour in drink.pours if pour.of in bar.standards and pour.of != batch.liquid), None)
            if out is not None:
                offered = ask(specs, "swap", drink.id, "--out", out, "--json")
                assert batch.id not in taken(offered.data), f"swap {drink.id} --out {out}"
                named = ask(specs, "swap", drink.id, "--out", out, "--in", batch.liquid, "--json")
                assert batch.id not in taken(named.data), f"swap {drink.id} --out {out} --in {batch.liquid}"


def off(written_ml: float, standard: float, brix: float, *, limit: float = 1.0, fixed: bool = False) -> SyrupPour:
    """A pour of a syrup whose ml holds as many hundredths of a gram as it has °Bx: sums a reader can do."""
    is_off = brix != standard
    return SyrupPour(
        Amounts("ml", 2.5),
        written_ml,
        written_ml * standard / 100.0,
        brix / 100.0,
        is_off,
        is_off and abs(brix - standard) > limit,
        is_off and not fixed,
        fixed,
    )


def test_the_oracle_itself() -> None:
    """Worked by hand, so that the brute force is not believed blindly.

    20 ml at 60 for 50: 10 g designed, 12 g as written, exact 16.67; 17.5 ml is 10.5 g, +5 %; 15 is −10 %.
    22.5 ml at 55 for 50: exact 20.45; 15 ml at 60.2 for 60 stays, being within 1 °Bx.
    """
    one = decide([off(20.0, 50.0, 60.0)], 10.0, 5.0)
    assert (one.verdict, one.poured, round(one.as_written, 6), round(one.after, 6)) == ("new pour", (17.5,), 20.0, 5.0)
    two = decide([off(22.5, 50.0, 55.0), off(15.0, 60.0, 60.2)], 20.25, 5.0)
    assert (two.verdict, two.poured) == ("new pour", (20.0, 15.0))
    # Twice 7.5 ml at 60 for 50: exact 6.25, as near to 5 as to 7.5, so both own lines stay; one at 5 is 0 %.
    three = decide([off(7.5, 50.0, 60.0), off(7.5, 50.0, 60.0)], 7.5, 3.0)
    assert (three.verdict, sorted(three.poured), round(three.after, 6)) == ("new pour", [5.0, 7.5], 0.0)
    # 5 ml at 62.5 for 50, +25 %: exact 4, nearest 5, and 2.5 is −37.5 %.
    four = decide([off(5.0, 50.0, 62.5)], 2.5, 5.0)
    assert (four.verdict, four.poured) == ("out of reach", (5.0,))
    five = decide([off(20.0, 50.0, 60.0, fixed=True)], 10.0, 5.0)
    assert (five.verdict, five.poured) == ("out of reach", (20.0,))
    assert decide([off(20.0, 50.0, 52.0)], 10.0, 5.0).verdict == "as written"
