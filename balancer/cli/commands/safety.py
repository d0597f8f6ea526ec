"""What may hurt somebody, and who decides about it."""

from __future__ import annotations

from typing import Annotated

import typer

from balancer.cli.runner import Answer, answering
from balancer.errors import UsageError
from balancer.files.safety import safety_page
from balancer.output.words.safety import about, safety_data, safety_sections, safety_text


@answering(folder=False)
def command(
    topic: Annotated[
        str | None, typer.Argument(metavar="TOPIC", help="A word of a title, like acids; all of it if left out.")
    ] = None,
) -> Answer:
    """Alcohol, egg, allergens, what spoils, acids, freezing. Local rules and licensed practice decide."""
    every = safety_sections(safety_page())
    shown = every if topic is None else about(every, topic)
    if not shown:
        titles = "; ".join(one.title for one in every)
        raise UsageError("unknown-topic", f'no title of the page has "{topic}"', f"its titles: {titles}")
    return Answer(lambda: safety_text(shown), lambda: safety_data(shown))
