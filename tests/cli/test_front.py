"""`balancer` alone: what is open and what to type next, or how to start."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.cli.runner import copy_of_house, run

AT = {"BALANCER_NOW": "2026-11-25T18:00+01:00"}


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BALANCER_SPECS", raising=False)
    monkeypatch.chdir(tmp_path)


def typed(text: str) -> list[str]:
    """The lines that it says to type."""
    return [re.split(r" {2,}", line.strip())[0] for line in text.splitlines() if line.startswith("  balancer ")]


def test_where_there_is_no_bar_it_says_how_to_start(tmp_path: Path) -> None:
    done = run(specs=None)
    assert (done.code, done.err) == (0, "")
    assert done.first == "no bar's folder is here yet: look around in the demo, or start yours"
    assert len(typed(done.out)) == 3
    for line in typed(done.out):  # each of them works as it stands
        assert run(*shlex.split(line)[1:], specs=None, env=AT).code == 0
    assert (tmp_path / "specs").is_dir()


def test_in_a_bar_it_says_what_is_open(tmp_path: Path) -> None:
    copy_of_house(tmp_path)
    before = run(specs=None, env=AT)
    assert (before.code, before.err) == (0, "")
    assert "no batch is open" in before.out
    run("batch", "add", "berry", "54", "--open", specs=None, env=AT)
    run("batch", "add", "plain", "50", specs=None, env=AT)
    done = run(specs=None, env=AT)
    assert (done.code, done.err) == (0, "")
    assert done.first == run("tonight", specs=None, env=AT).first
    assert "open: BER-1 54 °Bx\n" in done.out
    assert len(done.out.splitlines()) <= 10
    assert typed(done.out) == [
        "balancer tonight",
        "balancer measure 54 berry --log",
        "balancer batch add berry 54 --open",
    ]
    for line in typed(done.out):
        assert run(*shlex.split(line)[1:], specs=None, env=AT).code == 0


def test_the_example_names_one_syrup_of_the_house(tmp_path: Path) -> None:
    """Two begin alike: the whole id is what works."""
    specs = copy_of_house(tmp_path)
    (specs / "syrups" / "berry-two.yaml").write_text("syrup: berry two syrup\nstandard: 50 °Bx\n")
    run("batch", "add", "berry-two-syrup", "54", "--open", specs=None, env=AT)
    for line in typed(run(specs=None, env=AT).out)[1:]:
        assert run(*shlex.split(line)[1:], specs=None, env=AT).code == 0


def test_with_the_options_of_any_command(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path / "elsewhere")
    done = run("--specs", str(specs), "--json", specs=None, env=AT)
    assert done.code == 0
    assert done.data == {"folder": str(specs), "date": "2026-11-25", "batches": []}
    demo = run("--demo", specs=None)
    assert demo.code == 0
    assert demo.first == run("tonight", "--demo", specs=None).first
    for line in typed(demo.out)[:2]:
        assert run(*shlex.split(line)[1:], specs=None).code == 0


def test_options_before_the_command_are_the_commands(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path / "elsewhere")
    after = run("totals", "anchor", "--specs", str(specs), specs=None)
    assert after.code == 0
    assert run("--specs", str(specs), "totals", "anchor", specs=None) == after
    assert run(f"--specs={specs}", "totals", "anchor", specs=None) == after
    assert run("--demo", "batch", "list", specs=None) == run("batch", "list", "--demo", specs=None)


def test_a_folder_that_is_not_there_is_told() -> None:
    done = run(specs=None, env={"BALANCER_SPECS": "nowhere"})
    assert (done.code, done.out) == (1, "")
    assert "nowhere" in done.err


def test_json_in_front_is_no_value_of_an_option_that_lacks_its_own(tmp_path: Path) -> None:
    """It went to the end of the line, where --as took it for a name."""
    line = ["--json", "swap", "anchor", "--out", "berry", "--in", "plain", "--as"]
    done = run(*line, specs=copy_of_house(tmp_path))
    assert done.code == 2
    assert [problem["code"] for problem in done.data["problems"]] == ["usage"]
