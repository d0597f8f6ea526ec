"""Whatever Python is answered, the command answers too: the same keys, the same values, the same refusals."""

from __future__ import annotations

import inspect
import tempfile
from collections.abc import Callable, Sequence
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any, Final, NamedTuple, cast

from hypothesis import given
from hypothesis import strategies as st

import balancer
from balancer import BalancerError, BarFolder, Reply, UsageError
from tests.across.houses import CLOCK, Bar, bars, tried
from tests.cli.runner import HOUSE, copy_of_house, run

MADE_UP: Final = "50 °Bx, acid 9 g/kg"


class Question(NamedTuple):
    """A question to both."""

    line: list[str]
    ask: Callable[[], Reply[Any]]


def both(line: list[str], method: Callable[..., Reply[Any]], *given: Any, **named: Any) -> Question:
    return Question(line, partial(method, *given, **named))


def questions(bar: BarFolder, brix: float, percent: int) -> list[Question]:
    """Every method, and the line that asks the same."""
    drinks, syrups = bar.drinks, bar.syrups
    read = [one.batch.id for one in bar.batches().result[:2]] or ["RAS-1"]  # both refuse a batch that there is not
    return [
        *(asked for drink in drinks[:2] for asked in of_drink(bar, drink, poured(bar, drink), syrups[-1], percent)),
        *(asked for syrup in syrups[:2] for asked in of_syrup(bar, syrup, brix, drinks[:2])),
        *(both(["correct", "--batch", batch], bar.correct, batch) for batch in read),
        *(
            both(
                ["correct", "--batch", batch, "--mass", "1.2kg", "--target", "40", "--with", "sugar", "--stirred"],
                bar.correct, batch, mass_g=1200, target_brix=40, add="sugar", stirred=True,
            )
            for batch in read
        ),
        *(both(["measure", f"{brix}", batch], bar.measure, brix, batch) for batch in read),
        both(["totals", drinks[0], "--against", drinks[-1]], bar.totals, drinks[0], against=drinks[-1]),
        both(["totals", drinks[0], "--against", "printed"], bar.totals, drinks[0], against="printed"),
        *(
            both(["totals", drinks[0], "--against", f"{file}"], bar.totals, drinks[0], against=f"{file}")
            for file in sorted((bar.folder / "drinks").glob("*.yaml"))[:2]
        ),
        both(["totals"], bar.totals),
        *(both(["totals", "--sort", by], bar.totals, sort=by) for by in ("name", "abv", "ratio", "Strength", "colour")),
        both(["totals", "--reverse"], bar.totals, reverse=True),
        both(["totals", "--sort", "sugar", "--reverse"], bar.totals, sort="sugar", reverse=True),
        both(["simulate", "--sd", "2", "--draws", "100"], bar.simulate, sd_brix=2.0, draws=100),
        both(
            ["simulate", *drinks[:2], "--sd", "1", "--sd", f"{syrups[0]}=3", "--uncertainty", "0.5", "--draws", "100",
             "--seed", "7"],
            bar.simulate, drinks[:2], sd_brix=1.0, own_sd_brix={syrups[0]: 3.0}, uncertainty_brix=0.5, draws=100,
            seed=7,
        ),
        both(["tonight"], bar.tonight),
        both(["tonight", "--date", "2026-11-26"], bar.tonight, date(2026, 11, 26)),
        both(["tonight", "--date", "tomorrow"], bar.tonight, "tomorrow"),
        both(["simulate", "--draws", "100"], bar.simulate, draws=100),
        both(["batch", "list"], bar.batches),
        # of no syrup: after questions about the whole house, the house alone must count
        both(["correct", "--brix", f"{brix}", "--target", "50"], bar.correct, brix=brix, target_brix=50.0),
        both(["measure", f"{brix}"], bar.measure, brix),
        both(["measure", "1.4201nD"], bar.measure, "1.4201nD"),
        both(["measure", "1.235SG", syrups[0]], bar.measure, "1.235SG", syrups[0]),
        both(["swap", "--all", "--out", syrups[0], "--in", syrups[-1]], bar.swap_everywhere, syrups[0], syrups[-1]),
        both(
            ["swap", "--all", "--out", syrups[0], "--in", MADE_UP, "--tonight"],
            bar.swap_everywhere, syrups[0], MADE_UP, tonight=True,
        ),
        both(
            ["swap", "--all", "--out", syrups[-1], "--in", syrups[0], "--hold", "sweetness"],
            bar.swap_everywhere, syrups[-1], syrups[0], hold="sweetness",
        ),
    ]  # fmt: skip


def poured(bar: BarFolder, drink: str) -> str:
    """A syrup that a drink pours; any where it pours none, so that both refuse."""
    ids = [part.pour.of for part in bar.totals(drink).result.contributions]
    return next((each for each in ids if each in bar.syrups), bar.syrups[0])


def of_drink(bar: BarFolder, drink: str, out: str, into: str, percent: int) -> list[Question]:
    swap = ["swap", drink, "--out", out]
    return [
        both(["totals", drink], bar.totals, drink),
        both([*swap, "--in", into], bar.swap, drink, out, into),
        both(
            [*swap, "--in", MADE_UP, "--hold", "sugar,volume", "--tonight"],
            bar.swap, drink, out, MADE_UP, hold="sugar,volume", tonight=True,
        ),
        both(swap, bar.stand_ins, drink, out),
        both([*swap, "--hold", "volume"], bar.stand_ins, drink, out, hold="volume"),
        *(both(["adjust", drink, "--glass", glass], bar.adjust, drink, glass=glass) for glass in ("coupe", "rocks")),
        both(["adjust", drink, "--sugar", "14g", "--acid", "1g"], bar.adjust, drink, sugar="14g", acid="1g"),
        both(["adjust", drink, "--sugar", f"{percent:+}%"], bar.adjust, drink, sugar=f"{percent:+}%"),
        both(
            ["adjust", drink, "--acid", "-5%", "--abv", "12%", "--volume", "150ml"],
            bar.adjust, drink, acid="-5%", abv_percent=12.0, volume_ml=150.0,
        ),
    ]  # fmt: skip


def of_syrup(bar: BarFolder, syrup: str, brix: float, drinks: Sequence[str]) -> list[Question]:
    of, number = ["--syrup", syrup], f"{brix}"
    return [
        both(["rescale", *of, "--brix", number], bar.rescale, syrup, brix),
        both(
            ["rescale", *of, "-b", number, *drinks, "--uncertainty", "0.4", "--cause", "boiled", "--alone", "--yes"],
            bar.rescale, syrup, brix, drinks, uncertainty_brix=0.4, cause="boiled", alone=True, yes=True,
        ),
        both(["rescale", *of, "-b", number, drinks[0]], bar.rescale, syrup, brix, drinks[0]),
        both(["measure", number, syrup], bar.measure, brix, syrup),
        both(
            ["measure", number, f"{brix + 0.5}", syrup, "--temperature", "24C", "--no-atc", "--scale", "0-90",
             "--division", "0.2", "--accuracy", "0.3", "--zero", "0.1", "--acid", "9g/kg", "--abv", "0.4", "--cause",
             "watered", "--alone", "--yes"],
            bar.measure, [brix, brix + 0.5], syrup, temperature_c=24.0, atc=False, scale="0-90", division_brix=0.2,
            accuracy_brix=0.3, zero_brix=0.1, acid="9 g/kg", abv_percent=0.4, cause="watered", alone=True, yes=True,
        ),
        both(
            ["measure", f"{brix / 2}", syrup, "--dilute", "100 g + 100 g"],
            bar.measure, brix / 2, syrup, dilute="100 g + 100 g",
        ),
        both(
            ["correct", *of, "--brix", number, "--mass", "2kg", "--with", "water"],
            bar.correct, syrup=syrup, brix=brix, mass_g=2000.0, add="water",
        ),
        both(["correct", *of], bar.correct, syrup=syrup),
        both(
            ["correct", *of, "--brix", number, "--volume", "2l", "--stirred"],
            bar.correct, syrup=syrup, brix=brix, volume_ml=2000.0, stirred=True,
        ),
        both(
            ["correct", *of, "--brix", number, "--volume", "1.5l", "--target", "45", "--with", "12.5", "--container",
             "2l", "--uncertainty", "0.5", "--stirred", "--alone", "--yes"],
            bar.correct, syrup=syrup, brix=brix, volume_ml=1500.0, target_brix=45.0, add=12.5, container_ml=2000.0,
            uncertainty_brix=0.5, stirred=True, alone=True, yes=True,
        ),
    ]  # fmt: skip


def test_every_argument_is_asked_both_ways() -> None:
    """What nobody asks here could be answered otherwise."""
    asked: dict[str, set[str]] = {}
    for _, question in questions(opened(HOUSE), 54.0, -10):
        ask = cast("partial[Any]", question)
        bound = inspect.signature(ask.func).bind(*ask.args, **ask.keywords)
        asked.setdefault(ask.func.__name__, set()).update(bound.arguments)
    methods = inspect.getmembers(BarFolder, inspect.isfunction)
    every = {name: {*inspect.signature(method).parameters} for name, method in methods if not name.startswith("_")}
    del every["log"]  # no command prints it
    assert {name: names - {"self"} for name, names in every.items()} == asked


def replied(ask: Callable[[], Reply[Any]]) -> Reply[Any] | BalancerError:
    try:
        return ask()
    except BalancerError as error:
        return error


def compared(specs: Path, bar: BarFolder, brix: float, percent: int) -> tuple[int, int, int]:
    """Ask everything in both ways; how many were answered, answered with problems, and refused. Nothing is written."""
    answered = troubled = refused = 0
    before = {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}
    for line, ask in questions(bar, brix, percent):
        said, reply = run(*line, "--json", specs=specs, env=CLOCK), replied(ask)
        if isinstance(reply, BalancerError):
            assert said.code == (2 if isinstance(reply, UsageError) else 1), line
            told = [problem["code"] for problem in said.data["problems"]]
            assert [problem.code for problem in reply.problems()] == told, line
            refused += 1
        else:
            assert "problems" not in said.data, f"only Python answers {line}"
            assert reply.to_dict() == said.data, line
            assert (said.code == 1) == bool(reply.problems), line
            answered += 1
            troubled += bool(reply.problems)
    assert before == {path: path.read_bytes() for path in specs.rglob("*") if path.is_file()}
    return answered, troubled, refused


def opened(specs: Path) -> BarFolder:
    return balancer.load(specs, at=datetime.fromisoformat(CLOCK["BALANCER_NOW"]))


@tried(30)
@given(bars(), st.integers(250, 750).map(lambda tenths: tenths / 10), st.sampled_from([-60, -10, 5, 40]))
def test_every_method_of_any_house(made: Bar, brix: float, percent: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        specs = made.write(Path(folder))
        answered, _, _ = compared(specs, opened(specs), brix, percent)
        assert answered > 10


def test_a_house_with_broken_files_is_told_of_as_the_command_does(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path, drinks__broken="drink: Broken\npours:\n  - 20 ml berry syrup\n  - 20 x rum\n")
    made = "- {batch: RAS-1, syrup: berry-syrup, event: made, brix: 54 °Bx, at: '2026-11-25T15:00+00:00'}\n"
    in_use = "- {batch: RAS-1, event: open, at: '2026-11-25T16:00+00:00'}\n"
    (specs / "batches.yaml").write_text(f"{made}{in_use}- {{nonsense\n", encoding="utf-8")
    answered, troubled, _ = compared(specs, opened(specs), 54.0, -10)
    assert answered > troubled > 5  # what asks neither for the log nor for what the drink pours is sound


def test_a_house_without_a_house_file_is_told_of_too(tmp_path: Path) -> None:
    specs = copy_of_house(tmp_path)
    (specs / "house.yaml").write_text("format: 1\nhouse: Slip\ntolerance: lots\n", encoding="utf-8")
    answered, troubled, _ = compared(specs, opened(specs), 54.0, -10)
    assert answered == troubled > 10


def test_the_demo_is_marked_as_the_command_marks_it() -> None:
    bar = balancer.load(demo=True)
    asked = [
        both(["tonight"], bar.tonight),
        both(["totals", "slipway sour"], bar.totals, "slipway sour"),
        both(["correct", "--batch", "RAS-12"], bar.correct, "RAS-12"),
    ]
    for line, ask in asked:
        assert ask().to_dict() == run(*line, "--demo", "--json", specs=None).data


def test_the_house_of_the_tests_has_what_is_asked() -> None:
    answered, _, refused = compared(HOUSE, opened(HOUSE), 54.0, -10)
    assert answered > 2 * refused
