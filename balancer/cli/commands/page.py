"""The page behind the bar."""

from __future__ import annotations

import json
import sys
from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.cli.terminal import knows_every_character, write
from balancer.desk.desk import Desk
from balancer.errors import CannotError, UsageError


@answering()
def command(
    desk: Desk,
    host: Annotated[
        str, typer.Option("--host", metavar="ADDRESS", help="Where to listen; 0.0.0.0 for the bar's network.")
    ] = "127.0.0.1",
    port: Annotated[
        int, typer.Option("--port", metavar="N", help="The port; 8466 unless given.", min=1, max=65535)
    ] = 8466,
    name: Annotated[
        list[str] | None, typer.Option("--name", metavar="NAME", help="A name it is asked for by, of a reverse proxy.")
    ] = None,
    edit: Annotated[bool, typer.Option("--edit", help="Specs may be changed from it.")] = False,
    show_key: Annotated[bool, typer.Option("--key", help="Show the key and its QR code, and serve nothing.")] = False,
    new_key: Annotated[bool, typer.Option("--new-key", help="A new key: every device must enter it again.")] = False,
) -> Answer:
    """Serve tonight's pours and the log to a phone or tablet. Ctrl-C stops it."""
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
    from balancer.web.settings import PageSettings, names_of  # noqa: PLC0415

    settings = PageSettings(host, port, names_of(name or ()), edit=edit, only_reads=desk.is_demo)
    if (show_key or new_key) and not serve.has_key(settings):
        why = "nobody logs in the demo" if desk.is_demo else "only this machine reaches the page, and logs without one"
        raise UsageError("usage", f"there is no key: {why}", "for the bar's network: --host 0.0.0.0")
    key = serve.key_of(desk.folder, renew=new_key, is_demo=desk.is_demo)
    if show_key:
        return Answer(
            f"the key of {desk.house.name}: {key.key}\n{serve.key_code(settings, key)}",
            {"addresses": serve.addresses(settings), "key": key.key},
            about=(),
            code=0,
        )
    house = OpenHouse(desk.folder, is_demo=desk.is_demo)
    problems = len(house.evening().desk.problems())
    with serve.listen(settings) as bound, serve.StopAsked() as stop:
        if desk.as_json:
            write(json.dumps({"addresses": serve.addresses(settings)}), sys.stdout)
        else:
            write(serve.greeting(settings, desk.house.name, problems), sys.stdout)
            if serve.has_key(settings):
                is_seen = sys.stdout.isatty()  # elsewhere the key would stay in a record of what was said
                write(serve.key_text(key if is_seen else None), sys.stdout)
                if is_seen and knows_every_character(sys.stdout):
                    typer.echo(serve.key_code(settings, key, colours=True))
        serve.serve(house, settings, key, bound, stop)
    if not desk.as_json:
        write("stopped", sys.stdout)
    raise typer.Exit(0)  # what is wrong in the files was told when it began
