"""What `strips` is asked for, out of its options; printing, and telling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final, NoReturn

from balancer.cli.bench import Bench
from balancer.cli.pages import choice, page_kind, write_pages
from balancer.engine.bottled import bottled
from balancer.engine.strips import strips
from balancer.engine.tonight import tonight
from balancer.output.fitting import Fitted, typeset_fitting
from balancer.output.strips import LOST, StripRun, paper_of, strips_data, strips_page, strips_text
from balancer.output.typeset import TEMPLATES

_PAPERS: Final = ("a4", "letter", "receipt")


def print_strips(bench: Bench, names: Sequence[str], night: date, out: Path, on: str, by: str | None) -> NoReturn:
    """Print the strips of a night, and tell what has none."""
    kind, paper, specs = page_kind(out), paper_of(choice("--on", on, _PAPERS)), bench.loaded.specs
    bench.read(until=night)
    only = bench.named(names) if names else None
    result = tonight(bench.bar, bench.before, night, bottled(bench.entries))
    found = strips(bench.bar, result, bench.before, bench.entries, only)
    fitted = Fitted([], {}, {})
    if found.strips:
        data = strips_page(found.strips, night, specs, paper, by)
        fitted = typeset_fitting(TEMPLATES / "strip.typ", data, kind, bench.at, LOST)
    written = write_pages(out, fitted.pages) if fitted.pages else []
    run = StripRun(found, paper, out, written, fitted.dropped, fitted.unfit)
    bench.noticed += fitted.unfit.values()
    bench.listed(strips_text(run, specs), strips_data(run, specs))
