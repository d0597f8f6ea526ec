"""Spec cards for the rail."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("cards")
@answers
def cards_command(  # noqa: PLR0913, PLR0917 - one for each option
    drinks: Annotated[
        list[str] | None, typer.Argument(metavar="[DRINK]...", help="Which drinks; all if left out.")
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="F", help="The file to print into: .pdf, .png or .svg.")
    ] = None,
    size: Annotated[str, typer.Option("--size", metavar="SIZE", help="a6, 4x6 or 3x5 (inches).")] = "a6",
    on: Annotated[
        str | None, typer.Option("--on", metavar="PAPER", help="As many as fit on a4 or letter, with cut marks.")
    ] = None,
    units: Annotated[
        str | None, typer.Option("--units", metavar="UNITS", help="ml, oz or both; the house's if left out.")
    ] = None,
    extras: Annotated[
        bool, typer.Option("--extras", help="With ABV, volume in the glass and standard drinks.")
    ] = False,
    changed: Annotated[
        bool, typer.Option("--changed", help="Only what changed since it was printed; lists the cards to pull.")
    ] = False,
    draft: Annotated[bool, typer.Option("--draft", help="To look at only: not noted as printed.")] = False,
    template: Annotated[
        Path | None, typer.Option("--template", metavar="F.typ", help="Your own look in place of the built-in one.")
    ] = None,
    copy_template: Annotated[
        Path | None, typer.Option("--copy-template", metavar="DIR", help="Write the built-in look there, to change.")
    ] = None,
    specs: Specs = DEFAULT_SPECS,
    as_json: AsJson = False,
) -> None:
    """A spec card for every drink, or those named: large, on cards or several to a sheet."""
    from balancer.cli.bench import Bench
    from balancer.cli.cards import Order, copied, print_cards
    from balancer.errors import UsageError

    if copy_template is not None:
        copied(copy_template, as_json=as_json)
    if out is None:
        raise UsageError("usage", "--out: nothing says which file to print into", "give it, like --out cards.pdf")
    order = Order.of(out, size, on, units, template)
    print_cards(Bench(specs, as_json=as_json), drinks or [], order, extras=extras, only_changed=changed, draft=draft)
