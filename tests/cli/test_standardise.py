"""`standardise` as a person types it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from balancer.output.words.numbers import width
from tests.cli.runner import copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T20:00+00:00"}


def house(tmp_path: Path, *made: tuple[str, float, float | None, str]) -> Path:
    """Unopened batches of plain syrup: id, °Bx, g and last day."""
    specs = copy_of_house(tmp_path)
    lines = []
    for minute, (batch, brix, mass, discard) in enumerate(made):
        line = {"batch": batch, "syrup": "plain-syrup", "event": "made", "brix": brix, "discard": discard}
        line |= {"made": "2026-11-24", "at": f"2026-11-24T10:{minute:02d}:00+00:00"} | ({"mass": mass} if mass else {})
        lines.append(f"- {json.dumps(line)}\n")
    (specs / "batches.yaml").write_text("".join(lines), encoding="utf-8")
    return specs


def test_what_to_add_and_what_to_type(tmp_path: Path) -> None:
    """2000 g from 54 to 50 °Bx: 160 g of water (mass balance); per kg from 46: 80 g of sugar."""
    specs = house(
        tmp_path,
        ("PLA-1", 54.0, 2000.0, "2026-11-30"),
        ("PLA-2", 46.0, None, "2026-11-28"),
        ("PLA-3", 50.4, None, "2026-11-29"),
    )
    done = run("standardise", specs=specs, env=NOW)

    assert (done.code, done.err) == (0, "")
    assert done.first == "correct PLA-2, PLA-1"
    assert "mass not logged: 80 g sugar per kg" in " ".join(done.out.split())
    assert "add 160 g water" in done.out
    assert "  balancer batch correct PLA-1 --brix 50 --mass 2160g" in done.out.splitlines()
    assert "within tolerance, leave: PLA-3" in done.out
    assert max(map(width, done.out.splitlines())) <= 80


def test_the_commands_do_what_they_say(tmp_path: Path) -> None:
    specs = house(tmp_path, ("PLA-1", 54.0, 2000.0, "2026-11-30"))
    (row,) = run("standardise", "--json", specs=specs, env=NOW).data["batches"]

    assert run(*row["log"].split()[1:], specs=specs, env=NOW).code == 0
    (after,) = run("standardise", "--json", specs=specs, env=NOW).data["batches"]
    assert (after["todo"], after["brix"], after["mass_g"]) == ("read", 50.0, 2160.0)


def test_json(tmp_path: Path) -> None:
    data = run("standardise", "--json", specs=house(tmp_path, ("A-1", 54.0, 1000.0, "2026-11-30")), env=NOW).data

    assert data["date"] == "2026-11-25"
    (row,) = data["batches"]
    assert (row["batch"], row["todo"], row["add"]) == ("A-1", "correct", "water")
    assert row["add_g"] == pytest.approx(80.0)


def test_at_most_eight_rows(tmp_path: Path) -> None:
    made = [(f"PLA-{number}", 54.0, 1000.0, "2026-11-30") for number in range(1, 8)]
    done = run("standardise", specs=house(tmp_path, *made), env=NOW)

    rows = [line for line in done.out.splitlines() if line.startswith("  ") and not line.startswith("    ")]
    assert len(rows) == 8
    assert "more: --all shows 3 more batches" in done.out
    every = run("standardise", "--all", specs=tmp_path / "specs", env=NOW).out
    assert all(every.count(f"  PLA-{number} ") == 1 for number in range(1, 8))


def test_an_empty_house(tmp_path: Path) -> None:
    done = run("standardise", specs=house(tmp_path), env=NOW)

    assert (done.code, done.first) == (0, "no batch of a syrup is in the house")
