"""What measuring is worth, by thousands of batches drawn."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from balancer.asking.simulate import simulated
from balancer.cli.options import Dpi, DrinkNames, PageFile
from balancer.cli.pages import choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import set_simulation
from balancer.engine.simulate.simulate import DRAWS, SEED, has_vectors
from balancer.errors import UsageError
from balancer.output.data.simulate import simulate_data
from balancer.output.paper.imposition import PAPERS
from balancer.output.screen.simulate import simulate_text


@answering(lists=True)
def command(
    desk: Desk,
    drinks: DrinkNames = None,
    sd: Annotated[
        list[str] | None,
        typer.Option(
            "--sd",
            metavar="BRIX",
            help="How far batches vary, as a standard deviation; of one syrup raspberry=3. Else as the log has them.",
        ),
    ] = None,
    uncertainty: Annotated[
        str | None,
        typer.Option("--uncertainty", metavar="BRIX", help="Of one reading; else as the house's instrument has it."),
    ] = None,
    draws: Annotated[int, typer.Option("--draws", metavar="N", help="How often each drink is poured.")] = DRAWS,
    seed: Annotated[int, typer.Option("--seed", metavar="N", help="Another one draws other batches.")] = SEED,
    out: PageFile = None,
    on: Annotated[str, typer.Option("--on", metavar="PAPER", help="a4 or letter.")] = "a4",
    dpi: Dpi = None,
) -> Answer:
    """What measuring is worth: how many drinks are out of tolerance as written, with new pours, and corrected."""
    paper = choice("--on", on, PAPERS)
    as_dots = None if out is None else dots(dpi, page_kind(out))
    every, own = _spreads(sd or [])
    outcome = simulated(desk, drinks or (), sd=every, own_sd=own, uncertainty=uncertainty, draws=draws, seed=seed)
    result, is_part = outcome.result, outcome.about is not None
    left_out = [one.name for one in outcome.broken] if is_part else desk.loaded.left_out("drinks")
    files: list[Path] | None = None
    left_off: list[str] = []
    if out is not None and as_dots is not None:
        done = set_simulation(desk, result, left_out, paper, page_kind(out), as_dots)
        files, left_off = write_pages(desk, out, done.pages), done.left_off
    return Answer(
        lambda: simulate_text(
            result, left_out, is_part=is_part, is_slow=not has_vectors(), files=files, left_off=left_off
        ),
        lambda: simulate_data(result, files or [], left_off),
        touching=outcome.touching,
        about=outcome.about,
    )


def _spreads(texts: Sequence[str]) -> tuple[str | None, list[tuple[str, str]]]:
    """The spread of every syrup, and those of some with their names, as typed."""
    every: list[str] = []
    own: list[tuple[str, str]] = []
    for text in texts:
        name, is_own, number = text.rpartition("=")
        if is_own:
            own.append((name.strip(), number))
        else:
            every.append(number)
    if len(every) > 1:
        raise UsageError("usage", "--sd: two spreads for every syrup", "say whose one is, like --sd raspberry=3")
    return (every[0] if every else None), own
