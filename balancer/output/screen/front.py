"""`balancer` alone, on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.batch.notes import BatchNow
from balancer.engine.service.tonight import Tonight
from balancer.output.screen.tonight import tonight_line
from balancer.output.words.numbers import brix
from balancer.output.words.page import page, together
from balancer.output.words.problems import missing_rows
from balancer.output.words.unsaid import unsaid_rows


def front_text(
    result: Tonight,
    open_ones: Sequence[BatchNow],
    syrup: str,
    demo: str,
    *,
    missing: Sequence[str] = (),
    of_house: str = "",
) -> str:
    """What is open tonight, and the three lines that are typed every day.

    syrup  a short name of a syrup, for the examples
    demo   the option that the examples need, with a blank before it; "" in a bar of one's own
    missing  names of drinks that did not load and pour what is open
    of_house  what is wrong with house.yaml
    """
    opened = " · ".join(_open(item) for item in open_ones)
    typed = {
        f"tonight{demo}": "every pour that changes",
        f"measure 54 {syrup}{demo or ' --log'}": "a reading" if demo else "a reading, and keep it",
        **({"start DIR --demo": "a copy to write in"} if demo else {}),
        **({} if demo else {f"batch add {syrup} 54 --open": "a new batch, in use at once"}),
    }
    unsaid = unsaid_rows(result)
    rows = [*unsaid, f"open: {opened}" if opened else "no batch is open", *missing_rows(missing), *_typed(typed)]
    return page(tonight_line(result, missing, of_house), rows, "balancer -h lists every command")


def start_here_text() -> str:
    """What to type where no bar's folder is found."""
    typed = {
        "tonight --demo": "an invented bar, to look around",
        "start specs": "a commented folder for yours",
        "pour 22.5ml --standard 50 -b 54": "one pour, without any files",
    }
    first = "no bar's folder is here yet: look around in the demo, or start yours"
    return page(first, _typed(typed), "balancer -h lists every command")


def _open(item: BatchNow) -> str:
    batch = item.batch
    return batch.id if batch.brix is None else together(f"{batch.id} {brix(batch.brix)}")


def _typed(lines: dict[str, str]) -> list[str]:
    """Lines to type, each with what it gives, one below the other."""
    broad = max(map(len, lines))
    return [f"balancer {line:<{broad}}  {meaning}" for line, meaning in lines.items()]
