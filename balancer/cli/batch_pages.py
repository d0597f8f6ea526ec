"""What the commands that print strips and labels of batches share."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NoReturn

from balancer.cli.bench import Bench
from balancer.cli.desk import show_answer, tell
from balancer.engine.batch_events import find_batch
from balancer.errors import Problem
from balancer.models.batch import Batch


def asked(bench: Bench, names: Iterable[str]) -> list[Batch]:
    """The batches that names mean, each once, in the order named; closed ones too, so that they can be refused."""
    found = [find_batch(bench.before, bench.loaded.specs, name) for name in names]
    return list({batch.id: batch for batch in found}.values())


def leave(
    bench: Bench,
    text: str,
    data: dict[str, Any],
    log_problems: Iterable[Problem],
    own: Iterable[Problem],
    *,
    refused: bool = False,
) -> NoReturn:
    """Answer, then the problems of the files and of the log, and of what could not be printed.

    Exits 1 when one of them touches the answer, or something asked for by name was refused.
    """
    touching = [*bench.loaded.house_problems, *log_problems, *own]
    show_answer(text, data, [], as_json=bench.as_json)
    tell((*bench.loaded.problems, *log_problems, *own), as_json=bench.as_json)
    raise SystemExit(1 if touching or refused else 0)
