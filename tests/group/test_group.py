"""A hundred bars over a year, by the scripts of the how-to page: two folds that agree, and the drift that was planted.

A tenth of what tests/benchmarks/group_logs.py measures. One fold is balancer's; the other is SQL on what people logged.
"""

from __future__ import annotations

import csv
import os
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any, Final

import duckdb
import numpy as np
import pytest
from filelock import FileLock

from tests.group.logs import CREW, NOTHING, SYRUPS, Planted, planted, write_group
from tests.group.running import export_all, run_script, save_scripts, scripts, shown

pytestmark = pytest.mark.slow

BARS: Final = 100
FEW: Final = 20
TABLE: Final = "read_parquet('{0}/logs/**/*.parquet', hive_partitioning = true)"
Row = tuple[Any, ...]
CHART: Final = ("house", "syrup", "batches", "centre", "lower", "upper", "off_brix", "beyond", "since", "says")
MAKER: Final = ("house", "maker", "batches", "off_brix")
KINDS: Final = {"chart": CHART, "maker": MAKER}


def made(folder: Path, bars: int, drift: Planted) -> Path:
    lines = write_group(folder, bars, drift)
    save_scripts(folder)
    assert 1_900 * bars < lines < 2_100 * bars
    assert export_all(folder) == lines
    run_script(folder, "ask.py")
    run_script(folder, "fold.py", "2")
    return folder


def shared(factory: pytest.TempPathFactory, name: str, bars: int, drift: Planted) -> Path:
    """A group made once, also for several processes of tests."""
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID")
    if run is None:
        return made(factory.mktemp(name), bars, drift)
    folder = factory.getbasetemp().parent / f"{name}-{run}"
    with FileLock(f"{folder}.lock"):
        if not folder.exists():
            begun = folder.with_suffix(".begun")
            begun.mkdir()
            made(begun, bars, drift).rename(folder)
    return folder


@pytest.fixture(scope="module")
def group(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shared(tmp_path_factory, "group", BARS, planted(BARS))


@pytest.fixture(scope="module")
def quiet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Bars in which nothing drifts."""
    return shared(tmp_path_factory, "quiet", FEW, NOTHING)


def asked(folder: Path, question: str) -> list[Row]:
    """A question to what `ask.py` left."""
    with duckdb.connect(str(folder / "group.duckdb"), read_only=True) as database:
        return database.execute(question).fetchall()


def charted(folder: Path, kind: str) -> dict[Row, Row]:
    """What DuckDB says of every chart or maker."""
    return {row[:2]: row[2:] for row in asked(folder, f"SELECT {', '.join(KINDS[kind])} FROM {kind}")}


def folded(folder: Path, kind: str) -> dict[Row, Row]:
    """What balancer's own fold says of it."""
    with (folder / f"{kind}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    words = ("house", "syrup", "maker", "since", "says")
    read = [
        tuple(
            text if name in words else float(text) if text else None
            for name, text in zip(KINDS[kind], row, strict=True)
        )
        for row in rows
    ]
    assert len({row[:2] for row in read}) == len(read)
    return {row[:2]: tuple(value if value != "" else None for value in row[2:]) for row in read}


def differing(one: dict[Row, Row], other: dict[Row, Row]) -> list[Row]:
    """What two folds say otherwise of, or only one of them knows. Means are added up in another order."""
    keys = set(one) | set(other)
    return sorted(key for key in keys if key not in one or key not in other or not alike(one[key], other[key]))


def alike(one: Row, other: Row) -> bool:
    return all(
        mine == pytest.approx(theirs, abs=1e-6) if isinstance(mine, float) and theirs is not None else mine == theirs
        for mine, theirs in zip(one, other, strict=True)
    )


def found(folder: Path, what: str) -> set[Any]:
    """What drifts, of one kind, by the charts of DuckDB."""
    rows = asked(folder, scripts()["drift.sql"])
    assert {row[0] for row in rows} <= {"syrup", "bar", "maker"}
    return {(row[1], row[2]) if what == "maker" else row[1] for row in rows if row[0] == what}


@pytest.mark.parametrize("kind", KINDS)
def test_two_folds_agree(group: Path, kind: str) -> None:
    ours = folded(group, kind)
    assert len(ours) == BARS * (len(SYRUPS) if kind == "chart" else CREW)
    assert differing(ours, charted(group, kind)) == []


def test_the_group_has_every_word_and_every_slip(group: Path) -> None:
    """Or they would agree on little."""
    says = {row[-1] for row in folded(group, "chart").values()}
    assert says == {"moved", "always strong", "always weak", "up and down", "steady"}
    question = "SELECT count(*), count(undo_event) FROM log WHERE event = 'undo'"
    database = duckdb.connect()
    database.execute(f"CREATE VIEW log AS FROM {TABLE.format(group)}")
    ((undone, alone),) = database.execute(question).fetchall()
    assert alone > 10 * BARS / 2
    assert undone - alone > 10 * BARS
    ((again, mixed, by_hand),) = database.execute(
        "SELECT count(*) FILTER (event = 'undo' AND undone), count(*) FILTER (event = 'made' AND refers IS NOT NULL), "
        "count(*) FILTER (logged_at IS NULL) FROM log"
    ).fetchall()
    assert min(again, mixed, by_hand) >= BARS / 2


@pytest.mark.parametrize(
    ("slip", "lost"),
    [
        ("event <> 'undo'", "what was taken back counts"),
        ("undo_event IS NULL", "a misreading counts"),
        ("refers IS NULL OR event <> 'made'", None),
    ],
)
def test_a_wrong_fold_would_differ(group: Path, slip: str, lost: str | None) -> None:
    """The same question of lines of which some are left out. Mixed batches are on no chart, so those may be missing."""
    database = duckdb.connect()
    database.execute(f"CREATE VIEW log AS FROM {TABLE.format(group)} WHERE {slip}")
    database.execute(scripts()["charts.sql"])
    rows = database.execute(f"SELECT {', '.join(CHART)} FROM chart").fetchall()
    wrong = differing(folded(group, "chart"), {row[:2]: row[2:] for row in rows})
    assert (len(wrong) > BARS) == (lost is not None)
    assert lost is not None or wrong == []


def test_what_is_exported_of_the_fold_is_the_same(group: Path) -> None:
    """`first_brix` of the table, which balancer folded, against the points that SQL made of the raw lines."""
    own = f"SELECT house, batch, liquid, first_brix FROM {TABLE.format(group)} WHERE first_brix IS NOT NULL"
    theirs = "SELECT house, batch, syrup, first FROM point"
    assert asked(group, f"SELECT count(*) FROM ({own})")[0][0] > 50 * BARS * len(SYRUPS)
    assert asked(group, f"({own} EXCEPT ALL {theirs}) UNION ALL ({theirs} EXCEPT ALL {own})") == []


def test_one_process_and_two_fold_alike(quiet: Path) -> None:
    two = {kind: folded(quiet, kind) for kind in KINDS}
    run_script(quiet, "fold.py", "1")
    assert {kind: folded(quiet, kind) for kind in KINDS} == two


def test_the_drift_is_found_and_little_else(group: Path) -> None:
    drift = planted(BARS)
    assert (len(drift.bars), len(drift.syrups), len(drift.makers)) == (2, 1, 4)
    assert found(group, "syrup") == set(drift.syrups)
    assert found(group, "bar") == set(drift.bars)
    makers = found(group, "maker")
    assert makers >= drift.makers
    assert len(makers - drift.makers) <= BARS * CREW / 100


POINT: Final = (
    "(house VARCHAR, syrup VARCHAR, logged_by VARCHAR, batch VARCHAR, made DATE, first DOUBLE, standard_brix DOUBLE)"
)
CREW_OF_FOUR: Final = ("Abel", "Berit", "Corin", "Dagny")
ALONE: Final = "Edda"
LATER: Final = "Falk"


def drifting(points: Sequence[Row] = (), charts: Sequence[Row] = ()) -> list[Row]:
    """What drifts by the page's question, of batches and charts that are given."""
    database = duckdb.connect()
    database.execute(f"CREATE TABLE point {POINT}")
    database.execute("CREATE TABLE chart (house VARCHAR, syrup VARCHAR, off_brix DOUBLE, says VARCHAR)")
    if points:
        database.executemany("INSERT INTO point VALUES (?, ?, ?, ?, ?, ?, ?)", points)
    if charts:
        database.executemany("INSERT INTO chart VALUES (?, ?, ?, ?)", charts)
    return database.execute(scripts()["drift.sql"]).fetchall()


@pytest.mark.parametrize("crew", [2, 3, 4])
@pytest.mark.parametrize("fault", [0.0, 1.4, -1.2])
def test_nobody_is_named_for_a_recipe_or_a_day(crew: int, fault: float) -> None:
    """A syrup off by 3 °Bx of which one maker makes all; a refractometer knocked in July, and one who began then.

    Both were named, since all that somebody made was compared with all that was made in the bar. Who has a fault of
    their own is named where more than two share what they make.
    """
    chance = np.random.default_rng(14)
    rows = []
    for week in range(52):
        day = date(2025, 1, 1) + timedelta(weeks=week)
        knocked = 1.8 if week >= 26 else 0.0
        makers = [*CREW_OF_FOUR[:crew], *[LATER] * (week >= 26)]
        for syrup in ("simple-syrup", "honey-syrup"):
            for place, maker in enumerate(makers):
                own = fault if place == 1 else 0.0
                rows.append(("bar", syrup, maker, f"{syrup}{week}{maker}", day, 50 + knocked + own, 50.0))
        rows.append(("bar", "orgeat", ALONE, f"O{week}", day, 53.0 + knocked, 50.0))
    noisy = [(*row[:5], row[5] + chance.normal(0.0, 0.4), row[6]) for row in rows]
    named = {row[2]: row[4] for row in drifting(noisy) if row[0] == "maker"}
    assert set(named) == ({"Berit"} if fault else set())
    assert not fault or named["Berit"] == pytest.approx(fault, abs=0.3)


def test_of_two_who_differ_nobody_is_named() -> None:
    days = [date(2025, 1, 1) + timedelta(weeks=week) for week in range(40)]
    rows = [
        ("bar", "simple-syrup", maker, f"{maker}{week}", day, brix + week % 2 / 10, 50.0)
        for week, day in enumerate(days)
        for maker, brix in (("Abel", 50.0), ("Berit", 52.0))
    ]
    assert [row for row in drifting(rows) if row[0] == "maker"] == []


def test_one_batch_of_each_of_the_others_names_nobody() -> None:
    """Every difference then shares the chance of that one batch: noise alone named somebody in 8 of 60 bars."""
    chance = np.random.default_rng(14)
    makers = [*["Abel"] * 10, "Berit", "Corin"]
    rows = [
        (f"bar{bar}", "simple-syrup", maker, f"B{n}", date(2025, 1, 1 + n), 50 + chance.normal(0.0, 0.8), 50.0)
        for bar in range(60)
        for n, maker in enumerate(makers)
    ]
    assert drifting(rows) == []


@pytest.mark.parametrize("others", [0, 1, 2])
def test_of_few_bars_or_few_syrups_nothing_is_named(others: int) -> None:
    """One bar of one was every bar that makes a syrup, and one syrup of one every syrup of a bar."""
    charts = [(f"bar{bar}", "orgeat", 1.8, "always strong") for bar in range(1 + others)]
    named = {row[:2] for row in drifting(charts=charts)}
    assert named == ({("syrup", "orgeat")} if others == 2 else set())


def cells(text: str) -> list[list[str]]:
    """What stands in a table, however its lines are drawn."""
    return [[cell.strip() for cell in line.split("│")[1:-1]] for line in text.splitlines() if line.startswith("│")]


def test_the_page_shows_what_is_found(group: Path) -> None:
    """A regression snapshot of the hundred bars' names and numbers."""
    said = cells((group / "ask.py.txt").read_text(encoding="utf-8"))
    assert len(said) > 5
    assert said == cells(shown())


def test_charts_that_nothing_was_planted_in_say_little(group: Path) -> None:
    drift = planted(BARS)
    touched = {*drift.bars, *(house for house, _ in drift.makers)}
    calm = [row for key, row in folded(group, "chart").items() if key[0] not in touched and key[1] not in drift.syrups]
    assert len(calm) > 600
    assert sum(row[-1] in ("moved", "always strong", "always weak") for row in calm) <= len(calm) / 100


def test_where_nothing_drifts_nothing_is_found(quiet: Path) -> None:
    assert [found(quiet, what) for what in ("syrup", "bar", "maker")] == [set(), set(), set()]


def test_the_wrong_ones_would_be_noticed() -> None:
    one: dict[Row, Row] = {("a", "b"): (1, 2.0, None)}
    others: Sequence[dict[Row, Row]] = (
        {},
        {("a", "b"): (1, 2.1, None)},
        {("a", "b"): (1, None, None)},
        {("a", "c"): (1, 2.0, None)},
    )
    assert differing(one, {("a", "b"): (1, 2.0 + 1e-9, None)}) == []
    assert all(differing(one, other) for other in others)
