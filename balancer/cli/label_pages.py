"""What the commands that print labels share: what their options mean, and the labels on paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from balancer.cli.pages import choice, page_kind, write_pages
from balancer.desk.desk import Desk
from balancer.desk.printing.batches import set_labels
from balancer.errors import UsageError
from balancer.output.paper.label_print import LabelPrint, LabelText
from balancer.output.paper.label_sizes import SAME, SIZES, LabelSize, size_of

_MOST_COPIES: Final = 100


def label_print(size: str, copies: int, skip: int) -> LabelPrint:
    """What the options ask for, without labels yet. Raises UsageError for what cannot be meant."""
    word = size.strip().casefold().replace("×", "x").replace(" ", "").replace(",", ".")
    found = size_of(choice("--size", SAME.get(word, word), SIZES))
    _check_numbers(found, copies, skip)
    return LabelPrint(found, copies, skip, ())


def print_labels(desk: Desk, asked: LabelPrint, labels: Sequence[LabelText], file: Path, dpi: int) -> LabelPrint:
    """Print labels into a file; what cannot be printed is noticed. Nothing is written where no label can be."""
    done, pages = set_labels(desk, asked, labels, page_kind(file), dpi)
    return replace(done, written=write_pages(desk, file, pages) if pages else ())


def _check_numbers(size: LabelSize, copies: int, skip: int) -> None:
    if not 1 <= copies <= _MOST_COPIES:
        raise UsageError("usage", f"--copies: {copies} cannot be meant", f"give a number from 1 to {_MOST_COPIES}")
    if skip and not size.is_sheet:
        raise UsageError("usage", "--skip: only a sheet has places to leave empty", "print on --size 70x37 or a4-21")
    if not 0 <= skip < size.layout.up:
        raise UsageError(
            "usage", f"--skip: a sheet has {size.layout.up} places, not {skip} to skip and one to print on",
            f"give a number from 0 to {size.layout.up - 1}",
        )  # fmt: skip
