"""Which open bottles need a strip on the rail tonight, what it says, and why the others get none."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

from balancer.engine.batch.contents import Gained, brings, gained
from balancer.engine.batch.history import CLOSED
from balancer.engine.drink.bar import Bar
from balancer.engine.service.hanging import hangs_on
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.lines import BottleLines, juice_lines_of, lines_of
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.tonight import BatchTonight, Tonight
from balancer.models.batch import Batch, LogEntry
from balancer.models.drink import Drink
from balancer.models.ingredient import Ingredient
from balancer.models.syrup import Syrup

WhyNoStrip = Literal[
    "as written", "correct", "read again", "pull", "past", "not read", "impossible", "free pour",
    "not open", "closed", "unknown",
]  # fmt: skip
"""Why a batch has no strip.

as written  nothing that it is poured in changes
correct     it is to be corrected, and there are no pours until then
not read    its strength or acid is not in the log
free pour   the house pours freely, so that nobody is asked for a new pour
unknown     the files do not know what it is
"""


class HangsOnBottle(NamedTuple):
    """The bottle of another syrup, and the drinks whose pours of this one are others once that is at its standard."""

    batch: Batch
    drinks: tuple[Drink, ...]


@dataclass(frozen=True, slots=True)
class Strip:
    """What is taped beside one open bottle.

    until      the bottle is empty, or it is corrected
    lines      what to pour instead; empty when the strip is there for its allergens only
    gained     what the cards do not say of it; allergens_unknown: of something in it, whether the cards say so or not
    also_open  ids of the other batches of its syrup that are open and good: the strip is not for those
    hangs_on   bottles of other syrups that some of its pours hang on: it comes off with them too
    """

    batch: Batch
    source: Syrup | Ingredient
    until: Literal["empty", "corrected"]
    lines: BottleLines
    gained: Gained
    allergens_unknown: bool
    also_open: tuple[str, ...] = ()
    hangs_on: tuple[HangsOnBottle, ...] = ()


@dataclass(frozen=True, slots=True)
class NoStrip:
    """A batch without a strip, and why.

    name    of its syrup or juice; source: its file, None when no file that loaded has it
    reason  one sentence where the advice has one, else empty
    result  the batch against the menu, where it was read
    gained  what the cards do not say of it, all the same
    """

    batch: Batch
    name: str
    why: WhyNoStrip
    reason: str
    result: Rescale | None
    gained: Gained
    source: Syrup | Ingredient | None = None


@dataclass(frozen=True, slots=True)
class Strips:
    """The strips of a night, in the order of opening, juices last; and the batches that have none."""

    night: date
    strips: tuple[Strip, ...]
    without: tuple[NoStrip, ...]


def strips(
    bar: Bar,
    result: Tonight,
    batches: Collection[Batch],
    entries: Sequence[LogEntry] = (),
    only: Iterable[Batch] | None = None,
) -> Strips:
    """The strips of a night.

    result   the night's answer; batches and entries as the log has them
    only     these batches; every open one when None
    A bottle has a strip when a pour from it changes, when no pour is right for a drink and correcting it would not
    help, or when it brings an allergen that a card does not say, or is in the place of another syrup. One that is
    not to be poured never has one.
    """
    asked = [batch for batch in batches if batch.state == "open"] if only is None else list(only)
    order = [*[item.batch.id for item in result.batches], *[juice.batch.id for juice in result.juices]]
    place = {identity: number for number, identity in enumerate(order)}
    asked.sort(key=lambda batch: place.get(batch.id, len(place)))
    found: list[Strip] = []
    without: list[NoStrip] = []
    for batch in asked:
        source = bar.specs.find_liquid(batch.liquid)
        item = next((item for item in result.batches if item.batch.id == batch.id), None)
        juice = next((juice for juice in result.juices if juice.batch.id == batch.id), None)
        new = gained(bar.specs, batch, batches, entries)
        why, reason = _refusal(bar, result, batch, item)
        if why is None and source is not None:
            lines = lines_of(item.rescale) if item else juice_lines_of(juice) if juice else BottleLines()
            is_told = new.any or bool(new.in_place_of)
            to_correct = item is not None and item.rescale.advice.word == "correct the batch"
            if lines.moves_on_paper(bar.specs.house) or is_told or (lines.unreached and not to_correct):
                until: Literal["empty", "corrected"] = "corrected" if to_correct else "empty"
                also_open = tuple(other.id for other in result.now.beside(batch))
                unknown = bool(brings(bar.specs, batch, batches).unknown)
                found.append(
                    Strip(batch, source, until, lines, new, unknown, also_open, _hangs_on(result, item) if item else ())
                )
                continue
            why, reason = _no_pours(bar, item, juice)
        name = source.name if source else batch.liquid or "unknown syrup"
        without.append(NoStrip(batch, name, why or "unknown", reason, item.rescale if item else None, new, source))
    return Strips(result.night, tuple(found), tuple(without))


def _hangs_on(result: Tonight, item: BatchTonight) -> tuple[HangsOnBottle, ...]:
    counting = result.now.counting
    beside = None if item.batch == counting.get(item.batch.liquid) else result.menu
    return tuple(HangsOnBottle(counting[other], drinks) for other, drinks in hangs_on(item.rescale, beside))


def _refusal(bar: Bar, result: Tonight, batch: Batch, item: BatchTonight | None) -> tuple[WhyNoStrip | None, str]:
    """Why no bartender should pour by a strip of this batch; None when one may."""
    if batch.state in CLOSED:
        return "closed", ""
    if batch.liquid not in bar.specs.syrups and batch.liquid not in bar.specs.ingredients:
        return "unknown", ""
    if batch.state != "open":
        return "not open", ""
    if batch in result.now.past:
        return "past", ""
    impossible = next((why for other, why in result.impossible if other.id == batch.id), None)
    if impossible is not None:
        return "impossible", impossible
    if item is not None and item.rescale.advice.is_unsure:
        return ("pull" if item.rescale.advice.word == "pull" else "read again"), item.rescale.advice.reason
    return None, ""


def _no_pours(bar: Bar, item: BatchTonight | None, juice: JuiceTonight | None) -> tuple[WhyNoStrip, str]:
    """Why a batch that may be poured has nothing to say."""
    if item is None and juice is None:
        return "not read", ""
    is_free = bar.specs.house.pour_style == "free"
    if item is not None and item.rescale.advice.word == "correct the batch":
        return "correct", item.rescale.advice.reason
    if is_free and juice is not None and juice.is_off:
        return "free pour", ""
    return "as written", ""
