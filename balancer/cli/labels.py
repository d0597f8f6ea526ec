"""What `labels` is asked for, out of its options; printing, and telling."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final, NamedTuple, NoReturn

from balancer.cli.bench import Bench
from balancer.cli.pages import choice, page_kind, write_pages
from balancer.engine.batch.notes import in_house
from balancer.engine.service.bottled import bottled
from balancer.engine.service.labels import Labels, labels
from balancer.engine.service.tonight import tonight
from balancer.errors import CannotError, Problem, ProblemsError, UsageError
from balancer.output.data.labels import labels_data
from balancer.output.paper.fitting import typeset_fitting
from balancer.output.paper.labels import LOST, LabelRun, LabelSize, labels_page
from balancer.output.paper.printed_page import Format
from balancer.output.paper.typeset import TEMPLATES
from balancer.output.screen.labels import labels_text, refused_text, size_of

_SIZES: Final = ("62", "2x1", "70x37")
_MOST_COPIES: Final = 100


class Order(NamedTuple):
    """What to print: into which file, in which size, how many of each, and which places stay empty."""

    out: Path
    kind: Format
    size: LabelSize
    copies: int
    skip: int

    @classmethod
    def of(cls, out: Path, size: str, copies: int, skip: int) -> Order:
        """The order that options give. Raises UsageError for what cannot be meant."""
        kind, found = page_kind(out), size_of(choice("--size", size, _SIZES))
        if not 1 <= copies <= _MOST_COPIES:
            raise UsageError("usage", f"--copies: {copies} cannot be meant", f"give a number from 1 to {_MOST_COPIES}")
        if skip and not found.is_sheet:
            raise UsageError("usage", "--skip: only a sheet has places to leave empty", "print on --size 70x37")
        if not 0 <= skip < found.layout.up:
            raise UsageError(
                "usage", f"--skip: a sheet has {found.layout.up} places, not {skip} to skip and one to print on",
                f"give a number from 0 to {found.layout.up - 1}",
            )  # fmt: skip
        return cls(out, kind, found, copies, skip)


def print_labels(bench: Bench, names: Sequence[str], order: Order) -> NoReturn:
    """Print the labels asked for; every batch that is made or open when none is named."""
    specs = bench.loaded.specs
    bench.read()
    wanted = bench.named(names) if names else list(in_house(bench.after))
    if not wanted:
        raise CannotError("no-batch", "no batch is open or waiting", "log one with: balancer batch add SYRUP --brix 50")
    result = tonight(bench.bar, bench.after, bench.today, bottled(bench.entries))
    found = labels(bench.bar, result, bench.after, wanted)
    if not found.labels:
        raise ProblemsError(_refusals(found, bench))
    run = LabelRun(found, order.size, order.copies, order.skip, bench.today, (), {}, ())
    fitted = typeset_fitting(TEMPLATES / "label.typ", labels_page(run, specs), order.kind, bench.at, LOST)
    if not fitted.pages:
        raise ProblemsError([*fitted.unfit.values(), *_refusals(found, bench)])
    run = run._replace(written=write_pages(order.out, fitted.pages), dropped=fitted.dropped, unfit=fitted.unfit)
    bench.noticed += fitted.unfit.values()
    bench.touching += _refusals(found, bench) if names else []
    bench.listed(labels_text(run), labels_data(run))


def _refusals(found: Labels, bench: Bench) -> list[Problem]:
    """The refusals as problems, where nothing else is to be told."""
    return [
        Problem("no-label", refused_text(refusal, bench.today), "see: balancer batch list --all")
        for refusal in found.refused
    ]
