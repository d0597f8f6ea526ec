"""One value of a spec changed in its file."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("set")
@answers
def set_command(
    drink: Annotated[str, typer.Argument(metavar="DRINK", help="The drink; or the syrup whose standard changes.")],
    ingredient: Annotated[
        str, typer.Argument(metavar="INGREDIENT", help='What it pours; or the word "standard". Names may be cut short.')
    ],
    amount: Annotated[
        list[str], typer.Argument(metavar="AMOUNT", help="20ml, 3/4oz, 2 dashes, rinse; of a standard 52 or 52°Bx.")
    ],
    yes: Annotated[bool, typer.Option("--yes", help="Write it without asking.")] = False,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """Change one pour of a drink, or a syrup's standard, in its file. Shows the change, then asks.

    Remarks, quotes and layout stay as they are. Names of several words go in quotes.
    """
    from balancer.cli.edit import Editor

    editor = Editor(specs, as_json=as_json, is_sure=yes)
    syrup = editor.syrup(drink, ingredient)
    if syrup is not None:
        editor.set_standard(syrup, " ".join(amount))
    editor.set_pour(drink, ingredient, " ".join(amount))
