"""The page behind the bar."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.desk.desk import Desk
from balancer.errors import CannotError


@answering()
def command(
    desk: Desk,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Where to listen; 0.0.0.0 for the bar's network.")
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", metavar="N", help="The port.", min=1, max=65535)] = 8466,
    name: Annotated[
        list[str] | None, typer.Option("--name", metavar="NAME", help="A name it is asked for by, of a reverse proxy.")
    ] = None,
    edit: Annotated[bool, typer.Option("--edit", help="Specs may be changed from it.")] = False,
    new_key: Annotated[bool, typer.Option("--new-key", help="A new key: every device must enter it again.")] = False,
) -> Answer:
    """Serve tonight's pours and the log to a phone or tablet: until Ctrl-C."""
    try:
        from balancer.web import serve  # noqa: PLC0415 - heavy, and an extra of its own
    except ModuleNotFoundError as error:
        raise CannotError(
            "not-installed", f"the page needs {error.name}, which is not installed", "pip install 'balancer[page]'"
        ) from None
    from balancer.web.house import OpenHouse  # noqa: PLC0415
    from balancer.web.settings import PageSettings  # noqa: PLC0415

    settings = PageSettings(host, port, tuple(each.casefold() for each in name or ()), edit=edit)
    house = OpenHouse(desk.folder, is_demo=desk.is_demo)
    house.evening()
    key = serve.key_of(desk.folder, renew=new_key)
    with serve.listen(settings) as bound:
        typer.echo(serve.greeting(settings, key, desk.house.name))
        serve.serve(house, settings, key, bound)
    return Answer("stopped", {"addresses": serve.addresses(settings)})
