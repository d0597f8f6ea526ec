"""What stands on the bottle of a batch, and which batches get no label any more."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, tzinfo
from typing import Literal, NamedTuple

from balancer.engine.batch.contents import Brings, brings
from balancer.engine.batch.history import night_of
from balancer.engine.batch.notes import BatchNow, describe, is_confirmed
from balancer.engine.drink.bar import Bar
from balancer.engine.drink.blend import PerKilogram
from balancer.engine.service.advice import AdviceWord
from balancer.engine.service.hanging import lasting_lines
from balancer.engine.service.lines import BottleLines, juice_lines_of
from balancer.engine.service.menu import Menu
from balancer.engine.service.rescale import Rescale, rescale
from balancer.engine.service.tonight import Tonight
from balancer.errors import BalancerError
from balancer.models.batch import Batch
from balancer.models.drink import Drink

WhyNoLabel = Literal["past", "empty", "discarded", "pull"]


@dataclass(frozen=True, slots=True)
class Label:
    """One batch.

    storage_c  °C: its file's, else the house's; cold where it is too weak for its own
    lines      as on a strip, without those that hang on another bottle: a label has no day on which it comes off; none
               when its strength is not believed
    hanging    drinks that those would be for: their pours are on the strip
    advice     what the rules say of it; None without a strength, and for a juice
    correct    what a kilogram of it needs; None unless the advice is to correct it, or prep does before it is opened
    opened_on  the working day on which it was opened; None where the log does not say
    """

    item: BatchNow
    brings: Brings
    storage_c: float
    lines: BottleLines
    advice: AdviceWord | None
    correct: PerKilogram | None = None
    opened_on: date | None = None
    hanging: tuple[Drink, ...] = ()

    @property
    def is_doubted(self) -> bool:
        """Whether its strength is so far off that it is read again before anything is poured by it."""
        return self.advice == "read again" or self.item.fit == "implausible"

    @property
    def is_unopened(self) -> bool:
        """Whether it waits to be opened."""
        return self.item.batch.state == "made"

    @property
    def pours_as_written(self) -> bool:
        """Whether it is off and every drink pours it as its card says all the same."""
        if self.item.fit != "off" or self.correct is not None:
            return False
        return self.advice == "as written" and self.lines.serve_all and not self.lines.moves


class Refusal(NamedTuple):
    """A batch that gets no label, because nobody should pour from it."""

    item: BatchNow
    why: WhyNoLabel


class Labels(NamedTuple):
    """The labels asked for, in that order, and the batches that get none."""

    labels: tuple[Label, ...]
    refused: tuple[Refusal, ...]


def labels(
    bar: Bar, result: Tonight, batches: Collection[Batch], asked: Iterable[Batch], zone: tzinfo | None = None
) -> Labels:
    """The labels of batches.

    result   the night's answer: a label's conversions are those of the night, so that bottle and strip agree
    batches  all of the log
    zone     of the house's clock, by which a batch was opened on one working day or the next; None: that of the log
    """
    found: list[Label] = []
    refused: list[Refusal] = []
    for batch in asked:
        item = describe(bar, batch, result.night)
        menu = against_menu(bar, result, batch)
        why = _refusal(item, menu)
        if why is None:
            found.append(_label(bar, result, batches, item, menu, zone))
        else:
            refused.append(Refusal(item, why))
    return Labels(tuple(found), tuple(refused))


def _refusal(item: BatchNow, menu: Rescale | None) -> WhyNoLabel | None:
    match item.batch.state:
        case "empty" | "discarded" as state:
            return state
        case _ if item.past:
            return "past"
        case _:
            return "pull" if menu is not None and menu.advice.word == "pull" else None


def _label(
    bar: Bar,
    result: Tonight,
    batches: Collection[Batch],
    item: BatchNow,
    menu: Rescale | None,
    zone: tzinfo | None,
) -> Label:
    batch, house = item.batch, bar.specs.house
    storage = house.storage if item.kept is None else item.kept.storage_c
    juice = next((juice for juice in result.juices if juice.batch.id == batch.id), None)
    lines, hanging = BottleLines(), tuple[Drink, ...]()
    if menu is not None and menu.advice.word != "read again" and item.fit != "implausible":
        lines, hanging = lasting_lines(menu, _counting(result, batch))
    elif juice is not None:
        lines = juice_lines_of(juice)
    inside = brings(bar.specs, batch, batches)
    word = menu.advice.word if menu else None
    is_to_correct = word == "correct the batch" or (item.is_off and batch.state == "made")
    correct = menu.correct if menu and is_to_correct and menu.correct.add is not None else None
    opened = batch.opened and night_of(batch.opened.astimezone(zone or batch.opened.tzinfo), house.day_ends)
    return Label(item, inside, storage, lines, word, correct, opened, hanging)


def _counting(result: Tonight, batch: Batch) -> Menu | None:
    """The menu as everybody else pours it, where a batch is open beside the one that counts."""
    is_beside = any(item.batch.id == batch.id for item in result.batches) and batch != result.now.counting.get(
        batch.liquid
    )
    return result.menu if is_beside else None


def against_menu(bar: Bar, result: Tonight, batch: Batch) -> Rescale | None:
    """A batch against the menu: the night's answer where it is open, else as if it were opened beside the open ones."""
    known = next((item.rescale for item in result.batches if item.batch.id == batch.id), None)
    if known is not None or batch.brix is None or batch.liquid not in bar.specs.syrups:
        return known
    try:
        return rescale(bar, batch.liquid, batch.brix, menu=result.menu, in_service=False, confirmed=is_confirmed(batch))
    except BalancerError:  # no syrup can be as strong as the log says
        return None
