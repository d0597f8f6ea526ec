"""`pour` reads a house's own measures when there is one, and needs none."""

from __future__ import annotations

from pathlib import Path

from balancer.cli.desk import show_answer, tell
from balancer.cli.options import DEFAULT_SPECS
from balancer.engine.service.pour import PourAnswer
from balancer.errors import Problem, QuantityError
from balancer.files.house.load import NoFolderError, load_house
from balancer.models.house import House
from balancer.output.data.pour import pour_data
from balancer.output.screen.pour import pour_text
from balancer.output.working.pour import pour_steps
from balancer.units import parse_quantity


def house_of(specs: Path, amount: str) -> tuple[House, tuple[Problem, ...]]:
    """The house in a folder; without one, the common measures in the unit the pour is written in."""
    house, problems = load_house(specs)
    if specs != DEFAULT_SPECS and not specs.is_dir():
        problems = NoFolderError(specs).problems()  # told, though one pour needs no folder
    if not (specs / "house.yaml").exists() and _is_in_ounces(amount):
        house = house.model_copy(update={"show": "oz"})
    return house, problems


def print_pour(answer: PourAnswer, house: House, problems: tuple[Problem, ...], *, as_json: bool, steps: bool) -> None:
    """Print the answer; leave with 1 when a line of the house has a problem."""
    show_answer(pour_text(answer, house), pour_data(answer), pour_steps(answer) if steps else [], as_json=as_json)
    tell(problems, as_json=as_json)
    raise SystemExit(1 if any(problem.line for problem in problems) else 0)


def _is_in_ounces(amount: str) -> bool:
    try:
        return parse_quantity(amount).unit == "oz"
    except QuantityError:
        return False
