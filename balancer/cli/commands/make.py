"""A syrup's recipe, scaled and solved."""

from __future__ import annotations

from typing import Annotated, Final

import typer

from balancer.asking import names
from balancer.cli.completion import SYRUPS
from balancer.cli.options import VolumeText
from balancer.cli.runner import Answer, answering
from balancer.desk import values
from balancer.desk.desk import Desk
from balancer.engine.prep.as_read import juices_in_use
from balancer.engine.prep.make import WantedSyrup, make
from balancer.errors import QuantityError, UsageError
from balancer.output.data.make import make_data
from balancer.output.screen.make import make_text
from balancer.output.working.make import make_steps
from balancer.units import Quantity, parse_pour

_MOST_G: Final = 100_000.0
_MOST_ACID: Final = 300.0


@answering(steps=True, lists=True)
def command(  # noqa: PLR0917 - one for each option
    desk: Desk,
    syrup: Annotated[
        str, typer.Argument(metavar="SYRUP", autocompletion=SYRUPS, help="The syrup; with --acid, also a juice.")
    ],
    mass: Annotated[
        str | None, typer.Option("--mass", "-m", metavar="MASS", help="How much to make, like 2kg.")
    ] = None,
    volume: VolumeText = None,
    container: Annotated[
        str | None, typer.Option("--container", metavar="VOLUME", help="What it must fit in; alone: fill it.")
    ] = None,
    strength: Annotated[
        str | None, typer.Option("--strength", metavar="BRIX", help="Bring the recipe to this strength, °Bx.")
    ] = None,
    have: Annotated[
        list[str] | None, typer.Option("--have", metavar="AMOUNT", help='What there is, like "500 g raspberries".')
    ] = None,
    acid: Annotated[
        str | None, typer.Option("--acid", metavar="ACID", help="Bring it to this acid with powder, like 45g/l.")
    ] = None,
    alone: Annotated[
        bool, typer.Option("--alone", help="Juices by their files, whatever their open batch reads.")
    ] = False,
    bulk_density: Annotated[
        str | None, typer.Option("--bulk-density", metavar="DENSITY", help="What a ml of the dry part weighs.")
    ] = None,
) -> Answer:
    """A syrup's recipe weighed out: for a mass, a volume, a strength or what there is."""
    if mass is not None and volume is not None:
        raise UsageError("usage", "--mass and --volume: one of them decides how much", "leave one out")
    measures = desk.house.measures()
    wanted = WantedSyrup(
        mass_g=None if mass is None else values.mass(mass, "--mass", most_g=_MOST_G),
        volume_ml=None if volume is None else values.volume(volume, "--volume", measures),
        container_ml=None if container is None else values.volume(container, "--container", measures),
        have=tuple(_have(text) for text in have or ()),
        brix=None if strength is None else values.brix(strength, "--strength"),
        acid=None if acid is None else _acid(acid),
    )
    source = names.made(desk, syrup, "syrup", *(("ingredient",) if acid is not None else ()), is_first=False)
    juices = {} if alone else juices_in_use(desk.in_use)
    result = make(desk.bar, desk.specs.liquid(source), wanted, bulk_g_per_ml=_bulk(bulk_density), juices=juices)
    return Answer(
        lambda: make_text(result, desk.house),
        lambda: make_data(result),
        lambda: make_steps(result, desk.house),
        about=[source],
    )


def _bulk(text: str | None) -> float | None:
    """A bulk density in g/ml."""
    return None if text is None else values.measure(text, "--bulk-density", "density", "g/ml", low=0.0, high=2.5)


def _have(text: str) -> tuple[Quantity, str]:
    try:
        amount, name = parse_pour(text)
    except QuantityError as error:
        raise UsageError("usage", f"--have: {error.reason}", error.remedy) from None
    if not amount.unit or not name:
        raise UsageError(
            "usage", f'--have: "{text}" does not say how much of what', 'write it like "500 g raspberries"'
        )
    if amount.value <= 0.0:
        raise UsageError("usage", f'--have: "{text}" is nothing', "give an amount above zero")
    return amount, name


def _acid(text: str) -> Quantity:
    found = values.concentration(text, "--acid", most=_MOST_ACID)
    if found.value == 0.0:
        raise UsageError("usage", f'--acid: "{text}" is not an acid to reach', "write it like 45g/l, up to 300g/l")
    return found
