"""What the Python interface promises."""

from __future__ import annotations

import pickle
import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import pytest

import balancer
from balancer import (
    BalancerError,
    BarFolder,
    CannotError,
    OutOfRangeError,
    Problem,
    ProblemsError,
    QuantityError,
    Reply,
    UsageError,
)
from tests.cli.runner import CHECKOUT, HOUSE, copy_of_house
from tests.permissions import permissions_hold

EVENING = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
LOG = """\
- {batch: RAS-1, syrup: berry-syrup, event: made, brix: 54 °Bx, at: '2026-11-25T15:00:00+00:00'}
- {batch: RAS-1, event: open, at: '2026-11-25T16:00:00+00:00'}
"""


@pytest.fixture
def bar(tmp_path: Path) -> BarFolder:
    specs = copy_of_house(tmp_path, batches=LOG)
    return balancer.load(specs, at=EVENING)


def loaded_by(code: str) -> set[str]:
    """The modules of ours, and those that take long, that some code has imported."""
    listed = f"{code}\nimport sys\nprint(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", listed], cwd=CHECKOUT, capture_output=True, text=True, check=True)
    slow = ("typing", "dataclasses", "re", "pydantic", "ruamel.yaml", "importlib.metadata")
    return {name for name in done.stdout.split() if name.startswith("balancer.") or name in slow}


def test_importing_it_imports_nothing_else() -> None:
    assert loaded_by("import balancer; balancer.__version__") == loaded_by("")
    assert "balancer.errors" in loaded_by("import balancer; balancer.BalancerError")
    assert "balancer.asking.python" not in loaded_by("import balancer; balancer.BalancerError")
    assert "pydantic" in loaded_by("import balancer; balancer.BarFolder")


def test_what_is_public_is_there_and_nothing_else() -> None:
    assert {name for name in balancer.__all__ if getattr(balancer, name, None) is None} == set()
    assert set(balancer.__all__) <= set(dir(balancer))
    with pytest.raises(AttributeError, match="no attribute 'ask'"):
        _ = getattr(balancer, "ask")  # noqa: B009 - mypy knows that there is none


def test_files_and_log_are_read_once(bar: BarFolder) -> None:
    before = bar.rescale("berry", 54.0).to_dict(), bar.tonight().to_dict(), bar.batches().to_dict()
    (syrups,) = (bar.folder / "syrups").iterdir()
    syrups.write_text(syrups.read_text(encoding="utf-8").replace("50 °Bx", "40 °Bx"), encoding="utf-8")
    (bar.folder / "batches.yaml").unlink()
    assert before == (bar.rescale("berry", 54.0).to_dict(), bar.tonight().to_dict(), bar.batches().to_dict())
    again = balancer.load(bar.folder, at=EVENING)
    assert again.rescale("berry", 54.0).to_dict()["standard_brix"] == 40.0
    assert again.batches().result == ()


def test_a_program_may_go_elsewhere(bar: BarFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    """The log is read by the first question that needs it: in another folder it would be no log, and nothing open."""
    monkeypatch.chdir(bar.folder.parent)
    near = balancer.load(bar.folder.name, at=EVENING)
    found = balancer.load(at=EVENING)  # specs/, as it is found
    monkeypatch.chdir("/")
    for each in (near, found):
        assert each.tonight().to_dict() == bar.tonight().to_dict()
        assert each.folder == bar.folder
        assert len(each.log()) == 2


def test_a_bar_without_a_log_has_no_batches(tmp_path: Path) -> None:
    asked = balancer.load(copy_of_house(tmp_path), at=EVENING)
    assert (asked.log(), asked.batches().result, asked.problems) == ((), (), ())
    assert asked.tonight().to_dict()["batches"] == []
    with pytest.raises(UsageError, match="no batch is called"):
        asked.correct("RAS-1")


def test_a_question_leaves_no_trace_in_the_next(bar: BarFolder) -> None:
    """The menu notices what has no totals, a reading of no syrup looks at the house alone."""
    alone = bar.rescale("berry", 54.0)
    bar.totals()
    bar.measure(54.0)
    assert bar.rescale("berry", 54.0).to_dict() == alone.to_dict()
    assert bar.rescale("berry", 54.0).problems == alone.problems


def test_the_moment_is_the_one_given(bar: BarFolder) -> None:
    assert bar.at == EVENING
    assert bar.tonight().to_dict()["date"] == "2026-11-25"
    assert balancer.load(bar.folder, at=datetime(2026, 12, 1, 3, 0)).tonight().to_dict()["date"] == "2026-11-30"


def test_the_moment_is_the_clocks_otherwise(bar: BarFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("BALANCER_NOW", "2026-12-01T12:00+00:00")
    asked = balancer.load(bar.folder)
    assert asked.at == datetime(2026, 12, 1, 12, 0, tzinfo=UTC)
    monkeypatch.setenv("BALANCER_NOW", "2026-12-02T12:00+00:00")
    assert asked.tonight().to_dict()["date"] == "2026-12-01"


@pytest.mark.parametrize(
    ("ask", "kind", "said"),
    [
        (lambda bar: bar.rescale("berry", 540.0), UsageError, "brix: "),
        (lambda bar: bar.rescale("berry", float("nan")), UsageError, "brix: "),
        (lambda bar: bar.rescale("berry", 54.0, cause="rain"), UsageError, "cause: "),
        (lambda bar: bar.rescale("berry", 54.0, uncertainty_brix=-1.0), UsageError, "uncertainty_brix: "),
        (lambda bar: bar.correct(syrup="berry", brix=54.0, mass_g=0.0), UsageError, "mass_g: "),
        (
            lambda bar: bar.correct(syrup="berry", brix=54.0, mass_g=1.0, volume_ml=1.0),
            UsageError,
            "mass_g and vol",
        ),
        (lambda bar: bar.correct(syrup="berry", brix=54.0, container_ml=1e9), UsageError, "container_ml: "),
        (lambda bar: bar.correct(syrup="berry", brix=54.0, add=-3.0), UsageError, "add: "),
        (lambda bar: bar.correct(syrup="berry", brix=54.0, add="watre"), UsageError, "add: "),
        (lambda bar: bar.swap("anchor sour", "berry", "53"), UsageError, "into: "),
        (lambda bar: bar.swap("anchor sour", "wine", "honey syrup"), UsageError, "out: "),
        (lambda bar: bar.swap("anchor sour", "berry", "50 °Bx", hold="colour"), UsageError, "hold: "),
        (lambda bar: bar.adjust("anchor sour", sugar="10"), UsageError, "sugar: "),
        (lambda bar: bar.adjust("anchor sour", volume_ml=-5.0), UsageError, "volume_ml: "),
        (lambda bar: bar.adjust("anchor sour", abv_percent=90.0), UsageError, "abv_percent: "),
        (lambda bar: bar.adjust("anchor sour", volume_ml=90.0, glass="coupe"), UsageError, "volume_ml and glass"),
        (lambda bar: bar.measure(54.0, temperature_c=900.0), UsageError, "temperature_c: "),
        (lambda bar: bar.measure(54.0, zero_brix=90.0), UsageError, "zero_brix: "),
        (lambda bar: bar.measure(54.0, dilute="1+1"), UsageError, "dilute: "),
        (lambda bar: bar.measure([54.0, "1.4201nD"]), UsageError, "readings: "),
        (lambda bar: bar.measure([]), UsageError, "readings: "),
        (lambda bar: bar.tonight("21/11"), UsageError, "date: "),
        (lambda bar: bar.totals(sort="colour"), UsageError, "sort: "),
        (lambda bar: bar.totals(against="anchor sour"), UsageError, "against: "),
        (lambda bar: bar.totals("anchor sour", against="no/such.yaml"), UsageError, "against: "),
    ],
)
def test_what_is_wrong_is_told_by_its_argument(
    bar: BarFolder, ask: Callable[[BarFolder], Reply[Any]], kind: type[BalancerError], said: str
) -> None:
    """Nobody who writes Python has options."""
    with pytest.raises(kind) as caught:
        ask(bar)
    (problem,) = caught.value.problems()
    assert problem.message.startswith(said)
    assert "--" not in problem.message


def test_a_slip_is_refused_until_it_is_meant(bar: BarFolder) -> None:
    with pytest.raises(CannotError, match="no syrup") as caught:
        bar.rescale("berry", 5.0)
    assert "yes=True" in caught.value.remedy
    assert bar.rescale("berry", 5.0, yes=True).result.batch_brix == 5.0


def test_a_broken_drink_is_told_with_its_place(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__broken="drink: Broken\nmethod: shaken\npours:\n  - 20 x berry syrup\n")
    asked = balancer.load(specs)
    assert "broken" not in asked.drinks
    with pytest.raises(ProblemsError) as caught:
        asked.totals("Broken")
    (problem, *_) = caught.value.problems()
    assert (problem.path, problem.line) == (str(specs / "drinks" / "broken.yaml"), 4)
    assert problem in asked.problems


def test_no_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(BalancerError, match="there is no folder"):
        balancer.load(tmp_path / "nowhere")
    with pytest.raises(BalancerError):
        balancer.load(tmp_path)
    with pytest.raises(BalancerError, match="is a file, and a bar is a folder"):
        balancer.load(HOUSE / "house.yaml")
    for gone in (tmp_path / "nowhere", tmp_path):
        with pytest.raises(BalancerError) as caught:
            balancer.load(gone)
        assert "balancer.load(" in str(caught.value)
        assert "--" not in str(caught.value).replace(str(gone), "")
    with pytest.raises(UsageError):
        balancer.load(HOUSE, demo=True)
    for name in ("n" * 300, "n/" * 3000):
        with pytest.raises(BalancerError):
            balancer.load(tmp_path / name)


def test_a_closed_folder_is_told(tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    specs = copy_of_house(closed)
    closed.chmod(0o000)
    try:
        with permissions_hold(), pytest.raises(ProblemsError, match="closed to you"):
            balancer.load(specs)
    finally:
        closed.chmod(0o755)


def test_the_log_is_data(bar: BarFolder) -> None:
    assert [(entry.batch, entry.event, entry.brix) for entry in bar.log()] == [
        ("RAS-1", "made", 54.0),
        ("RAS-1", "open", None),
    ]
    (one,) = bar.batches().result
    assert (one.batch.id, one.batch.state, one.batch.brix) == ("RAS-1", "open", 54.0)


def every_question(bar: BarFolder) -> list[Callable[[], Reply[Any]]]:
    sour = "anchor sour"
    return [
        partial(bar.totals, sour),
        bar.totals,
        partial(bar.totals, sour, against=bar.drinks[-1]),
        partial(bar.rescale, "berry", 54.0),
        bar.tonight,
        partial(bar.swap, sour, "berry", "50 °Bx"),
        partial(bar.swap_everywhere, "berry", "50 °Bx"),
        partial(bar.stand_ins, sour, "berry"),
        partial(bar.adjust, sour, sugar="-10%"),
        partial(bar.correct, "RAS-1"),
        partial(bar.measure, 54.0, "berry"),
        bar.batches,
    ]


def test_a_reply_can_be_sent_to_another_process(bar: BarFolder) -> None:
    for ask in every_question(bar):
        reply = ask()
        assert pickle.loads(pickle.dumps(reply)).to_dict() == reply.to_dict()  # noqa: S301 - our own


def test_a_reply_is_frozen(bar: BarFolder) -> None:
    for ask in every_question(bar):
        with pytest.raises(AttributeError):
            ask().problems = ()  # type: ignore[misc]


def test_it_is_short_where_it_is_shown(bar: BarFolder) -> None:
    assert repr(bar) == f"<BarFolder '{bar.folder}': {len(bar.drinks)} drinks>"
    shown = {type(ask().result).__name__: repr(ask()) for ask in every_question(bar)}
    for name, text in shown.items():
        first, *rest = text.splitlines()
        assert first.startswith(f"<Reply: {name}"), text
        assert rest, text
        assert len(rest) < 60, text
        assert max(map(len, rest)) <= 111, text
    told = shown["Rescale"].splitlines()
    assert "  batch_brix: 54" in told
    assert "  syrup: 'berry-syrup'" in told


def test_a_result_is_short_where_it_is_shown_too(bar: BarFolder) -> None:
    """Pages of figures are nothing to look at: a screenful each, and what is inside of it can be looked at so."""
    for ask in every_question(bar):
        text = repr(ask().result)
        assert len(text) < 4000, text
        assert "=<" not in text, text
    rescale = bar.rescale("berry", 54.0).result
    assert "  batch_brix: 54\n" in repr(rescale)
    assert "  syrup: Syrup 'berry-syrup'\n" in repr(rescale)
    assert repr(rescale.rows[0]).startswith("<DrinkRow\n  drink: Drink ")


def test_what_is_wrong_is_counted_where_it_is_shown(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__broken="drink: Broken\npours:\n  - 20 x berry syrup\n")
    assert repr(balancer.load(specs, at=EVENING).rescale("berry", 54.0)).startswith("<Reply: Rescale, 1 problem\n")


@pytest.mark.parametrize(
    "error",
    [
        UsageError("usage", "brix: there is none", "give it"),
        CannotError("cannot", "it is gone", "buy it"),
        ProblemsError([Problem("key", "unknown key", "leave it out", "a.yaml", 3, 5), Problem("b", "two", "")]),
        OutOfRangeError("strength", 99.0, 0.0, 85.0, "°Bx", source="ICUMSA", remedy="read again"),
        QuantityError("unit", "3", "3 has no unit", "write 3 ml"),
    ],
)
def test_an_error_can_be_sent_to_another_process(error: BalancerError) -> None:
    """A pool of processes breaks on one that cannot."""
    again = pickle.loads(pickle.dumps(error))  # noqa: S301 - our own
    assert type(again) is type(error)
    assert (again.problems(), str(again)) == (error.problems(), str(error))


def test_the_text_of_an_error_says_where_and_what_to_do(tmp_path: Path) -> None:
    """In a notebook nothing else is shown of it."""
    specs = copy_of_house(tmp_path, drinks__broken="drink: Broken\nmethod: shaken\npours:\n  - 20 x berry syrup\n")
    with pytest.raises(ProblemsError) as caught:
        balancer.load(specs).totals("Broken")
    (problem,) = caught.value.problems()
    assert str(caught.value).startswith(f"{problem.path}:4:{problem.column}: ")
    assert str(caught.value).endswith(f"{problem.message}; {problem.remedy}")
    with pytest.raises(BalancerError) as caught_here:
        balancer.load("")
    assert str(caught_here.value).startswith(f'there is no bar in "{Path.cwd()}": no house.yaml')


def test_a_bar_can_be_sent_to_another_process(bar: BarFolder) -> None:
    """A pool of processes is handed one."""
    again = pickle.loads(pickle.dumps(bar))  # noqa: S301 - our own
    assert again.at == bar.at
    for ours, theirs in zip(every_question(bar), every_question(again), strict=True):
        assert theirs().to_dict() == ours().to_dict()


def test_a_bar_a_thread(bar: BarFolder) -> None:
    def answers(folder: Path) -> list[dict[str, Any]]:
        return [ask().to_dict() for ask in every_question(balancer.load(folder, at=EVENING))]

    with ThreadPoolExecutor(4) as pool:
        found = list(pool.map(answers, [bar.folder] * 4))
    assert found == [answers(bar.folder)] * 4
