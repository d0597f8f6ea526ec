"""What `strips` is asked for, out of its options; printing, and telling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Final, NoReturn

from balancer.cli.bench import Bench
from balancer.cli.pages import choice, page_kind, write_pages
from balancer.engine.service.bottled import bottled
from balancer.engine.service.strips import strips
from balancer.engine.service.tonight import tonight
from balancer.output.data.strips import strips_data
from balancer.output.paper.fitting import Fitted, typeset_fitting
from balancer.output.paper.strips import LOST, StripRun, strips_page
from balancer.output.paper.typeset import TEMPLATES
from balancer.output.screen.strips import paper_of, strips_text

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
