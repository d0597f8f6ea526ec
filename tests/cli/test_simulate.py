"""`simulate` as a manager types it."""

from __future__ import annotations

import builtins
import importlib.util
import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests import pdf
from tests.cli.runner import CHECKOUT, copy_of_house, run
from tests.cli.test_chart import bar, logged

DEMO = CHECKOUT / "specs"
NOW = {"BALANCER_NOW": "2026-11-25T18:30+01:00"}
QUICK = ("--draws", "400")
STRONG = [53.0, 53.4, 52.6, 53.1, 52.8, 53.2, 53.3, 52.6]


def test_the_first_line_is_the_answer() -> None:
    done = run("simulate", "--sd", "2", *QUICK, specs=DEMO, env=NOW)
    assert (done.code, done.err) == (0, "")
    said = re.match(
        r"of 100 drinks poured as written, (\d+) would be out of tolerance; measured and\s+repoured (\d+); "
        r"corrected (under 1|\d+)\n",
        done.out,
    )
    assert said
    assert int(said[1]) > int(said[2]) > 0


def test_at_most_eight_rows_and_what_was_assumed() -> None:
    """Head, two syrups and three drinks, what is not told, and seed, draws, spread, independence and reading."""
    for words in (("--sd", "2"), ()):
        done = run("simulate", *words, *QUICK, specs=DEMO, env=NOW)
        rows = [line for line in done.out.splitlines() if re.match("  [^ ]", line)]
        assert len(rows) <= 8
        assert rows[-1].startswith("  assumed: ")
    flat = " ".join(done.out.split())
    for said in ("the log's spread of 1 syrup, each syrup by itself", "a reading off by up to ±", "400 draws, seed 1"):
        assert said in flat


def test_all_shows_every_drink_and_every_assumption() -> None:
    done = run("simulate", "--sd", "2", *QUICK, "--all", specs=DEMO, env=NOW)
    data = run("simulate", "--sd", "2", *QUICK, "--json", specs=DEMO, env=NOW).data
    flat = " ".join(done.out.split())
    assert all(drink["name"] in flat for drink in data["drinks"])
    assert all(f"with {syrup['name']}" in flat for syrup in data["syrups"])
    assert all(said in flat for said in data["assumed"] if not said.startswith("pour no syrup"))
    assert "pour no syrup, and do not count: " in flat
    assert "--all" not in done.out


def test_the_log_of_the_house_tells_how_its_syrups_vary(tmp_path: Path) -> None:
    """And what it cannot tell is named, not taken for steady."""
    log = logged(STRONG) + '- {"batch": "HON-1", "syrup": "honey-syrup", "event": "made", "brix": 51}\n'
    data = run("simulate", *QUICK, "--json", specs=bar(tmp_path, log)).data
    (syrup,) = data["syrups"]
    assert (syrup["syrup"], syrup["batches"]) == ("berry-syrup", 8)
    assert syrup["mean_brix"] == pytest.approx(53.0)
    assert {row["syrup"]: row["batches"] for row in data["too_few"]}["honey-syrup"] == 1
    told, untold = ({row["drink"] for row in data[key]} for key in ("drinks", "not_told"))
    assert told
    assert untold
    assert not told & untold
    done = run("simulate", *QUICK, specs=tmp_path / "specs")
    assert re.search(r"\d+ drinks not told, see below", " ".join(done.out.split()))
    assert "too few batches in the log of" in " ".join(done.out.split())


def test_a_house_without_a_log_is_asked_for_a_spread() -> None:
    done = run("simulate")
    assert done.code == 1
    assert "too few batches of any syrup" in done.err
    assert "--sd 2" in done.err


def test_some_drinks_and_a_spread_of_one_syrup() -> None:
    done = run("simulate", "slipway", "--sd", "rasp=4", *QUICK, specs=DEMO, env=NOW)
    assert done.first.startswith("Slipway Sour: of 100 poured as written, ")
    assert "raspberry syrup, 50 ±8 °Bx" in done.out
    beside = run("simulate", "slipway", "slow bell", "--sd", "rasp=4", *QUICK, specs=DEMO, env=NOW)
    assert "pour no syrup, and do not count: Slow Bell" in beside.out
    both = run("simulate", "--sd", "1,5 °Bx", "--sd", "raspberry syrup=4", *QUICK, "--json", specs=DEMO, env=NOW).data
    assert {row["syrup"]: row["sd_brix"] for row in both["syrups"]}["raspberry-syrup"] == 4.0
    assert {row["sd_brix"] for row in both["syrups"]} == {1.5, 4.0}


def test_a_better_refractometer_is_worth_something() -> None:
    usual, better = (
        run("simulate", "--sd", "2", "--uncertainty", brix, "--draws", "4000", "--json", specs=DEMO, env=NOW).data
        for brix in ("1.2", "0")
    )
    assert usual["out_percent"]["as_written"] == better["out_percent"]["as_written"]
    assert usual["out_percent"]["new_pours"] > better["out_percent"]["new_pours"]
    assert usual["out_percent"]["corrected"] > better["out_percent"]["corrected"]


def test_the_same_seed_prints_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """With numpy and without it, to the last digit."""
    words = ("simulate", "--sd", "2", "--draws", "300", "--json")
    with_numpy = run(*words, specs=DEMO, env=NOW).out
    found, imported = importlib.util.find_spec, builtins.__import__

    def no_numpy(name: str, *rest: Any, **keys: Any) -> Any:
        if name.partition(".")[0] == "numpy" or name.endswith("simulate.vectors"):
            raise AssertionError(name)
        return imported(name, *rest, **keys)

    monkeypatch.setattr(
        "balancer.engine.simulate.simulate.find_spec", lambda name: None if name == "numpy" else found(name)
    )
    monkeypatch.setattr(builtins, "__import__", no_numpy)
    assert run(*words, specs=DEMO, env=NOW).out == with_numpy
    said = " ".join(run(*words[:-1], specs=DEMO, env=NOW).out.split())
    assert "faster with numpy: pip install 'balancer[simulate]'" in said
    monkeypatch.undo()
    assert "numpy" not in run(*words[:-1], specs=DEMO, env=NOW).out
    assert run(*words, "--seed", "2", specs=DEMO, env=NOW).out != with_numpy


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--sd", "2", "--sd", "3"), "two spreads for every syrup"),
        (("--sd", "berry=2", "--sd", "berry=3"), "berry syrup is given twice"),
        (("--sd", "x"), '--sd: "x"'),
        (("--sd", "40"), '"40" cannot be right'),
        (("--sd", "nonsuch=2"), 'no syrup is called "nonsuch"'),
        (("--sd", "2", "--draws", "10"), "--draws: 10 cannot be meant"),
        (("--sd", "2", "--out", "worth.txt"), '"worth.txt" is not the name of a page'),
        (("--sd", "2", "--on", "a3"), '"a3" is not one of the choices'),
        (("anchor", "--sd", "honey=2"), "no drink asked about pours honey syrup"),
    ],
)
def test_wrong_usage(words: tuple[str, ...], said: str) -> None:
    done = run("simulate", *words)
    assert done.code == 2
    assert said in done.err


def test_a_drink_that_did_not_load_is_told(tmp_path: Path) -> None:
    """It is one of the menu, so the answer is not for all of it."""
    broken = "drink: Loose Plank\nmethod: shaken\npours:\n  - 20 ml berry syrup\n  - 20 ml nonsuch\n"
    done = run("simulate", "--sd", "2", *QUICK, specs=copy_of_house(tmp_path, drinks__broken=broken))
    assert done.code == 1
    assert "1 drink not told, see below" in " ".join(done.out.split())
    assert "not told: Loose Plank did not load" in done.out


def test_the_page(tmp_path: Path) -> None:
    """The file is there and named; its picture is the slow tests'."""
    out = tmp_path / "worth.svg"
    done = run("simulate", "--sd", "2", *QUICK, "--out", str(out), "--json", specs=DEMO, env=NOW)
    assert done.data["files"] == [str(out)]
    assert out.read_bytes().startswith(b"<svg")


@pytest.mark.slow
def test_the_page_says_what_the_screen_says(tmp_path: Path) -> None:
    """The answer, every course, every drink with its figures, and what was assumed."""
    out = tmp_path / "worth.pdf"
    data = run("simulate", "--sd", "2", *QUICK, "--out", str(out), "--json", specs=DEMO, env=NOW).data
    said = " ".join(pdf.text(out).split())  # a no-break blank is a blank
    first = run("simulate", "--sd", "2", *QUICK, specs=DEMO, env=NOW).out.split("\n  of 100")[0]
    assert " ".join(first.split()) in said
    for drink in data["drinks"][:9]:
        assert drink["name"].replace("'", "’") in said
    assert data["assumed"][-1].replace("\N{NO-BREAK SPACE}", " ") in said.replace("\N{NO-BREAK SPACE}", " ")
    assert json.dumps(data["histogram"])


def test_a_spread_that_is_given_needs_no_log(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    sound = run("simulate", "--sd", "2", "--draws", "100", specs=specs)
    (specs / "batches.yaml").write_bytes(b"\xff\xfe\x00")
    assert run("simulate", "--sd", "2", "--draws", "100", specs=specs) == sound
    assert "what is open is unknown" in run("simulate", "--draws", "100", specs=specs).err
    one = ("simulate", "anchor", "--sd", "berry=2", "--draws", "100")
    done = run(*one, specs=specs)
    (specs / "batches.yaml").unlink()
    assert done == run(*one, specs=specs)
    assert done.code == 0


@pytest.mark.parametrize("zero", ["0", "0 °Bx", "-0"])
def test_no_spread_at_all_is_one(tmp_path: Path, zero: str) -> None:
    """Each batch at its standard: none is off. Of what is no spread it is told from where to where, and whose it is."""
    specs = copy_of_house(tmp_path)
    done = run("simulate", f"--sd={zero}", "--draws", "100", specs=specs)
    assert done.code == 0
    assert done.first.startswith("of 100 drinks poured as written, 0 would be out of tolerance")
    told = run("simulate", "--sd=2", "--sd=berry=-1", specs=specs).err
    assert '--sd of berry syrup: "-1" cannot be right' in told
    assert "give a number from 0 to 15 °Bx" in told
