"""`chart` on a log as the bar keeps it."""

from __future__ import annotations

import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from tests.cli.runner import copy_of_house, run
from tests.engine.prep.test_chart import FLOWRATES


def logged(values: Iterable[float], **keys: Any) -> str:
    entries = [
        {
            "batch": f"BER-{number}",
            "syrup": "berry-syrup",
            "event": "made",
            "brix": value,
            "made": f"2026-03-{number:02d}",
            "at": f"2026-03-{number:02d}T10:00:00+00:00",
            **keys,
        }
        for number, value in enumerate(values, 1)
    ]
    return "".join(f"- {json.dumps(entry)}\n" for entry in entries)


def bar(folder: Path, log: str) -> Path:
    return copy_of_house(folder, batches=log)


@pytest.mark.parametrize(
    ("values", "first"),
    [
        ([53.0, 53.4, 52.6, 53.1, 52.8, 53.2, 53.3, 52.6], "berry syrup: always strong: every one of 8 batches"),
        (FLOWRATES, "berry syrup: up and down: by 3.3 °Bx around 50.8"),
        ([50.0, 51.0], "berry syrup: too few batches to say: 2 with a reading, 8 are needed"),
        ([], "berry syrup: no batch of it has a reading yet: 8 are needed to say anything"),
    ],
)
def test_the_first_line_is_the_answer(tmp_path: Path, values: list[float], first: str) -> None:
    done = run("chart", "berry", specs=bar(tmp_path, logged(values)))
    assert (done.code, done.err) == (0, "")
    assert done.first.startswith(first)


def test_without_a_log_there_are_too_few() -> None:
    assert run("chart", "berry").first.startswith("berry syrup: no batch of it has a reading yet")


def test_the_reading_before_a_correction_counts(tmp_path: Path) -> None:
    log = logged([54.0]) + "".join(
        f"- {json.dumps({'batch': 'BER-1', 'at': f'2026-03-01T1{hour}:00:00+00:00', **entry})}\n"
        for hour, entry in enumerate([{"event": "correct", "brix": 50.0}, {"event": "reading", "brix": 50.2}], 1)
    )
    data = run("chart", "berry", "--json", specs=bar(tmp_path, log)).data
    assert [held["brix"] for held in data["batches"]] == [54.0]


def test_a_drawing_is_written_and_named(tmp_path: Path) -> None:
    specs, out = bar(tmp_path, logged(FLOWRATES, by="Ana <b>")), tmp_path / "berry.svg"
    done = run("chart", "berry", "--out", str(out), "--json", specs=specs)
    assert done.code == 0
    assert (done.data["svg"], done.data["files"], done.data["left_off"]) == (str(out), [str(out)], [])
    assert done.data["upper_brix"] == pytest.approx(55.8041, abs=5e-5)
    root = ET.parse(out).getroot()  # noqa: S314 - our own output
    assert "BER-3: 49.9 °Bx, made 3 Mar 2026, by Ana <b>;" in (root.findtext("{http://www.w3.org/2000/svg}desc") or "")


@pytest.mark.parametrize(("ending", "start"), [("pdf", b"%PDF-1.7"), ("PNG", b"\x89PNG"), ("svg", b"<svg ")])
def test_one_page_in_each_format(tmp_path: Path, ending: str, start: bytes) -> None:
    specs, out = bar(tmp_path, logged(FLOWRATES)), tmp_path / f"berry.{ending}"
    done = run("chart", "berry", "--out", str(out), "--on", "letter", specs=specs)
    assert (done.code, done.err) == (0, "")
    assert out.read_bytes().startswith(start)
    assert [path.name for path in tmp_path.glob("berry*")] == [out.name]


def test_it_says_what_it_wrote_and_offers_to_print_only_where_nothing_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    specs = bar(tmp_path, logged(FLOWRATES))
    monkeypatch.chdir(tmp_path)
    printed = " ".join(run("chart", "berry", "--out", "berry.pdf", specs=specs).out.split())
    answer, _, more = printed.partition(" more: ")
    assert "; page → berry.pdf " in answer
    assert more
    assert "--out" not in more
    shown = run("chart", "berry", specs=specs).out
    assert "→" not in shown
    assert "--out F.pdf prints it" in shown


def test_a_name_the_font_has_no_letters_for_is_left_off_and_told(tmp_path: Path) -> None:
    specs, out = bar(tmp_path, logged(FLOWRATES)), tmp_path / "berry.pdf"
    held = next(path for path in (specs / "syrups").rglob("*.yaml") if "berry syrup" in path.read_text("utf-8"))
    text = held.read_text("utf-8").replace("syrup: berry syrup", "syrup: 石榴糖浆\n  id: berry-syrup", 1)
    held.write_text(text, encoding="utf-8")
    done = run("chart", "berry-syrup", "--out", str(out), specs=specs)
    assert done.first.startswith("石榴糖浆: up and down")
    assert out.read_bytes().startswith(b"%PDF")
    assert "not on the page, the font cannot show it: 石榴糖浆" in done.out


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["berry", "--out", "berry.gif"], 2, "end it in .pdf, .png or .svg"),
        (["berry", "--out", "berry.pdf", "--on", "a0"], 2, "choose one of a4, letter"),
        (["berry", "--out", "no/such/folder/berry.svg"], 1, "cannot be written"),
        (["lime juice"], 2, "is not a syrup"),
        (["nothing like it"], 2, "no syrup is called"),
    ],
)
def test_what_cannot_be_is_told(words: list[str], code: int, said: str) -> None:
    done = run("chart", *words)
    assert (done.code, done.out) == (code, "")
    assert said in " ".join(done.err.split())


def test_a_broken_line_of_the_log_touches_the_answer(tmp_path: Path) -> None:
    """The rest of the log still answers, and the exit code says that something is missing."""
    done = run("chart", "berry", specs=bar(tmp_path, logged(FLOWRATES) + '- {"batch": "BER-11", "event": \n'))
    assert done.code == 1
    assert done.first.startswith("berry syrup: up and down")
    assert "batches.yaml:11" in done.err
