"""Sweeteners side by side."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.asking import coming
from balancer.cli.completion import LIQUIDS
from balancer.cli.options import ForTonight
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.swapping import strengths
from balancer.engine.swaps.compare import compare
from balancer.errors import Problem
from balancer.output.data.compare import compare_data
from balancer.output.screen.compare import compare_text


@answering(lists=True)
def command(
    desk: Desk,
    sweeteners: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="SYRUP ...", autocompletion=LIQUIDS, help="Syrups or other sweeteners; every syrup if none."
        ),
    ] = None,
    against: Annotated[
        str | None,
        typer.Option(
            "--against", metavar="NAME", autocompletion=LIQUIDS, help="What to compare with; plain 1:1 if left out."
        ),
    ] = None,
    tonight: ForTonight = False,
) -> Answer:
    """What 10 ml of each sweetener bring: sugar, acid, water, sweetness, and the ml of plain 1:1 with its sugar."""
    ids = [coming.named(desk, text, "SYRUP") for text in sweeteners or ()]
    house = coming.named(desk, against, "--against") if against else None
    at = strengths(desk, tonight=tonight)
    result = compare(desk.bar, ids, house, at)
    # A syrup past its day is told, and touches only an answer that is about it.
    failed = [Problem("no-answer", why, "") for each, _, why in result.failed if ids or each not in at.past]
    about = [row.liquid.id for row in result.rows]
    return Answer(lambda: compare_text(result), lambda: compare_data(result), about=about, touching=failed)
