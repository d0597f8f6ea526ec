"""One sweetener replaced by another, in a drink or across the menu."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, Steps, answers, app


@app.command("swap")
@answers
def swap_command(
    out: Annotated[str, typer.Option("--out", metavar="NAME", help="The syrup, dry sugar or liqueur that goes.")],
    drink: Annotated[list[str] | None, typer.Argument(metavar="DRINK", help="Its name, id, or the beginning.")] = None,
    into: Annotated[
        str | None, typer.Option("--in", metavar="NAME", help="What comes; without it, what is open tonight.")
    ] = None,
    hold: Annotated[
        str, typer.Option("--hold", metavar="LIST", help="Of sugar, acid, volume, abv, sweetness; with commas.")
    ] = "sugar",
    everywhere: Annotated[bool, typer.Option("--all", help="In every drink that pours it.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
    steps: Steps = False,
) -> None:
    """Replace one sweetener by another without retasting. Exact pours, jigger pours, and what moved."""
    from balancer.cli.desk import Desk
    from balancer.cli.swap import Question, answer_all, answer_one, answer_open

    desk = Desk(specs, as_json=as_json)
    question = Question.asked(desk, specs, drink, out, into, hold, everywhere=everywhere)
    if everywhere:
        answer_all(question, steps=steps)
    elif into is None:
        answer_open(question, steps=steps)
    else:
        answer_one(question, steps=steps)
