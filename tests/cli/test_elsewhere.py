"""Problems beside an answer never bury it, and what an answer lacks is in its first line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.runner import answered, copy_of_house, run

NOW = {"BALANCER_NOW": "2026-11-25T18:00+00:00"}
BROKEN = "drink: Ebb Tide\nmethod: shaken\npours:\n  - 60 ml gold rumm\n  - 20 ml lyme juise\n  - 20 ml berry syrup\n"
OPEN = (
    '- {"batch": "BER-1", "syrup": "berry-syrup", "event": "made", "brix": 50}\n- {"batch": "BER-1", "event": "open"}\n'
)


@pytest.fixture
def specs(tmp_path: Path) -> Path:
    specs = copy_of_house(tmp_path, drinks__ebb=BROKEN)
    (specs / "batches.yaml").write_text(OPEN, encoding="utf-8")
    return specs


@pytest.mark.parametrize("words", [(), ("tonight",), ("batch", "add", "berry", "54")])
def test_the_first_problem_in_full_and_how_many_more(specs: Path, words: tuple[str, ...]) -> None:
    """Its line, the user's own line, the caret, the remedy; then one line for the rest."""
    lines = run(*words, specs=specs, env=NOW).err.splitlines()
    assert lines[0].endswith(':4:11: no ingredient or syrup is called "gold rumm"')
    assert lines[-1] == "and 1 more: balancer check"
    assert len(lines) <= 5
    assert [line for line in lines if "lyme juise" in line] == []
    as_json = json.loads(run("tonight", "--json", specs=specs, env=NOW).err)["problems"]
    assert len(as_json) == 2
    assert "lyme juise" in run("check", specs=specs, env=NOW).out


_MANY = "".join(
    f"- {{drink: Deep {number}, method: built, glass: coupe, pours: [181 ml gold rum]}}\n" for number in range(40)
)


def test_many_doubts_do_not_bury_the_cards(tmp_path: Path) -> None:
    """40 drinks of 181 ml are doubted each: four stand before the answer, none below it, and how many more."""
    specs = copy_of_house(tmp_path, drinks__deep=_MANY)
    done = run("cards", "--out", str(tmp_path / "c.pdf"), specs=specs, env=NOW)
    doubted = [line for line in done.out.splitlines() if line.startswith("Deep ")]
    assert len(doubted) == 4
    more = next(line for line in done.out.splitlines() if line.endswith("more doubts: balancer check"))
    told = {problem["message"] for problem in json.loads(run("check", "--json", specs=specs, env=NOW).out)["problems"]}
    assert int(more.split()[1]) + 4 == len(told)
    assert {*doubted} <= told
    assert len(done.err.splitlines()) <= 5
    assert "cannot be printed" in done.err  # of another drink, which is left out: that is told
    assert done.err.splitlines()[-1] == f"and {len(told)} more: balancer check"
    whole = run("cards", "--all", "--out", str(tmp_path / "c.pdf"), specs=specs, env=NOW)
    assert told <= {*whole.out.splitlines()}


def test_many_cards_that_are_left_out_are_cut_and_all_tells_each(tmp_path: Path) -> None:
    """Twelve names with a sign that the font has not, and one that the house has already."""
    odd = "".join(f"- {{drink: 酒 {number}, method: built, pours: [60 ml gold rum]}}\n" for number in range(12))
    specs = copy_of_house(tmp_path, drinks__odd=odd)
    words = ("cards", "--out", str(tmp_path / "c.pdf"))
    done = run(*words, specs=specs, env=NOW)
    assert "13 drinks left out, see below" in " ".join(done.out.split())
    assert done.err.count("cannot be printed") == 8
    assert "and 5 more: --all" in done.err.splitlines()
    whole = run(*words, "--all", specs=specs, env=NOW)
    assert whole.err.count("cannot be printed") == 13
    assert "--all" not in whole.err


@pytest.mark.parametrize("sheet", ["rail", "allergens"])
def test_what_a_sheet_cannot_print_is_told_by_all(tmp_path: Path, sheet: str) -> None:
    """`check` knows nothing of the font, so that it is not named for it. One such name the house has already."""
    odd = "".join(f"- {{drink: 酒 {number}, method: built, pours: [60 ml gold rum]}}\n" for number in range(5))
    specs = copy_of_house(tmp_path, drinks__odd=odd)
    assert "cannot be printed" not in run("check", "--all", specs=specs, env=NOW).out
    words = ("sheet", sheet, "--out", str(tmp_path / "s.pdf"))
    done = run(*words, specs=specs, env=NOW)
    assert done.err.count("cannot be printed") == 1
    assert done.err.splitlines()[-1] == "and 5 more: --all"
    whole = run(*words, "--all", specs=specs, env=NOW)
    assert whole.err.count("cannot be printed") == 6
    (specs / "drinks" / "ebb.yaml").write_text(BROKEN, encoding="utf-8")
    both = run(*words, specs=specs, env=NOW).err.splitlines()
    assert both[-2:] == ["and 5 more: --all", "and 2 more in the files: balancer check"]


@pytest.mark.parametrize("words", [(), ("tonight",)])
def test_a_drink_that_is_left_out_is_not_as_written(specs: Path, words: tuple[str, ...]) -> None:
    done = run(*words, specs=specs, env=NOW)
    assert done.code == 1
    assert done.first.endswith("every drink that can be read as written")
    assert "missing here, their files are broken: Ebb Tide" in done.out
    (specs / "drinks" / "ebb.yaml").unlink()
    whole = run(*words, specs=specs, env=NOW)
    assert (whole.code, whole.first.endswith(": every drink as written")) == (0, True)


def test_what_touches_the_answer_is_told_first(specs: Path) -> None:
    """A reading of 5.4 in the log is more to the point than the drink that does not load."""
    (specs / "batches.yaml").write_text(OPEN + '- {"batch": "BER-1", "event": "reading", "brix": 5.4}\n')
    lines = run("tonight", specs=specs, env=NOW).err.splitlines()
    assert "batches.yaml:3:" in lines[0]
    assert lines[-1] == "and 2 more: balancer check"


def test_a_terminal_gets_lines_that_fit_and_the_line_to_type_whole(tmp_path: Path) -> None:
    folder = tmp_path / "bar"
    assert run("start", str(folder), specs=None).code == 0
    command = f'balancer start {folder} --pantry "yuzu juice"'
    drink = "drink: Fog Signal\nmethod: shaken\npours:\n  - 20 ml yuzu juice\n"
    (folder / "drinks" / "new.yaml").write_text(drink)
    code, seen = answered("yuzu", "", "totals", "fog", "--specs", str(folder))
    assert (code, command in seen) == (1, True)
    code, seen = answered("groups", "", "start", str(folder), "--pantry", "zzz")
    assert (code != 0, seen.startswith('the pantry has no group or ingredient called "zzz"\n')) == (True, True)
    assert max(map(len, seen.splitlines())) <= 80
    assert len(seen.splitlines()) > 2
