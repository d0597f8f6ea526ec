"""Every problem of every file."""

from __future__ import annotations

from typing import Any

import typer

from balancer.cli.options import DEFAULT_SPECS, AsJson, Specs, answers, app


@app.command("check")
@answers
def check_command(specs: Specs = DEFAULT_SPECS, as_json: AsJson = False) -> None:
    """Read every file and tell every problem."""
    from balancer.cli.desk import show, to_json
    from balancer.engine.batch.history import batches
    from balancer.files.house.load import load
    from balancer.files.log.batch_log import read_log
    from balancer.output.words.problems import check_text

    loaded = load(specs)
    entries, log_problems = read_log(specs)
    logged = batches(entries, loaded.specs)
    held: dict[str, Any] = {
        "drinks": loaded.specs.drinks,
        "syrups": loaded.specs.syrups,
        "ingredients": loaded.specs.ingredients,
        **({"batches": logged} if logged else {}),
    }
    counts = {kind: len(entries) for kind, entries in held.items()}
    problems = (*loaded.problems, *log_problems)
    show(to_json(problems) if as_json else check_text(problems, counts, loaded.files))
    raise typer.Exit(1 if problems else 0)
