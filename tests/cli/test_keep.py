"""`--write` and `--as` of a command that finds other pours: its answer, then what is kept of it and where."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.runner import answered, copy_of_house, run

pty = pytest.importorskip("pty", reason="no such terminal on this system")

SOURS = "drinks/sours.yaml"
DRIER = ("adjust", "anchor", "--sugar", "-10%")
DATED = "  version: 2\n  date: 2026-11-25\n"


@pytest.fixture(autouse=True)
def evening(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", "2026-11-25T18:00:00+01:00")


def read(specs: Path) -> str:
    return (specs / SOURS).read_text(encoding="utf-8")


def test_the_answer_comes_first_and_stays_as_it_is(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    plain = run(*DRIER, specs=specs)
    done = run(*DRIER, "--write", "--yes", specs=specs)
    assert (plain.code, done.code, done.err) == (0, 0, "")
    assert read(specs) == before.replace("22.5 ml berry syrup\n", f"20 ml berry syrup\n{DATED}", 1)
    kept = done.out.removeprefix(f"{plain.out.rstrip()}\n\n")
    assert kept.splitlines()[:5] == [
        f"written: {specs / SOURS}, line 6",
        "-    - 22.5 ml berry syrup",
        "+    - 20 ml berry syrup",
        "+  version: 2",
        "+  date: 2026-11-25",
    ]
    assert "balancer cards --changed prints it" in " ".join(kept.split())


@pytest.mark.parametrize("option", [("--write",), ("-w",), ("--as", "Dry Anchor")])
def test_nobody_to_ask_is_nothing_written(tmp_path: Path, option: tuple[str, ...]) -> None:
    specs = copy_of_house(tmp_path)
    files = {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}
    done = run(*DRIER, *option, specs=specs)
    assert done.code == 1
    assert f"\nnot written: {specs / 'drinks'}" in done.out
    assert "nobody can be asked here: --yes writes it" in " ".join(done.out.split())
    assert {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()} == files


def test_a_name_alone_keeps_it(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run(*DRIER, "--as", "Dry Anchor", "--yes", specs=specs)
    path = specs / "drinks/dry-anchor.yaml"
    assert (done.code, read(specs)) == (0, before)
    assert f"\nwritten: {path}, a new file\n+drink: Dry Anchor\n" in done.out
    assert path.read_text(encoding="utf-8") == (
        "drink: Dry Anchor\nmethod: shaken\npours:\n  - 60 ml gold rum\n  - 22.5 ml lime juice\n"
        "  - 20 ml berry syrup\nversion: 1\ndate: 2026-11-25\n"
    )


@pytest.mark.parametrize(("answer", "code"), [("y\n", 0), ("n\n", 1)])
def test_it_asks(tmp_path: Path, answer: str, code: int) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done, screen = answered("[y/N]", answer, *DRIER, "--write", "--specs", str(specs))
    assert done == code
    assert screen.startswith("Anchor Sour, sugar −10 %: 20 ml berry syrup")
    assert f"\n\n{specs / SOURS}, line 6\n-    - 22.5 ml berry syrup\n" in screen
    assert screen.rstrip().endswith(f"written: {specs / SOURS}" if code == 0 else "nothing was written")
    assert (read(specs) == before) is (code == 1)


def test_json_gains_what_is_kept(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    plain = run(*DRIER, "--json", specs=specs).data
    done = run(*DRIER, "--write", "--yes", "--json", specs=specs)
    assert done.code == 0
    assert {key: done.data[key] for key in plain} == plain
    assert (done.data["kept"], done.data["version"], done.data["written"]) == ("anchor-sour", "2", True)
    assert done.data["diff"].endswith("+    - 20 ml berry syrup\n+  version: 2\n+  date: 2026-11-25")


@pytest.mark.parametrize(
    ("words", "code", "why"),
    [
        (("--sugar", "-1%"), 0, "it is poured as written"),
        (("--sugar", "1g"), 1, "that is no answer to keep"),
    ],
)
def test_what_is_no_change_or_no_answer_is_not_written(
    tmp_path: Path, words: tuple[str, ...], code: int, why: str
) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("adjust", "anchor", *words, "--write", "--yes", specs=specs)
    assert done.code == code
    assert f"\n\nnot written: {why}" in done.out
    assert read(specs) == before
    told = run("adjust", "anchor", *words, "--write", "--yes", "--json", specs=specs).data
    assert (told["kept"], told["written"], told["diff"]) == (None, False, "")


def test_a_swap_is_kept(tmp_path: Path) -> None:
    """At standard both syrups are as strong: as much of the one as of the other."""
    specs = copy_of_house(tmp_path)
    before = read(specs)
    words = ("swap", "anchor", "--out", "berry", "--in", "plain syrup")
    plain, done = run(*words, specs=specs), run(*words, "--write", "--yes", specs=specs)
    assert (plain.code, done.code) == (0, 0)
    assert done.out.startswith(f"{plain.out.rstrip()}\n\nwritten: {specs / SOURS}, line 6\n")
    assert read(specs) == before.replace("22.5 ml berry syrup\n", f"22.5 ml plain syrup\n{DATED}", 1)


def test_a_swap_into_what_is_poured_already_is_one_pour(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run(
        "swap", "bollard", "--out", "berry", "--in", "plain syrup", "--as", "Plain Bollard", "--yes", specs=specs
    )
    assert (done.code, read(specs)) == (0, before)
    assert (specs / "drinks/plain-bollard.yaml").read_text(encoding="utf-8") == (
        "drink: Plain Bollard\nmethod: shaken\npours:\n  - 45 ml dry gin\n  - 30 ml white vermouth\n"
        "  - 22.5 ml plain syrup\nversion: 1\ndate: 2026-11-25\n"
    )


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("anchor", "--out", "berry", "--in", "plain syrup", "--tonight"), 2, "what is right for one batch is no spec"),
        (("anchor", "--out", "berry"), 2, "name a drink, and what comes with --in"),
        (("--all", "--out", "berry", "--in", "plain syrup"), 2, "keep one swap of one drink"),
        (("anchor", "--out", "berry", "--in", "50 °Bx"), 1, "no drink can pour what the house has no file of"),
    ],
)
def test_a_swap_that_is_no_spec(tmp_path: Path, words: tuple[str, ...], code: int, said: str) -> None:
    specs = copy_of_house(tmp_path)
    before = read(specs)
    done = run("swap", *words, "--write", "--yes", specs=specs)
    assert (done.code, done.out) == (code, "")
    assert said in done.err
    assert read(specs) == before
