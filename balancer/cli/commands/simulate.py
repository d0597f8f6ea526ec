"""What measuring is worth, by thousands of batches drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Annotated

import typer

from balancer.cli import names
from balancer.cli.options import Dpi, DrinkNames, PageFile
from balancer.cli.pages import choice, dots, page_kind, write_pages
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import set_simulation
from balancer.engine.simulate.simulate import DRAWS, LEAST_DRAWS, MOST_DRAWS, MOST_SD_BRIX, SEED, has_vectors, simulate
from balancer.errors import UsageError
from balancer.models.drink import Drink
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
    if not LEAST_DRAWS <= draws <= MOST_DRAWS:
        remedy = f"give a number from {LEAST_DRAWS} to {MOST_DRAWS}"
        raise UsageError("usage", f"--draws: {draws} cannot be meant", remedy)
    paper = choice("--on", on, PAPERS)
    as_dots = None if out is None else dots(dpi, page_kind(out))
    every, own = _spreads(desk, sd or [])
    asked, lost = names.drinks(desk.loaded, drinks) if drinks else (None, desk.loaded.broken_of("drinks"))
    left_out = [one.name for one in lost] if drinks else desk.loaded.left_out("drinks")
    _check_poured(desk, own, desk.specs.drinks.values() if asked is None else asked)
    result = simulate(
        desk.bar,
        desk.batches,
        sd_brix=every,
        own_sd_brix=own,
        reading_brix=None if uncertainty is None else _brix(uncertainty, "--uncertainty"),
        drinks=asked,
        draws=draws,
        seed=seed,
    )
    files: list[Path] | None = None
    left_off: list[str] = []
    if out is not None and as_dots is not None:
        done = set_simulation(desk, result, left_out, paper, page_kind(out), as_dots)
        files, left_off = write_pages(out, done.pages), done.left_off
    return Answer(
        lambda: simulate_text(
            result, left_out, is_part=asked is not None, is_slow=not has_vectors(), files=files, left_off=left_off
        ),
        lambda: simulate_data(result, files or [], left_off),
        touching=lost,
        about=None if asked is None else [drink.id for drink in asked],
    )


def _spreads(desk: Desk, texts: Sequence[str]) -> tuple[float | None, dict[str, float]]:
    """The spread of every syrup, and those of some by id, °Bx."""
    every: list[float] = []
    own: dict[str, float] = {}
    for text in texts:
        name, is_own, number = text.rpartition("=")
        brix = _brix(number, "--sd")
        if not is_own:
            every.append(brix)
            continue
        syrup = names.syrup(desk.loaded, name.strip())
        if syrup in own:
            raise UsageError("usage", f"--sd: {desk.specs.syrups[syrup].name} is given twice", "leave one out")
        own[syrup] = brix
    if len(every) > 1:
        raise UsageError("usage", "--sd: two spreads for every syrup", "say whose one is, like --sd raspberry=3")
    return (every[0] if every else None), own


def _check_poured(desk: Desk, own: Iterable[str], drinks: Iterable[Drink]) -> None:
    """Raise UsageError for a spread of a syrup that no drink asked about pours: it would say nothing."""
    poured = {pour.of for drink in drinks for pour in drink.pours}
    for each in own:
        if each not in poured:
            name = desk.specs.syrups[each].name
            raise UsageError("usage", f"--sd: no drink asked about pours {name}", "leave it out, or name its drinks")


def _brix(text: str, option: str) -> float:
    return values.zero_or_more(text, option, "strength", "°Bx", MOST_SD_BRIX)
