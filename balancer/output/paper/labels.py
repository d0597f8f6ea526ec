"""Labels for the bottles of batches: what the template is given, and the answer on the screen."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date
from math import ceil
from pathlib import Path
from typing import Any, Final, NamedTuple

from balancer.engine.service.labels import Label, Labels
from balancer.engine.service.lines import BottleLines
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.models.look import ENGLISH
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.paper.imposition import INCH_MM, PAPERS, Imposition, PaperSheet, Size, alone, impose
from balancer.output.paper.language import words_of
from balancer.output.paper.print_text import NO_BREAK, printable
from balancer.output.paper.printed_page import layout_data
from balancer.output.paper.strips import conversion_lines, spelt
from balancer.output.words.advice import beside_spec
from balancer.output.words.numbers import brix, trim, weekday_text
from balancer.output.words.tonight import asked_text, exceptions_text

LOST: Final = ("by", "care", "storage", "exceptions", "pours")
"""What a small label loses, the first one first. Name, code, strength, dates, allergens and cautions are never lost."""


class LabelSize(NamedTuple):
    """What labels are printed on; the scale of their letters, smallest and largest: at 1 the smallest is 8 pt.

    word      as the option has it; name as on the screen
    is_sheet  many on a page, cut already; else every label is a page
    """

    word: str
    name: str
    layout: Imposition
    margin_mm: float
    least: float
    full: float
    is_sheet: bool = False


class LabelRun(NamedTuple):
    """What was printed. dropped and unfit go by the batch's id; skip are places of the first sheet left empty."""

    result: Labels
    size: LabelSize
    copies: int
    skip: int
    today: date
    written: Sequence[Path]
    dropped: Mapping[str, Mapping[str, Sequence[Any]]]
    unfit: Collection[str]

    @property
    def printed(self) -> list[Label]:
        """The labels on the pages."""
        return [label for label in self.result.labels if label.item.batch.id not in self.unfit]

    @property
    def labels(self) -> int:
        """How many labels they are."""
        return len(self.printed) * self.copies

    @property
    def pages(self) -> int:
        """How many pages they take."""
        return ceil((self.skip + self.labels) / self.size.layout.up) if self.printed else 0


def size_of(word: str) -> LabelSize:
    """The size that an option means: a 62 mm roll, labels of 2 × 1 in, or an A4 sheet of 24."""
    if word == "62":
        return LabelSize(word, "62 mm roll", alone(Size(62.0, None)), 3.0, 1.5, 1.5)
    if word == "2x1":
        return LabelSize(word, "2 × 1 in", alone(Size(2.0 * INCH_MM, INCH_MM)), 1.4, 1.0, 1.6)
    label = PaperSheet(70.0, 37.0)
    layout = impose(label, PAPERS["a4"], cut=False) or alone(Size(*label))
    # The outer labels reach to where printers print nothing.
    return LabelSize(word, "70 × 37 mm", layout, 4.5, 1.0, 1.8, is_sheet=True)


def labels_page(run: LabelRun, specs: Specs) -> dict[str, Any]:
    """What the template is given. An item without a name is a place that stays empty."""
    layout = run.size.layout
    items = [_item(label, run.today, specs) for label in run.result.labels for _ in range(run.copies)]
    empty: list[dict[str, Any]] = [{"name": ""} for _ in range(run.skip)]
    return {
        "title": f"{specs.house.name}: labels of {day_text(run.today)} {run.today.year}",
        "layout": layout_data(layout, run.size.margin_mm),
        "letters": [run.size.least, run.size.full],
        "items": [*empty, *items],
    }


def _item(label: Label, today: date, specs: Specs) -> dict[str, Any]:
    item, house = label.item, specs.house
    batch = item.batch
    made = _unbroken(day_text(batch.made, today)) if batch.made else None
    return {
        "name": batch.id,
        "code": batch.id,
        "syrup": printable(item.name),
        "strength": printable(strength_text(label)),
        "made": made,
        "use-by": _unbroken(_last_day(batch.discard, today)) if batch.discard else None,
        "allergens": printable(allergens_text(label, specs)),
        "alert": bool(label.brings.allergens or label.brings.unknown),
        "cautions": [printable(text) for text in cautions_text(label)],
        "pours": _pours(label, house),
        "exceptions": _exceptions(label, house),
        "not-all": not label.lines.serve_all,
        "care": [printable(", ".join(care))] if (care := care_text(label)) else [],
        "storage": [printable(f"keep at {trim(label.storage_c, 0)} °C")],
        "by": [batch.by or ""],
    }


def _pours(label: Label, house: House) -> list[str]:
    """All conversions or none; nothing where nothing changes."""
    lines = [_unbroken(line) for line in _pour_lines(label.lines, house)]
    return [" · ".join(lines)] if lines else []


def _exceptions(label: Label, house: House) -> list[str]:
    """The drinks that the conversions are not for, all or none: where there is no room, the label says to ask."""
    said = [*exceptions_text(label.lines, house, spelt(words_of(ENGLISH))), *asked_text(label.lines)]
    return [printable("; ".join(said))] if said else []


def _pour_lines(bottle: BottleLines, house: House) -> list[str]:
    """Written and new pours; the unit once, after the last, where it is one for all."""
    lines = conversion_lines(bottle, house)
    units = {unit for *_, unit in lines}
    said = [f"{written} → {poured}" + (f" {unit}" if len(units) > 1 else "") for written, poured, unit in lines]
    return [*said[:-1], f"{said[-1]} {units.pop()}"] if len(units) == 1 else said


def strength_text(label: Label) -> str:
    """A syrup's strength, a juice's acid, or both; whether it was read."""
    batch, said = label.item.batch, []
    if batch.brix is not None:
        aside = "? read it again" if label.is_doubted else "" if batch.verified else " predicted, read it"
        standard = label.item.standard_brix
        off = standard is not None and label.item.fit == "off"
        written_for = label.lines.written_for if off or label.lines.moves else ()
        is_beside = standard is not None and (off or written_for)
        strength = beside_spec(batch.brix, standard or 0.0, written_for) if is_beside else brix(batch.brix)
        said.append(strength + aside)
        said += ["correct it first"] * (label.advice == "correct the batch")
    if batch.acid is not None:
        said.append(f"acid {trim(batch.acid.value, 1)} {batch.acid.unit}")
    return ", ".join(said) or ("acid not read" if label.item.spec_acid is not None else "strength not read")


def _last_day(day: date, today: date) -> str:
    """With its weekday, or with its year where that is not today's: both are too long for a bottle."""
    return weekday_text(day, today) if day.year == today.year else day_text(day, today)


def cautions_text(label: Label) -> list[str]:
    """What its file says to heed, and that it is too weak to keep as its file says."""
    kept = label.item.kept
    return [*label.item.cautions, *(["weaker than standard: keep cold"] if kept and kept.lost else [])]


def care_text(label: Label) -> list[str]:
    """How its file says it is kept and looked at."""
    source = label.item.source
    return list(source.care) if isinstance(source, Syrup) else []


def allergens_text(label: Label, specs: Specs) -> str:
    """What the house lists for what is in it. Unknown is said, and is never the same as none listed."""
    known, unknown = label.brings.allergens, label.brings.unknown
    said = [f"contains {', '.join(known)}"] if known else []
    if unknown:
        own = label.item.batch.liquid
        others = [specs.liquid(liquid).name for liquid in unknown if liquid != own and _is_known(liquid, specs)]
        said.append("allergens unknown" + (f" ({', '.join(others)})" if others and own not in unknown else ""))
    return "; ".join(said) or "allergens: none listed by the house"


def _is_known(liquid: str, specs: Specs) -> bool:
    return liquid in specs.syrups or liquid in specs.ingredients


def _unbroken(text: str) -> str:
    return text.replace(" ", NO_BREAK)
