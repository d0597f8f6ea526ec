"""One pour, without files."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import BrixNow, Yes
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.drink.jigger import Jigger, jigger_of
from balancer.engine.service.pour import pour
from balancer.errors import QuantityError
from balancer.models.house import House
from balancer.output.data.pour import pour_data
from balancer.output.screen.pour import pour_text
from balancer.output.working.pour import pour_steps
from balancer.units import parse_quantity


@answering(steps=True)
def command(
    desk: Desk,
    amount: Annotated[list[str], typer.Argument(metavar="POUR", help="The written pour, like 22.5ml or 3/4 oz.")],
    standard: Annotated[str, typer.Option("--standard", metavar="BRIX", help="Strength the spec is written for, °Bx.")],
    brix: BrixNow,
    step: Annotated[str | None, typer.Option("--step", metavar="POUR", help="Smallest step of the jigger.")] = None,
    tolerance: Annotated[
        str | None, typer.Option("--tolerance", metavar="PERCENT", help="Change of sugar that may pass.")
    ] = None,
    yes: Yes = False,
) -> Answer:
    """One pour of a syrup that is off-strength; needs no files. Uses the house's ounce and steps where there is one."""
    written = " ".join(amount)
    house = _house(desk, written)
    answer = pour(
        values.volume(written, "POUR", house.measures(), values.POUR_UNITS),
        values.brix(standard, "--standard"),
        values.brix(brix, "--brix"),
        jigger_of(house)
        if step is None
        else Jigger(values.volume(step, "--step", house.measures(), values.POUR_UNITS)),
        house.tolerance if tolerance is None else values.tolerance(tolerance, "--tolerance"),
    )
    desk.believe(answer.doubts, is_meant=yes)
    return Answer(lambda: pour_text(answer, house), lambda: pour_data(answer), lambda: pour_steps(answer))


def _house(desk: Desk, amount: str) -> House:
    """The house in the folder; without one, the common measures in the unit the pour is written in."""
    desk.only_house(tells_missing=True)
    has_house = desk.found is not None and (desk.found / "house.yaml").exists()
    if not has_house and _is_in_ounces(amount):
        return desk.house.model_copy(update={"show": "oz"})
    return desk.house


def _is_in_ounces(amount: str) -> bool:
    try:
        return parse_quantity(amount).unit == "oz"
    except QuantityError:
        return False
