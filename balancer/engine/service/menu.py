"""The menu against what is in use: the one decision on every drink, each made once."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from balancer.brief import brief
from balancer.engine.drink.amount import Amount, poured_in
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.jigger import Jigger, weighed_step_g
from balancer.engine.drink.liquid import Liquid
from balancer.engine.drink.totals import Contribution, State, contribute, mix_and_serve
from balancer.engine.drink.written import Written
from balancer.engine.service.decision import SMALL_POUR_ML, Decision, OffPour, decide
from balancer.models.drink import Drink
from balancer.models.pour import RINSE, Pour


@dataclass(frozen=True, slots=True)
class DrinkPour:
    """What one drink pours of a bottle; on_card: its pour as its card writes it."""

    drink: Drink
    written: Amount
    poured: Amount
    on_card: Written | None = field(default=None, compare=False)

    @property
    def moves(self) -> bool:
        """Whether it is another pour than written."""
        return not self.poured.is_same(self.written)


@dataclass(frozen=True, slots=True)
class DrinkDecision:
    """One drink with its syrups as they are.

    designed  every pour as designed
    parts     those of syrups with a strength of their own, and those written for another strength than the standard
              that they are at; as designed, in the order of the spec
    now       what is in their bottles, brix how strong, °Bx; off: the pours to decide on; all four in one order
    sugar_g   known sugar of the whole drink as designed
    """

    drink: Drink
    designed: tuple[Contribution, ...]
    parts: tuple[Contribution, ...]
    now: tuple[Liquid, ...]
    brix: tuple[float, ...]
    off: tuple[OffPour, ...]
    sugar_g: float
    decision: Decision

    __repr__ = brief

    def place(self, syrup_id: str) -> int:
        """Where a syrup stands in `parts`."""
        return next(place for place, part in enumerate(self.parts) if part.pour.of == syrup_id)

    def moves(self, place: int) -> bool:
        """Whether a pour is another than written."""
        return not self.decision.poured[place].is_same(self.off[place].written)

    def has_to_do_with(self, place: int, tolerance_percent: float) -> bool:
        """Whether a syrup has to do with how far the drink is off as written.

        It has when it brings at least half of what the one that brings most does, or more than service lets pass.
        """
        sign = 1.0 if self.decision.as_written_percent > 0.0 else -1.0
        brought = [sign * 100.0 * off.extra_g(off.written.value) / self.sugar_g for off in self.off]
        return brought[place] > tolerance_percent or brought[place] >= max(brought) / 2.0 > 0.0

    def error_at(self, place: int, pour: OffPour) -> float:
        """How far the drink's sugar would be off as written if one of the pours were another, %."""
        extra = sum([off.extra_g(off.written.value) for number, off in enumerate(self.off) if number != place])
        return 100.0 * (extra + pour.extra_g(pour.written.value)) / self.sugar_g

    def decided_at(self, place: int, pour: OffPour, tolerance_percent: float) -> Decision:
        """The decision if one of the pours were another."""
        off = [*self.off[:place], pour, *self.off[place + 1 :]]
        return decide(off, self.sugar_g, tolerance_percent)

    def exact(self) -> tuple[Strengths, dict[str, float]]:
        """How strong its syrups are, °Bx, and the pours that restore the sugar of each, ml, both by the syrup's id.

        A fixed pour stays as written. A bottle is weighed, so nothing is rounded to what a jigger pours.
        """
        volumes = {
            part.pour.of: (off.written if part.pour.fixed else off.exact).ml(liquid) or part.volume_ml or 0.0
            for part, off, liquid in zip(self.parts, self.off, self.now, strict=True)
        }
        return dict(zip(volumes, self.brix, strict=True)), volumes

    def volumes(self) -> tuple[State, State | None, State, State | None]:
        """Mix and served drink as designed, and as poured; served is None where the dilution is unknown."""
        poured = {
            part.pour.of: part.repoured(liquid, amount.ml(liquid) or 0.0)
            for part, liquid, amount in zip(self.parts, self.now, self.decision.poured, strict=True)
        }
        mix, _, served = mix_and_serve(self.drink, self.designed)
        new_mix, _, new_served = mix_and_serve(self.drink, [poured.get(part.pour.of, part) for part in self.designed])
        return mix, served, new_mix, new_served


class Menu:
    """A bar with its syrups as they are; every drink is decided on once.

    strengths  °Bx by syrup id, as the batches that count read; the other syrups are at standard

    A drink is as designed with every syrup at the strength that its pours are written for, whatever the standard is.
    """

    def __init__(self, bar: Bar, strengths: Strengths) -> None:
        self.bar, self.strengths = bar, strengths
        self._weighed = Jigger(weighed_step_g(bar.specs.house))
        self._decided: dict[str, DrinkDecision] = {}

    @cached_property
    def pouring(self) -> dict[str, list[tuple[Drink, Pour]]]:
        """By syrup id, every drink that pours it, with its pour; a rinse does not count."""
        found: dict[str, list[tuple[Drink, Pour]]] = {}
        for drink in self.bar.specs.drinks.values():
            for pour in drink.pours:
                if pour.of in self.bar.specs.syrups and pour.amount.unit != RINSE:
                    found.setdefault(pour.of, []).append((drink, pour))
        return found

    def at(self, syrup_id: str, brix: float) -> Menu:
        """The same menu with one syrup at another strength."""
        if self.strengths.get(syrup_id) == brix:
            return self
        other = Menu(self.bar, {**self.strengths, syrup_id: brix})
        other.__dict__["pouring"] = self.pouring
        return other

    def brix(self, syrup_id: str) -> float:
        """How strong a syrup is, °Bx."""
        read = self.strengths.get(syrup_id)
        return self.bar.standard(syrup_id) if read is None else read

    def decide(self, drink: Drink) -> DrinkDecision:
        """What a drink pours."""
        found = self._decided.get(drink.id)
        if found is None:
            found = self._decided[drink.id] = self._decide(drink)
        return found

    def off_pour(self, drink: Drink, part: Contribution, liquid: Liquid, brix: float) -> OffPour:
        """A pour of a syrup as it is; part is it as designed.

        Weighed pours move by the scale's division; free ones are never moved.
        """
        house, pour = self.bar.specs.house, part.pour
        if poured_in(house, pour, part.liquid) == "g":
            written, sugar_g, jigger = Amount(part.mass_g, "g"), liquid.sugar_per_g, self._weighed
        else:
            written, sugar_g, jigger = Amount(part.volume_ml or 0.0), liquid.sugar_g_per_ml, self.bar.jigger
        return OffPour(
            written,
            part.sugar_g,
            sugar_g,
            jigger,
            fixed=pour.fixed or house.pour_style == "free",
            small=(part.volume_ml or 0.0) <= SMALL_POUR_ML,
            outside=self.bar.is_outside(pour.of, brix, self.bar.written_for(drink, pour.of)),
        )

    def _decide(self, drink: Drink) -> DrinkDecision:
        bar = self.bar
        designed = tuple(contribute(bar, drink, {}, {}))
        parts = tuple(
            [
                part
                for part in designed
                if (part.pour.of in self.strengths or bar.is_apart(drink, part.pour.of))
                and part.mass_g
                and part.sugar_g
            ]
        )
        brix = tuple([self.brix(part.pour.of) for part in parts])
        now = tuple([bar.liquid(part.pour.of, strength) for part, strength in zip(parts, brix, strict=True)])
        off = tuple(
            [
                self.off_pour(drink, part, liquid, strength)
                for part, liquid, strength in zip(parts, now, brix, strict=True)
            ]
        )
        sugar_g = sum([part.sugar_g for part in designed])
        decision = decide(off, sugar_g, bar.specs.house.tolerance)
        return DrinkDecision(drink, designed, parts, now, brix, off, sugar_g, decision)
