"""One drink as it is poured tonight: every pour of its spec, and what stands in its place by the bottle in use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from balancer.engine.drink.amount import Amount
from balancer.engine.drink.totals import Contribution, totals
from balancer.engine.service.advice import Advice
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.rescale import DrinkRow, Rescale
from balancer.engine.service.tonight import Tonight
from balancer.models.batch import Batch
from balancer.models.drink import Drink

PourState = Literal["as written", "new pour", "out of reach", "in doubt", "not read"]


@dataclass(frozen=True, slots=True)
class BottlePour:
    """What a pour becomes by one open bottle.

    batch    None where nobody read the syrup, so that its standard counts
    written  as the spec has it, ml or g; poured: what to pour instead, the same where nothing moves
    state    in doubt: the bottle is to be read again first, was not read since it was corrected, or is borderline
    row      the syrup's row in the night's answer; None of a juice
    advice   on the bottle; None of a juice
    juice    the juice's own answer; None of a syrup
    """

    batch: Batch | None
    written: Amount
    poured: Amount
    state: PourState
    row: DrinkRow | None = None
    advice: Advice | None = None
    juice: JuiceTonight | None = None


@dataclass(frozen=True, slots=True)
class PourTonight:
    """One pour of a spec tonight.

    part     the pour as designed
    bottles  by each open bottle of it, the one that counts first; none where it is poured as written whatever is open
    is_assumed  whether it is a syrup of which no open bottle has a strength, so that its standard counts
    """

    part: Contribution
    bottles: tuple[BottlePour, ...] = ()
    is_assumed: bool = False

    @property
    def counts(self) -> BottlePour | None:
        """By the bottle that counts."""
        return self.bottles[0] if self.bottles else None


@dataclass(frozen=True, slots=True)
class DrinkTonight:
    """A drink tonight.

    serves_of  the bottle it is poured from ready mixed, so that nothing of it is poured by itself; None of most
    """

    drink: Drink
    pours: tuple[PourTonight, ...]
    serves_of: str | None = None


def drink_tonight(result: Tonight, drink: Drink) -> DrinkTonight:
    """What a drink pours tonight, by the night's own answer: nothing is decided here."""
    bottle = next((bottle.item.batch for bottle in result.bottled if bottle.drink.id == drink.id), None)
    parts = totals(result.menu.bar, drink).contributions
    return DrinkTonight(drink, tuple(_pour(result, drink, part) for part in parts), bottle)


def _pour(result: Tonight, drink: Drink, part: Contribution) -> PourTonight:
    of = part.pour.of
    counting = result.now.counting.get(of)
    found = [
        _by_syrup(item.batch, item.rescale, row)
        for item in result.batches
        if item.batch.liquid == of
        for row in item.rescale.rows
        if row.drink.id == drink.id
    ]
    found += [pour for juice in result.juices if juice.ingredient.id == of for pour in _by_juice(juice, drink)]
    found.sort(key=lambda pour: pour.batch != counting)
    if not found:
        found = [
            _by_syrup(None, item, row)
            for item in result.assumed
            if item.syrup.id == of
            for row in item.rows
            if row.drink.id == drink.id
        ]
    return PourTonight(part, tuple(found), is_assumed=of in result.standard)


def _by_syrup(batch: Batch | None, item: Rescale, row: DrinkRow) -> BottlePour:
    state: PourState = row.verdict
    if batch is None and state == "as written":
        state = "not read"
    elif item.advice.is_unsure or (state != "out of reach" and (row.could_be or (batch and not batch.verified))):
        state = "in doubt"
    return BottlePour(batch, row.written, row.poured, state, row, item.advice)


def _by_juice(juice: JuiceTonight, drink: Drink) -> list[BottlePour]:
    return [
        BottlePour(juice.batch, row.written, row.poured, "new pour" if row.moves else "as written", juice=juice)
        for row in juice.rows
        if row.drink.id == drink.id
    ]
