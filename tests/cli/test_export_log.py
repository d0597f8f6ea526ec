"""`balancer export log` as a person types it: the folders, the table in them, and what it never writes over."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import sys
import time
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import duckdb
import pyarrow
import pytest
from pyarrow import dataset, parquet

from balancer.desk import log_export
from balancer.files.sheets.partitions import write_months
from balancer.models.log_columns import LOG_COLUMNS, SCHEMA
from tests.cli.runner import CHECKOUT, Run, copy_of_house, run
from tests.docs.tables import tables, ticked

NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
DEMO = CHECKOUT / "specs"
PAGE = CHECKOUT / "docs" / "reference" / "log-table.md"
ENTRY = (
    '- {{"batch": "{0}", "syrup": "berry-syrup", "event": "made", "brix": {1}, "made": "{2}", "at": "{2}T12:00:00Z"}}\n'
)


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def exported(specs: Path = DEMO, out: str = "logs") -> Run:
    return run("export", "log", "--out", out, specs=specs, env=NOW)


def rows(out: str = "logs") -> list[dict[str, Any]]:
    found = dataset.dataset(out, partitioning="hive").to_table().to_pylist()
    return sorted(found, key=lambda row: (row["house"], row["line"]))


def files(folder: Path) -> dict[str, bytes]:
    """What engines read."""
    found = (path for path in sorted(folder.rglob("*")) if path.is_file() and not path.name.startswith("."))
    return {str(path.relative_to(folder)): path.read_bytes() for path in found}


def bar_with(folder: Path, *lines: tuple[str, float, str], name: str | None = None) -> Path:
    specs = copy_of_house(folder)
    (specs / "batches.yaml").write_text("".join(ENTRY.format(*line) for line in lines), encoding="utf-8")
    if name:
        house = specs / "house.yaml"
        house.write_text(house.read_text(encoding="utf-8").replace("house: ", f"house: {name} #"), encoding="utf-8")
    return specs


def test_every_line_as_it_is_and_a_file_a_month() -> None:
    done = exported()
    logged = [json.loads(line[2:]) for line in (DEMO / "batches.yaml").read_text(encoding="utf-8").splitlines()]
    found = rows()
    assert (done.code, done.err) == (0, "")
    assert done.first == "52 lines, 21 batches, 3 months → logs/house=the-ferry-slip"
    assert len(logged) == len(found) == 52
    names = {"mass": "mass_g", "uncertainty": "uncertainty_brix", "by": "logged_by", "only": "undo_event"}
    plain = ("batch", "syrup", "event", "brix", "uncertainty", "cause", "mass", "by", "refers", "only", "note")
    for line, row in zip(logged, found, strict=True):
        assert {key: line.get(key) for key in plain} == {key: row[names.get(key, key)] for key in plain}
        for key in ("made", "discard"):
            assert row[key] == (date.fromisoformat(line[key]) if key in line else None)
        assert row["logged_at"] == datetime.fromisoformat(line["at"])
        assert (row["house"], row["month"]) == ("the-ferry-slip", row["day"].strftime("%Y-%m"))
    acids = {row["batch"]: (row["acid_g_per_l"], row["acid_g_per_kg"]) for row in found if row["acid_g_per_l"]}
    assert acids == {line["batch"]: (float(line["acid"].split()[0]), None) for line in logged if "acid" in line}


def test_points_are_those_of_the_chart() -> None:
    exported()
    found = rows()
    syrups = {row["liquid"] for row in found if row["first_brix"] is not None}
    assert len(syrups) > 2
    for syrup in syrups:
        drawn = run("chart", syrup, "--json", specs=DEMO, env=NOW).data
        points = [row for row in found if row["liquid"] == syrup and row["first_brix"] is not None]
        points.sort(key=lambda row: (row["made"], row["line"]))
        assert [(row["batch"], row["first_brix"], row["logged_by"], row["batch_cause"]) for row in points] == [
            (point["batch"], point["brix"], point["by"], point["cause"]) for point in drawn["batches"]
        ]
        assert {(row["standard_brix"], row["tolerance_brix"]) for row in points} == {
            (drawn["standard_brix"], drawn["tolerance_brix"])
        }


def test_batches_are_as_the_list_has_them() -> None:
    exported()
    listed = run("batch", "list", "--json", "--all", specs=DEMO, env=NOW).data["batches"]
    made = {row["batch"]: (row["liquid"], row["last_brix"], row["state"]) for row in rows() if row["state"] is not None}
    assert made == {one["batch"]: (one["syrup"], one["brix"], one["state"]) for one in listed}


def test_units_stand_in_the_metadata_and_types_are_the_same_everywhere() -> None:
    exported()
    paths = sorted(Path("logs").rglob("*.parquet"))
    schemas = [parquet.read_schema(path) for path in paths]
    assert len(schemas) == 3
    for schema in schemas:
        assert schema.equals(schemas[0], check_metadata=True)
        told = {field.name: {key.decode(): value.decode() for key, value in field.metadata.items()} for field in schema}
        assert list(told) == [column.name for column in LOG_COLUMNS]
        assert (told["brix"]["unit"], told["mass_g"]["unit"], "unit" in told["note"]) == ("°Bx", "g", False)
        about = {key.decode(): value.decode() for key, value in schema.metadata.items()}
        assert (about["schema"], about["house"]) == (SCHEMA, "The Ferry Slip")
        assert json.loads(about["units"]) == {name: one["unit"] for name, one in told.items() if "unit" in one}


def test_another_engine_reads_the_same() -> None:
    exported()
    asked = duckdb.execute(
        "SELECT house, month, count(*), count(first_brix), sum(brix), count(DISTINCT batch), max(len(refers)), "
        "min(logged_at) FROM read_parquet('logs/**/*.parquet', hive_partitioning = true) GROUP BY ALL ORDER BY month"
    ).fetchall()
    found = rows()
    for house, month, lines, points, strengths, batches, most, first in asked:
        own = [row for row in found if (row["house"], row["month"]) == (house, month)]
        assert (lines, points) == (len(own), sum(row["first_brix"] is not None for row in own))
        assert strengths == pytest.approx(sum(row["brix"] or 0.0 for row in own), abs=1e-9)
        assert batches == len({row["batch"] for row in own})
        assert most == max((len(row["refers"]) for row in own if row["refers"]), default=None)
        assert first == min(row["logged_at"] for row in own)
    assert sum(one[2] for one in asked) == 52


def test_a_line_without_a_day_is_in_a_month_that_is_missing(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "BER-1", "event": "open"}\n')
    exported(specs)
    assert [(row["event"], row["month"], row["day"]) for row in rows()] == [
        ("made", "2026-03", date(2026, 3, 1)), ("open", None, None),
    ]  # fmt: skip
    found = duckdb.execute(
        "SELECT event FROM read_parquet('logs/**/*.parquet', hive_partitioning = true) WHERE month IS NULL"
    )
    assert found.fetchall() == [("open",)]


def test_again_replaces_its_own_and_nobody_elses(tmp_path: Path) -> None:
    one = bar_with(tmp_path / "a", ("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01"), name="Low Stair")
    other = bar_with(tmp_path / "b", ("BER-1", 52.0, "2026-03-02"), name="North Pier")
    assert exported(one).first.endswith("logs/house=low-stair")
    assert exported(other).first.endswith("logs/house=north-pier")
    kept = files(Path("logs/house=north-pier"))
    with (one / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write(ENTRY.format("BER-3", 52.0, "2026-05-01"))
    exported(one)
    assert files(Path("logs/house=north-pier")) == kept
    assert visible(Path("logs")) == ["house=low-stair", "house=north-pier"]
    assert [(row["house"], row["batch"], row["brix"], row["month"]) for row in rows()] == [
        ("low-stair", "BER-1", 50.0, "2026-03"), ("low-stair", "BER-2", 51.0, "2026-04"),
        ("low-stair", "BER-3", 52.0, "2026-05"), ("north-pier", "BER-1", 52.0, "2026-03"),
    ]  # fmt: skip


def visible(folder: Path) -> list[str]:
    """What engines look at."""
    return sorted(path.name for path in folder.iterdir() if not path.name.startswith("."))


def test_a_month_without_a_line_any_more_goes(tmp_path: Path) -> None:
    """At two in the morning it was still April, until the house said that its days end at midnight."""
    specs = bar_with(tmp_path, name="Low Stair")
    line = ENTRY.format("BER-1", 50.0, "2026-05-01").replace("T12:00:00Z", "T02:00:00Z")
    (specs / "batches.yaml").write_text(line, encoding="utf-8")
    for ends, month in (("06:00", "2026-04"), ("00:00", "2026-05")):
        house = specs / "house.yaml"
        text = re.sub(r"(?m)^day ends:.*\n", "", house.read_text(encoding="utf-8"))
        house.write_text(f'{text}day ends: "{ends}"\n', encoding="utf-8")
        exported(specs)
        assert visible(Path("logs/house=low-stair")) == [f"month={month}"]


def renamed(specs: Path, name: str | None) -> None:
    """The bar under another name; None: under one that nobody can read."""
    house = specs / "house.yaml"
    said = "house: [" if name is None else f"house: {name} #"
    house.write_text(re.sub(r"(?m)^house: ", said, house.read_text(encoding="utf-8")), encoding="utf-8")


@pytest.mark.parametrize(
    ("name", "told"),
    [
        (None, "house.yaml:"),
        ("", 'the key "house" is missing'),
        ("gone", "does not say what the bar is called"),
        ("High Stair", '"logs/house=low-stair" holds this very log, of "Low Stair"'),
    ],
)
def test_no_bar_is_there_under_two_names(tmp_path: Path, name: str | None, told: str) -> None:
    """Each of its lines counted twice in every question: under its name, and that of its folder or its new one."""
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01"), name="Low Stair")
    assert exported(specs).code == 0
    before = files(Path("logs"))
    if name == "":
        house = specs / "house.yaml"
        house.write_text(re.sub(r"(?m)^house: .*\n", "", house.read_text(encoding="utf-8")), encoding="utf-8")
    elif name == "gone":
        (specs / "house.yaml").unlink()
    else:
        renamed(specs, name)
    done = exported(specs)
    assert (done.code, done.out) == (1, "")
    assert told in " ".join(done.err.split())
    assert files(Path("logs")) == before


def test_a_renamed_bar_goes_on_where_its_old_folder_was_deleted(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    exported(specs)
    renamed(specs, "High Stair")
    shutil.rmtree("logs/house=low-stair")
    assert exported(specs).code == 0
    assert exported(specs).code == 0
    assert visible(Path("logs")) == ["house=high-stair"]


@pytest.mark.parametrize("in_common", [0, 1, 2])
def test_a_copied_bars_log_takes_nobodys_place(tmp_path: Path, in_common: int) -> None:
    """It has the other one's first lines, and its own behind: what the other logged since was gone."""
    lines = [("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01"), ("BER-3", 52.0, "2026-05-01")]
    exported(bar_with(tmp_path / "a", *lines, name="Low Stair"))
    before = files(Path("logs"))
    own = [("BER-4", 53.0, "2026-04-02"), ("BER-5", 53.0, "2026-04-03"), ("BER-6", 54.0, "2026-06-02")]
    done = exported(bar_with(tmp_path / "b", *lines[:in_common], *own, name="Low Stair"))
    assert (done.code, done.out) == (1, "")
    assert (
        f"holds another log, with {3 - in_common} line{'s' if in_common < 2 else ''} that this one has not"
        in " ".join(done.err.split())
    )
    assert files(Path("logs")) == before


def test_two_logs_that_were_merged_are_that_of_the_bar(tmp_path: Path) -> None:
    """What another device logged comes between the lines, and all that was there is in it still."""
    lines = [("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01")]
    exported(bar_with(tmp_path / "a", *lines, name="Low Stair"))
    merged = [("BER-B1", 49.0, "2026-02-20"), lines[0], ("BER-B2", 50.5, "2026-03-09"), lines[1]]
    assert exported(bar_with(tmp_path / "b", *merged, name="Low Stair")).code == 0
    assert [row["batch"] for row in rows()] == ["BER-B1", "BER-1", "BER-B2", "BER-2"]


def test_a_moment_without_a_zone_is_the_same_line_on_another_machine(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The bar's machine and the office's were each told that the other one's was another log."""
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"))
    log = specs / "batches.yaml"
    log.write_text(log.read_text(encoding="utf-8").replace("T12:00:00Z", "T12:00:00"), encoding="utf-8")
    try:
        for zone in ("Europe/Berlin", "UTC", "America/New_York"):
            monkeypatch.setenv("TZ", zone)
            time.tzset()
            assert exported(specs).code == 0, zone
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_line_that_is_in_two_months_for_a_while_is_one_line(tmp_path: Path) -> None:
    """Killed between two renamings when lines changed their month, every later export was refused."""
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    exported(specs)
    (stored,) = Path("logs").rglob("*.parquet")
    twice = stored.parent.parent / "month=2026-02" / stored.name
    twice.parent.mkdir()
    shutil.copy(stored, twice)
    assert exported(specs).code == 0
    assert len(rows()) == 1


@pytest.mark.parametrize("kind", [pyarrow.list_(pyarrow.string()), pyarrow.int32(), pyarrow.binary()])
def test_a_table_of_another_kind_is_another_log(tmp_path: Path, kind: pyarrow.DataType) -> None:
    """A list cannot be compared as a text can: that was a fault of the program."""
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    exported(specs)
    (stored,) = Path("logs").rglob("*.parquet")
    table = parquet.ParquetFile(stored).read()
    place = table.schema.get_field_index("event")
    parquet.write_table(table.set_column(place, "event", pyarrow.nulls(1, kind)), stored)
    done = exported(specs)
    assert (done.code, done.out) == (1, "")
    assert "holds another log" in done.err


def test_no_link_in_the_store_is_followed(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    mine = tmp_path / "mine.txt"
    mine.write_text("mine\n", encoding="utf-8")
    Path("logs").mkdir()
    Path("logs/.house=low-stair.lock").symlink_to(mine)
    Path("logs/house=other").symlink_to(tmp_path)
    done = exported(specs)
    assert done.code == 1
    assert "is a link, and leads elsewhere" in done.err
    assert mine.read_text(encoding="utf-8") == "mine\n"


def test_of_two_bars_of_one_name_at_once_one_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each looked before the other had written, and the first one's log was gone."""
    one = bar_with(tmp_path / "a", ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    other = bar_with(tmp_path / "b", ("BER-1", 52.0, "2026-03-02"), name="Low Stair")
    monkeypatch.setattr(log_export, "_LOCK_SECONDS", 0.05)
    write = write_months
    codes: list[int] = []

    def late(*given: Any) -> None:
        if not codes:
            codes.append(-1)
            codes.append(exported(other).code)
        write(*given)

    monkeypatch.setattr(log_export, "write_months", late)
    assert exported(one).code == 0
    assert codes == [-1, 1]
    assert exported(other).code == 1
    assert [row["brix"] for row in rows()] == [50.0]


def test_a_store_without_what_is_hidden_knows_a_renamed_bar(tmp_path: Path) -> None:
    """Also where what was merged since stands before the line that was the first."""
    lines = [("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01")]
    exported(bar_with(tmp_path / "a", *lines, name="Low Stair"))
    for hidden in Path("logs").glob(".*"):
        hidden.unlink()
    for number, more in enumerate(([], [("BER-B1", 49.0, "2026-02-20")])):
        done = exported(bar_with(tmp_path / f"b{number}", *more, *lines, name="High Stair"))
        assert (done.code, done.out) == (1, "")
        assert "holds this very log" in done.err


def test_an_empty_log_takes_nobodys_place(tmp_path: Path) -> None:
    exported(bar_with(tmp_path / "a", ("BER-1", 50.0, "2026-03-01"), name="Low Stair"))
    before = files(Path("logs"))
    assert exported(bar_with(tmp_path / "b", name="Low Stair")).code == 1
    assert files(Path("logs")) == before


def test_what_is_no_table_there_is_told(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    exported(specs)
    (stored,) = Path("logs").rglob("*.parquet")
    stored.write_bytes(b"no table")
    done = exported(specs)
    assert (done.code, done.out) == (1, "")
    assert "is no table of a log" in " ".join(done.err.split())
    assert stored.read_bytes() == b"no table"


def test_another_bar_of_the_same_name_is_refused(tmp_path: Path) -> None:
    exported(bar_with(tmp_path / "a", ("BER-1", 50.0, "2026-03-01")))
    before = files(Path("logs"))
    done = exported(bar_with(tmp_path / "b", ("BER-1", 52.0, "2026-03-02")))
    assert (done.code, done.out) == (1, "")
    assert "holds another log" in done.err
    assert files(Path("logs")) == before


def test_a_broken_line_is_told_and_the_others_are_there(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write('- {"batch": "BER-2", "eve\n' + ENTRY.format("BER-3", 51.0, "2026-03-02"))
    done = exported(specs)
    assert done.code == 1
    assert "batches.yaml:2" in done.out + done.err
    assert [(row["line"], row["batch"]) for row in rows()] == [(1, "BER-1"), (3, "BER-3")]


def test_of_two_batches_with_one_id_each_has_its_own_lines(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), ("BER-1", 52.0, "2026-03-02"))
    done = exported(specs)
    assert "two devices gave one id" in " ".join(done.err.split()) + done.out
    assert [(row["batch"], row["first_brix"]) for row in rows()] == [("BER-1", 50.0), ("BER-1 (line 2)", 52.0)]


@pytest.mark.parametrize("link", ["house=the-test-slip", "house=the-test-slip/month=2026-03"])
def test_a_link_among_its_folders_is_refused(tmp_path: Path, link: str) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="The Test Slip")
    exported(specs)
    (tmp_path / "elsewhere").mkdir()
    place = tmp_path / "logs" / link
    place.rename(tmp_path / "moved")
    place.symlink_to(tmp_path / "elsewhere")
    done = exported(specs)
    assert (done.code, done.out) == (1, "")
    assert "is a link, and leads elsewhere" in " ".join(done.err.split())
    assert list((tmp_path / "elsewhere").iterdir()) == []


@pytest.mark.parametrize(
    ("out", "said"),
    [
        ("specs", "in the bar's own folder"),
        ("specs/drinks/logs", "in the bar's own folder"),
        ("back", "in the bar's own folder"),
        ("logs.csv", "goes into a folder"),
        ("logs.parquet", "goes into a folder"),
        ("taken", "is not a folder"),
        ("circle", "is not a folder"),
    ],
)
def test_places_that_cannot_be_meant(tmp_path: Path, out: str, said: str) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"))
    (tmp_path / "back").symlink_to(specs / "drinks")
    (tmp_path / "circle").symlink_to(tmp_path / "circle")
    (tmp_path / "taken").write_text("mine", encoding="utf-8")
    before = files(tmp_path)
    done = exported(specs, out)
    assert (done.code, done.out) == (2, "")
    assert said in " ".join(done.err.split())
    assert files(tmp_path) == before


def test_a_full_disk_leaves_all_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lines = [("BER-1", 50.0, "2026-03-01"), ("BER-2", 51.0, "2026-04-01")]
    specs = bar_with(tmp_path, *lines)
    exported(specs)
    before = files(Path("logs"))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as log:
        log.write(ENTRY.format("BER-3", 51.0, "2026-04-02"))
    room = iter([None])

    def full(_: int) -> None:
        if next(room, "full"):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        done = exported(specs)
    assert (done.code, done.out) == (1, "")
    assert "No space left" in " ".join(done.err.split())
    assert files(Path("logs")) == before
    assert visible(Path("logs")) == ["house=" + rows()[0]["house"]]


def test_what_a_killed_export_left_goes_once_it_is_old(tmp_path: Path) -> None:
    specs = bar_with(tmp_path, ("BER-1", 50.0, "2026-03-01"), name="Low Stair")
    old, young, others = (tmp_path / "logs" / name for name in (
        ".house=low-stair.aaaa", ".house=low-stair.bbbb", ".house=north-pier.cccc",
    ))  # fmt: skip
    for left in (old, young, others):
        left.mkdir(parents=True)
        (left / "2026-03").write_bytes(b"PAR1")
    for left in (old, others):
        os.utime(left, (time.time() - 90_000.0,) * 2)
    exported(specs)
    assert (old.exists(), young.exists(), others.exists()) == (False, True, True)
    assert len(rows()) == 1


def test_without_the_extra_it_says_what_to_type(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    done = exported()
    assert (done.code, done.out) == (1, "")
    assert '-m pip install "balancer[group]"' in " ".join(done.err.split())
    assert not Path("logs").exists()


def test_json() -> None:
    done = run("export", "log", "--out", "logs", "--json", specs=DEMO, env=NOW)
    assert done.data == {
        "export": "log", "out": "logs/house=the-ferry-slip", "lines": 52, "batches": 21, "months": 3, "left_out": [],
    }  # fmt: skip


def test_an_empty_log_writes_nothing() -> None:
    assert exported(copy_of_house(Path.cwd())).first.startswith("0 lines, 0 batches, 0 months →")
    assert list(Path("logs").rglob("*.parquet")) == []


def test_the_page_has_every_column() -> None:
    listed = [row for table in tables(PAGE)["Columns"] for row in table.rows]
    assert [(ticked(row[0]), *row[1:]) for row in listed] == [tuple(column) for column in LOG_COLUMNS]


def test_no_name_needs_quotes_in_sql() -> None:
    words = duckdb.execute(
        "SELECT keyword_name FROM duckdb_keywords() WHERE keyword_category <> 'unreserved'"
    ).fetchall()
    assert len(words) > 50
    assert {column.name for column in LOG_COLUMNS} & {word for (word,) in words} == set()


def test_moments_are_utc() -> None:
    exported()
    assert {row["logged_at"].utcoffset() for row in rows()} == {timedelta()}
