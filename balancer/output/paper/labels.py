"""Labels for the bottles of batches, and for what is opened without being one: what each of them says."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final, NamedTuple

from balancer.engine.service.labels import Label, Labels
from balancer.engine.service.opened import OpenedBottle
from balancer.models.ingredient import Ingredient
from balancer.models.specs import Specs
from balancer.models.syrup import Syrup
from balancer.output.paper.label_print import LabelFact, LabelPrint, LabelText, PrintedPour, day_on_label, keep_at
from balancer.output.paper.language import Words
from balancer.output.paper.print_text import printable
from balancer.output.paper.strips import spelt, spelt_line
from balancer.output.words.advice import strengths_text
from balancer.output.words.numbers import brix, to_weigh, trim
from balancer.output.words.tonight import Told, told

_BOUGHT: Final = ("spirit", "liqueur", "wine", "beer", "bitters", "mixer")
"""What a bar opens; everything else it squeezes, cooks or mixes."""


class LabelRun(NamedTuple):
    """Labels of batches, and of bottles that were opened without being one, and what was printed of them."""

    result: Labels
    opened: Sequence[OpenedBottle]
    done: LabelPrint
    today: date


def batch_label(label: Label, today: date, specs: Specs, words: Words) -> LabelText:
    """The label of a batch."""
    item, house = label.item, specs.house
    batch = item.batch
    said = told(label.lines, house, on_card=True)
    return LabelText(
        key=batch.id,
        code=batch.id,
        title=item.name,
        heed=_heed(label, words),
        big=_big(label, words),
        asides=[*_asides(label, words), *_as_written(label, words)],
        facts=[*_spec(label, words), *_second(label, words), _began(label, today, words)],
        use_by=day_on_label(batch.discard, today, words) if batch.discard else None,
        listed=[*map(words.allergen, label.brings.allergens)],
        unknown=unknown_names(label, specs, words),
        cautions=[*(words.caution(text) for text in item.cautions), *_weak(label, words)],
        caption=words("label.pour-until" if label.correct else "label.pour-this"),
        elsewhere="" if label.is_unopened else words("label.see-strip"),
        pours=[PrintedPour(*spelt_line(line.change, words)) for line in said.lines],
        exceptions="; ".join([*_exceptions(said, words), *_hanging(label, words)]),
        not_all=bool(said.others or said.asked or label.hanging),
        storage=keep_at(label.storage_c, words),
        care=words.row(care_text(label)),
        by=batch.by or "",
    )


def opened_label(bottle: OpenedBottle, today: date, words: Words) -> LabelText:
    """The label of a bottle that was opened: its last day is what is read from a shelf away."""
    return LabelText(
        key=bottle.source.name,
        title=bottle.source.name,
        big=LabelFact(words("label.opened"), day_on_label(bottle.opened, today, words)),
        use_by=day_on_label(bottle.use_by, today, words) if bottle.use_by else None,
        listed=[*map(words.allergen, bottle.allergens or ())],
        unknown=[words("label.own-unknown")] if bottle.allergens is None else [],
        cautions=[words.caution(text) for text in bottle.cautions],
        storage="" if bottle.storage_c is None else keep_at(bottle.storage_c, words),
    )


def _exceptions(said_of: Told, words: Words) -> list[str]:
    """Which drinks the lines are not for, and what they pour instead; those that a person has to decide on."""
    spell = spelt(words)
    said = [f"{drink.name} {spell(change)}" for drink, change in said_of.others if not change.is_none]
    stay = words.row(drink.name for drink, change in said_of.others if change.is_none)
    asked = words.row(drink.name for drink in said_of.asked)
    said += [words("label.as-written", drinks=stay)] if stay else []
    return [*said, *([words("label.not-in", drinks=asked)] if asked else [])]


def _hanging(label: Label, words: Words) -> list[str]:
    """The drinks that have pours on the strip alone, because those end with another bottle."""
    return [words("label.hanging", drinks=words.row(drink.name for drink in label.hanging))] if label.hanging else []


def _heed(label: Label, words: Words) -> LabelFact | None:
    """What brings it to its standard, before anybody opens it or pours on."""
    extra = label.correct
    if extra is None or extra.add is None:
        return None
    mass = words.number(to_weigh(extra.g_per_kg))
    return LabelFact(
        words("label.correct-before" if label.is_unopened else "label.correct-first"),
        printable(words("label.per-kg", mass=mass, what=words(f"label.{extra.add}"))),
    )


def _big(label: Label, words: Words) -> LabelFact:
    """A syrup's strength, or the acid of what has none; that it was not read where it was not."""
    batch = label.item.batch
    if batch.brix is not None:
        is_read = batch.verified or label.is_doubted
        word = words("label.reads" if is_read else "label.strength")
        return LabelFact(word, words.number(brix(batch.brix)))
    if batch.acid is not None:
        return LabelFact(words("label.acid"), words.number(f"{trim(batch.acid.value, 1)} {batch.acid.unit}"))
    is_sour = label.item.spec_acid is not None
    return LabelFact(words("label.acid" if is_sour else "label.strength"), words("label.not-read"))


def _asides(label: Label, words: Words) -> list[str]:
    if label.item.batch.brix is None:
        return []
    if label.is_doubted:
        return [words("label.read-again")]
    return [] if label.item.batch.verified else [words("label.predicted")]


def _as_written(label: Label, words: Words) -> list[str]:
    return [words("label.pour-as-written")] if label.pours_as_written else []


def _spec(label: Label, words: Words) -> list[LabelFact]:
    """What it should be, where it is not, or where its drinks are written for something else."""
    item = label.item
    if item.batch.brix is None or item.standard_brix is None:
        return []
    off = item.fit == "off"
    others = strengths_text(label.lines.written_for) if off or label.lines.moves else ""
    if not off and not others:
        return []
    spec = words.number(brix(item.standard_brix))
    said = words("label.spec-apart", spec=spec, others=words.number(others)) if others else spec
    return [LabelFact(words("label.spec"), said)]


def _second(label: Label, words: Words) -> list[LabelFact]:
    """The acid of what has a strength too."""
    batch = label.item.batch
    if batch.brix is None or batch.acid is None:
        return []
    return [LabelFact(words("label.acid"), words.number(f"{trim(batch.acid.value, 1)} {batch.acid.unit}"))]


def _began(label: Label, today: date, words: Words) -> LabelFact:
    """When it was made; of what is bought, when it was opened. A line to write on where the log does not say."""
    batch, source = label.item.batch, label.item.source
    is_bought = isinstance(source, Ingredient) and source.kind in _BOUGHT
    day = label.opened_on if is_bought else batch.made
    return LabelFact(
        words("label.opened" if is_bought else "label.made"), day_on_label(day, today, words) if day else None
    )


def unknown_names(label: Label, specs: Specs, words: Words) -> list[str]:
    """What of it has no list of allergens; all of it where it has none itself, or nobody knows what it is."""
    unknown, own = label.brings.unknown, label.item.batch.liquid
    if not unknown:
        return []
    others = [specs.liquid(liquid).name for liquid in unknown if liquid != own and specs.find_liquid(liquid)]
    return [words("label.own-unknown")] if own in unknown or not others else others


def _weak(label: Label, words: Words) -> list[str]:
    kept = label.item.kept
    return [words("label.too-weak")] if kept and kept.lost else []


def cautions_text(label: Label) -> list[str]:
    """What its file says to heed, and that it is too weak to keep as its file says."""
    kept = label.item.kept
    return [*label.item.cautions, *(["weaker than standard: keep cold"] if kept and kept.lost else [])]


def care_text(label: Label) -> Sequence[str]:
    """How its file says it is kept and looked at."""
    source = label.item.source
    return list(source.care) if isinstance(source, Syrup) else []
