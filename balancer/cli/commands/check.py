"""Every problem of every file."""

from __future__ import annotations

from collections.abc import Sized

from balancer.cli.desk import Desk
from balancer.cli.runner import Answer, answering
from balancer.errors import ProblemsError
from balancer.output.words.problems import check_text, problems_data


@answering()
def command(desk: Desk) -> Answer:
    """Read every file and tell every problem."""
    desk.any_folder()
    specs = desk.specs
    held: dict[str, Sized] = {"drinks": specs.drinks, "syrups": specs.syrups, "ingredients": specs.ingredients}
    try:
        told = (*desk.log_problems, *desk.ahead)
        held |= {"batches": desk.batches} if desk.batches else {}
    except ProblemsError as error:  # the log cannot be read at all
        told = error.problems()
    counts = {kind: len(things) for kind, things in held.items()}
    problems = (*desk.loaded.problems, *told)
    return Answer(
        lambda: check_text(problems, counts, desk.loaded.files),
        lambda: problems_data(problems),
        touching=problems,
        about=(),
        tells_all=True,
    )
