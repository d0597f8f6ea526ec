"""The one runner: what is printed where, and the exit code, for any command."""

from __future__ import annotations

from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from balancer.cli.help import PLAIN
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.errors import CannotError, Problem, UsageError
from tests.cli.runner import Run, copy_of_house, run
from tests.cli.test_swap import log

TORN = '- {"batch": "BER-9", "event": "rea\n'


def answered(answer: Answer | Exception, *words: str) -> Run:
    """A command of its own, without a folder, that answers just this."""

    def command() -> Answer:
        if isinstance(answer, Exception):
            raise answer
        return answer

    app = typer.Typer(**PLAIN)
    app.command()(answering(folder=False, steps=True)(command))
    done = CliRunner().invoke(app, list(words))
    return Run(done.exit_code, done.stdout, done.stderr)


def unwanted() -> str:
    raise AssertionError("this is not printed, so nobody asks for it")


def test_only_what_is_printed_is_worded() -> None:
    def no_data() -> dict[str, str]:
        return {"never": unwanted()}

    def no_steps() -> list[str]:
        return [unwanted()]

    assert answered(Answer("so", no_data, no_steps)) == Run(0, "so\n", "")
    assert answered(Answer(unwanted, {"so": 1.5}, no_steps), "--json").data == {"so": 1.5}


def test_the_working_stands_below_or_inside() -> None:
    answer = Answer(lambda: "so", lambda: {"so": 1}, lambda: ["1 + 1 = 2"])
    assert answered(answer, "--steps").out == "so\n\n1 + 1 = 2\n"
    assert answered(answer, "--steps", "--json").data == {"so": 1, "steps": ["1 + 1 = 2"]}
    assert "steps" not in answered(Answer("so", {"so": 1}), "--steps", "--json").data


@pytest.mark.parametrize(
    ("answer", "code"),
    [
        (Answer("so", {}), 0),
        (Answer("so", {}, touching=[Problem("code", "harm", "")]), 1),
        (Answer("so", {}, touching=[Problem("code", "harm", "")], code=0), 0),
        (Answer("so", {}, code=1), 1),
        (CannotError("code", "it cannot be", "ask otherwise"), 1),
        (UsageError("code", "it is not known", "ask otherwise"), 2),
    ],
)
def test_exit_codes(answer: Answer | Exception, code: int) -> None:
    assert answered(answer).code == answered(answer, "--json").code == code


def test_an_error_is_told_where_the_answer_is_looked_for() -> None:
    error = CannotError("code", "it cannot be", "ask otherwise")
    assert answered(error) == Run(1, "", "it cannot be\n  ask otherwise\n")
    as_json = answered(error, "--json")
    assert (as_json.err, as_json.data["problems"][0]["message"]) == ("", "it cannot be")


def torn(folder: Path) -> Path:
    """The house with an open batch, and a log that breaks off."""
    specs = log(copy_of_house(folder), ("BER-1", "berry-syrup", 54.0))
    with (specs / "batches.yaml").open("a", encoding="utf-8") as file:
        file.write(TORN)
    return specs


@pytest.mark.parametrize(
    "line",
    [
        "tonight",
        "standardise",
        "batch list",
        "chart berry",
        "compare --tonight",
        "swap anchor --out berry --in plain --tonight",
        "measure 54 --batch BER-1",
        "correct --batch BER-1",
        "bottle anchor --serves 2",  # of any bottle, what is open past its last day or is not on the card
        "bottle anchor --serves 2 --from BER-1",
    ],
)
def test_a_log_that_was_read_is_told_and_touches(line: str, tmp_path: Path) -> None:
    done = run(*line.split(), specs=torn(tmp_path))
    assert done.code == 1
    assert done.out
    assert "the line breaks off here" in done.err


@pytest.mark.parametrize("line", ["totals anchor", "compare plain", "swap anchor --out berry --in plain"])
def test_a_log_that_says_nothing_of_it_is_not_read(line: str, tmp_path: Path) -> None:
    done = run(*line.split(), specs=torn(tmp_path))
    assert (done.code, done.err) == (0, "")


def test_what_is_logged_stays_logged(tmp_path: Path) -> None:
    """A broken line elsewhere in the log is told by a command that read it, and undoes nothing."""
    done = run("measure", "54", "--batch", "BER-1", "--log", specs=torn(tmp_path))
    assert done.code == 0
    assert "the line breaks off here" in done.err


def test_a_desk_reads_once(tmp_path: Path) -> None:
    """What a command saw at first stays true for all of its answer."""
    specs = log(copy_of_house(tmp_path), ("BER-1", "berry-syrup", 54.0))
    desk = Desk(specs, as_json=False)
    assert [batch.id for batch in desk.batches] == ["BER-1"]
    (specs / "batches.yaml").unlink()
    assert [entry.batch for entry in desk.entries] == ["BER-1", "BER-1"]
    assert [batch.id for batch in desk.until(desk.today)[1]] == ["BER-1"]
    assert desk.at is desk.at
