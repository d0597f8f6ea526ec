"""The page behind the bar."""

from __future__ import annotations

import json
import sys
from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.cli.terminal import knows_every_character, write
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
        needed = (error.name or "").partition(".")[0]
        if needed == "balancer":
            raise
        raise CannotError(
            "not-installed",
            f"the page needs {needed}, which is not installed",
            f'"{sys.executable}" -m pip install "balancer[page]"',
        ) from None
    from balancer.web.house import OpenHouse  # noqa: PLC0415
    from balancer.web.settings import PageSettings  # noqa: PLC0415

    names = tuple(each.casefold().rstrip(".") for each in name or ())
    settings = PageSettings(host, port, names, edit=edit, only_reads=desk.is_demo)
    house = OpenHouse(desk.folder, is_demo=desk.is_demo)
    evening = house.evening()
    key = serve.key_of(desk.folder, renew=new_key, is_demo=desk.is_demo)
    told = {"addresses": serve.addresses(settings), "key": key.key if serve.has_key(settings) else None}
    with serve.listen(settings) as bound:
        if desk.as_json:
            write(json.dumps(told), sys.stdout)
        else:
            write(serve.greeting(settings, key, desk.house.name, len(evening.desk.problems())), sys.stdout)
            if serve.has_key(settings) and knows_every_character(sys.stdout):
                typer.echo(serve.key_code(settings, key, colours=sys.stdout.isatty()))
        serve.serve(house, settings, key, bound)
    if not desk.as_json:
        write("stopped", sys.stdout)
    raise typer.Exit(0)  # what is wrong in the files was told when it began
