"""One off-strength syrup across the menu: what every drink that pours it should pour."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Final, NamedTuple

from balancer.brief import brief
from balancer.engine.drink.amount import Amount
from balancer.engine.drink.bar import Bar, Strengths
from balancer.engine.drink.blend import PerKilogram, per_kilogram
from balancer.engine.drink.liquid import Liquid, syrup_liquid
from balancer.engine.service.advice import Advice, advise
from balancer.engine.service.decision import OffPour, Verdict
from balancer.engine.service.menu import DrinkDecision, Menu
from balancer.errors import BalancerError, CannotError
from balancer.models.drink import Drink
from balancer.models.pour import Pour
from balancer.models.syrup import Syrup

_SHOWN_BRIX: Final = 0.05
_POSSIBLE: Final = 5
"""Strengths judged to either side of the central one to see what else a drink could need."""


class Conversion(NamedTuple):
    """A written pour and what to pour instead."""

    written: Amount
    poured: Amount


class Companion(NamedTuple):
    """Another pour of the same drink that moves, because its syrup is off too."""

    syrup_id: str
    name: str
    written: Amount
    poured: Amount


class Possible(NamedTuple):
    """The syrup at strengths spread over what its uncertainty allows, and how far that is to either side, in °Bx."""

    plus_minus_brix: float
    strengths: Sequence[tuple[float, Liquid]]

    def __repr__(self) -> str:
        return brief(self)


@dataclass(frozen=True)
class DrinkRow:
    """One drink and one off-strength syrup.

    decided          the decision on the drink; place: where the syrup stands in it
    moves            it is another pour than written
    is_to_blame      no pour of the drink is right, and that has to do with this syrup
    verdict          on this pour: as written where only another one of the drink moves
    hangs_on_bottle  another syrup of the drink would pour otherwise beside the batch that counts, so that its bottle
                     says something else: a person decides
    flavour_percent  change of the syrup's flavour in the drink at the new pour, lowest and highest over
                     the possible causes, in %; None for a plain syrup
    written_brix     the strength that its pour is written for, °Bx; is_apart: that is not the syrup's standard
    menu             what it was decided from
    possible         what the uncertainty of the strength allows; None when that is not known
    """

    drink: Drink
    pour: Pour
    decided: DrinkDecision
    place: int
    moves: bool
    is_to_blame: bool
    verdict: Verdict
    hangs_on_bottle: bool
    flavour_percent: tuple[float, float] | None
    written_brix: float
    is_apart: bool
    menu: Menu
    possible: Possible | None

    __repr__ = brief

    @property
    def own(self) -> OffPour:
        """Its pour as it was decided on."""
        return self.decided.off[self.place]

    @property
    def batch(self) -> Liquid:
        """What is in the bottle."""
        return self.decided.now[self.place]

    @property
    def written(self) -> Amount:
        """The pour as the spec has it; in g where it goes on the scale."""
        return self.own.written

    @property
    def exact(self) -> Amount:
        """The pour that restores the syrup's own sugar."""
        return self.own.exact

    @property
    def line(self) -> Amount:
        """What stands on the bottle for the written pour."""
        return self.own.line

    @property
    def poured(self) -> Amount:
        """What to pour."""
        return self.decided.decision.poured[self.place]

    @property
    def as_written_percent(self) -> float:
        """How far the sugar of the whole drink is off as written, %."""
        return self.decided.decision.as_written_percent

    @property
    def after_percent(self) -> float:
        """How far it is off with what is poured, %."""
        return self.decided.decision.after_percent

    @cached_property
    def could_be(self) -> tuple[Verdict, ...] | None:
        """Other verdicts that the uncertainty of the strength allows; None when it is not known."""
        if self.possible is None:
            return None
        return _could_be(self.menu, self.decided, self.place, self.possible.strengths)

    @property
    def plus_minus_brix(self) -> float | None:
        """How far the strength may be off to either side, °Bx; None when that is not known."""
        return self.possible.plus_minus_brix if self.possible else None

    @property
    def companions(self) -> tuple[Companion, ...]:
        """The other pours of the drink that move."""
        decided = self.decided
        return tuple(
            Companion(part.pour.of, part.liquid.name, off.written, poured)
            for place, (part, off, poured) in enumerate(
                zip(decided.parts, decided.off, decided.decision.poured, strict=True)
            )
            if place != self.place and decided.moves(place)
        )

    @property
    def unknown_sugar(self) -> tuple[str, ...]:
        """Ids of pours whose sugar is unknown, so that the percentages are upper bounds."""
        return tuple(
            part.liquid.id for part in self.decided.designed if part.liquid.sugar_unknown and not part.is_small
        )

    @cached_property
    def _volumes(self) -> tuple[float, float | None]:
        mix, served, new_mix, new_served = self.decided.volumes()
        glass = new_served.volume_ml - served.volume_ml if served and new_served else None
        return new_mix.volume_ml - mix.volume_ml, glass

    @property
    def mix_change_ml(self) -> float:
        """Change of the mix at the new pours, against the spec at standard, ml."""
        return self._volumes[0]

    @property
    def served_change_ml(self) -> float | None:
        """Change in the glass, ml; None when the dilution is unknown."""
        return self._volumes[1]


@dataclass(frozen=True)
class Rescale:
    """One batch against the menu.

    others       °Bx of other syrups that were taken as their open batches read, by id
    not_pouring  drinks asked about that do not pour the syrup
    is_part      only some drinks were asked about; the advice is for the whole menu all the same
    is_outside   the batch is outside its batch tolerance
    """

    syrup: Syrup
    standard: Liquid
    batch: Liquid
    standard_brix: float
    batch_brix: float
    rows: tuple[DrinkRow, ...]
    advice: Advice
    correct: PerKilogram
    others: Strengths
    not_pouring: tuple[Drink, ...] = ()
    is_part: bool = False
    is_outside: bool = False

    __repr__ = brief

    @property
    def reads_off(self) -> bool:
        """Whether batch and standard differ by what a screen shows, a tenth of a °Bx."""
        return abs(self.batch_brix - self.standard_brix) >= _SHOWN_BRIX

    @property
    def syrup_sugar_percent(self) -> float:
        """How far the syrup's own sugar per ml is off, in %."""
        return 100.0 * (self.batch.sugar_g_per_ml / self.standard.sugar_g_per_ml - 1.0)

    @property
    def beside(self) -> tuple[tuple[Liquid, float], ...]:
        """The other syrups in the drinks shown that are off, as their open batches read, with their °Bx."""
        return tuple([(liquid, self.others[each]) for each, liquid in self._others_off.items() if each in self.others])

    @property
    def assumed(self) -> tuple[Liquid, ...]:
        """Those that are off although nobody read them: they are at a standard that drinks are not written for."""
        return tuple([liquid for each, liquid in self._others_off.items() if each not in self.others])

    @cached_property
    def _others_off(self) -> dict[str, Liquid]:
        """The other syrups in the drinks shown that are not as strong as those are written for, by id."""
        return {
            liquid.id: liquid
            for row in self.rows
            for place, (liquid, off) in enumerate(zip(row.decided.now, row.decided.off, strict=True))
            if place != row.place and off.is_off
        }

    @cached_property
    def written_for(self) -> tuple[float, ...]:
        """Strengths in °Bx that the drinks which move are written for, or all where none does; empty at standard."""
        rows = [row for row in self.rows if row.moves or row.is_to_blame] or self.rows
        return tuple(sorted({row.written_brix for row in rows})) if any(row.is_apart for row in rows) else ()

    @cached_property
    def conversions(self) -> tuple[Conversion, ...]:
        """Written pour and new pour, for every written pour that moves; one line serves the menu.

        The new pour is the syrup's own line: at equal sugar it depends on nothing but the written one and two
        strengths, as it is and as written for. Where drinks pour as much written for different ones, the line is that
        of the standard, or of the one closest to it. Those in ml first, each ascending.
        """
        speaks: dict[Amount, float] = {}
        for row in sorted(self.rows, key=lambda row: (abs(row.written_brix - self.standard_brix), row.written_brix)):
            speaks.setdefault(key_of(row.written), row.written_brix)
        own = (row for row in self.rows if row.verdict == "new pour" and row.poured.is_same(row.line))
        return conversions_of((row.written, row.line) for row in own if row.written_brix == speaks[key_of(row.written)])

    @cached_property
    def exceptions(self) -> tuple[DrinkRow, ...]:
        """The drinks that do not pour what the conversions say, and those that no pour is right for."""
        said = dict(self.conversions)
        return tuple(row for row in self.rows if row.is_to_blame or row.hangs_on_bottle or _is_exception(row, said))


def _is_exception(row: DrinkRow, said: dict[Amount, Amount]) -> bool:
    """Whether a drink pours something else than the lines of its bottle say, or no pour of it is right."""
    line = said.get(key_of(row.written))
    if row.verdict == "out of reach":
        return line is not None or row.decided.moves(row.place)
    return row.moves if line is None else not row.poured.is_same(line)


def conversions_of(pairs: Iterable[tuple[Amount, Amount]]) -> tuple[Conversion, ...]:
    """Written and poured amounts as lines for a bottle: each written amount once, in ml before g, ascending."""
    found = {key_of(written): Conversion(key_of(written), key_of(poured)) for written, poured in pairs}
    return tuple(sorted(found.values(), key=lambda one: (one.written.unit != "ml", one.written.value)))


def key_of(amount: Amount) -> Amount:
    """An amount without the noise of a float, so that one pour reckoned in two drinks is one pour."""
    return amount.of(round(amount.value, 6))


def pour_verdict(decided: DrinkDecision, place: int) -> Verdict:
    """The verdict on one pour of a drink: as written where only another one moves."""
    verdict = decided.decision.verdict
    return "as written" if verdict == "new pour" and not decided.moves(place) else verdict


def rescale(  # noqa: PLR0913 - one for each thing known of a batch
    bar: Bar,
    syrup_id: str,
    brix: float,
    drinks: Iterable[Drink] | None = None,
    *,
    uncertainty_brix: float | None = None,
    cause: str | None = None,
    others: Strengths | None = None,
    menu: Menu | None = None,
    counting: Menu | None = None,
    in_service: bool = True,
    confirmed: bool = False,
) -> Rescale:
    """What to do about a syrup at a strength.

    brix              strength of the batch, °Bx
    drinks            the drinks to show; every drink when None. The advice is always for the whole menu.
                      Those that do not pour the syrup, or only rinse with it, do not count
    uncertainty_brix  standard uncertainty of the strength, °Bx
    cause             why it is off: boiled, watered or sugar; None when unknown
    others            strengths of other syrups that are off too; the rest is at standard
    menu              instead of others: the menu with every syrup as it counts
    counting          the menu as everybody else pours it, where this batch is open beside the one that counts
    in_service        the batch is open; confirmed: an implausible strength has been read twice
    """
    syrup = bar.specs.syrups[syrup_id]
    standard, batch = bar.liquid(syrup_id), bar.liquid(syrup_id, brix)
    if not standard.sugar_g_per_ml or not batch.sugar_g_per_ml:
        raise CannotError("no-sugar", f"{syrup.name} holds no sugar, so no pour can keep it", "check its sugar share")
    menu = (menu or Menu(bar, others or {})).at(syrup_id, brix)
    possible = None if uncertainty_brix is None else _possible(syrup, brix, uncertainty_brix)
    rows = tuple(
        [_row(menu, drink, pour, syrup, cause, possible, counting) for drink, pour in menu.pouring.get(syrup_id, ())]
    )
    standard_brix = bar.standard(syrup_id)
    at_standard = menu.at(syrup_id, standard_brix)
    advice = advise(
        [(row.drink.name, row.verdict if row.moves or row.is_to_blame else "as written") for row in rows],
        small_pours=any(_is_left_small(row, bar.specs.house.tolerance) for row in rows),
        at_standard={row.drink.name: _verdict_in(at_standard, row) for row in rows if row.is_apart},
        elsewhere=[row.drink.name for row in rows if _is_off_elsewhere(row, bar.specs.house.tolerance)],
        brix=brix,
        standard_brix=standard_brix,
        syrup_sugar_percent=100.0 * (batch.sugar_g_per_ml / standard.sugar_g_per_ml - 1.0),
        tolerance_percent=bar.specs.house.tolerance,
        batch_tolerance_brix=bar.batch_tolerance(syrup_id),
        in_service=in_service,
        confirmed=confirmed,
    )
    by_drink = {row.drink.id: row for row in rows}
    asked = [row.drink for row in rows] if drinks is None else list(drinks)
    return Rescale(
        syrup=syrup,
        standard=standard,
        batch=batch,
        standard_brix=standard_brix,
        batch_brix=brix,
        rows=tuple([by_drink[drink.id] for drink in asked if drink.id in by_drink]),
        advice=advice,
        correct=per_kilogram(brix, standard_brix),
        others={other: value for other, value in menu.strengths.items() if other != syrup_id},
        is_part=drinks is not None,
        is_outside=bar.is_outside(syrup_id, brix),
        not_pouring=tuple([drink for drink in asked if drink.id not in by_drink]),
    )


def _row(
    menu: Menu,
    drink: Drink,
    pour: Pour,
    syrup: Syrup,
    cause: str | None,
    possible: Possible | None,
    counting: Menu | None,
) -> DrinkRow:
    decided, tolerance = menu.decide(drink), menu.bar.specs.house.tolerance
    place, is_apart = decided.place(pour.of), menu.bar.is_apart(drink, syrup.id)
    off, poured = decided.off[place], decided.decision.poured[place]
    verdict = pour_verdict(decided, place)
    # Beside the batch that counts the drink may be right, and then nobody else would be told of it.
    alone = counting is not None and off.is_off and counting.decide(drink).decision.verdict != "out of reach"
    is_to_blame = verdict == "out of reach" and (alone or decided.has_to_do_with(place, tolerance))
    return DrinkRow(
        drink=drink,
        pour=pour,
        decided=decided,
        place=place,
        moves=decided.moves(place) and (verdict != "out of reach" or is_to_blame),
        is_to_blame=is_to_blame,
        verdict=verdict,
        hangs_on_bottle=counting is not None and _others_differ(decided, counting.decide(drink), place),
        # Why its batch is off its standard does not tell why the standard is not what the drink is written for.
        flavour_percent=None if syrup.flavour == "none" else flavour_change(off, poured, None if is_apart else cause),
        written_brix=menu.bar.written_for(drink, syrup.id),
        is_apart=is_apart,
        menu=menu,
        possible=possible,
    )


def _verdict_in(menu: Menu, row: DrinkRow) -> Verdict:
    """The verdict on a row's pour on another menu."""
    decided = menu.decide(row.drink)
    return pour_verdict(decided, decided.place(row.pour.of))


def _others_differ(decided: DrinkDecision, counting: DrinkDecision, place: int) -> bool:
    """Whether another pour of a drink is not what it is beside the batch that counts."""
    usual = {part.pour.of: amount for part, amount in zip(counting.parts, counting.decision.poured, strict=True)}
    return any(
        number != place and not amount.is_same(usual.get(part.pour.of, amount))
        for number, (part, amount) in enumerate(zip(decided.parts, decided.decision.poured, strict=True))
    )


def _could_be(
    menu: Menu, decided: DrinkDecision, place: int, possible: Sequence[tuple[float, Liquid]]
) -> tuple[Verdict, ...]:
    """Verdicts on a pour other than the one given, that another strength of its syrup would give."""
    if not possible:
        return ()
    part, tolerance = decided.parts[place], menu.bar.specs.house.tolerance
    pours = [menu.off_pour(decided.drink, part, liquid, brix) for brix, liquid in possible]
    if decided.decision.way == "as written" and all(
        abs(decided.error_at(place, pour)) <= tolerance for pour in (pours[0], pours[-1])
    ):
        return ()  # the error goes straight from one end to the other
    found = set()
    for pour in pours:
        decision = decided.decided_at(place, pour, tolerance)
        stays = decision.poured[place].is_same(pour.written)
        found.add("as written" if decision.verdict == "new pour" and stays else decision.verdict)
    return tuple(sorted(found - {pour_verdict(decided, place)}))


def _is_left_small(row: DrinkRow, tolerance_percent: float) -> bool:
    """Whether it is poured as written only because it is too small a pour to change."""
    return row.verdict == "as written" and row.own.small and abs(row.as_written_percent) > tolerance_percent


def _is_off_elsewhere(row: DrinkRow, tolerance_percent: float) -> bool:
    """Whether a drink is off as written, and this syrup's pour stays because another one has to do with it."""
    return (
        abs(row.as_written_percent) > tolerance_percent
        and not row.moves
        and any(off.is_off for place, off in enumerate(row.decided.off) if place != row.place)
    )


def _possible(syrup: Syrup, brix: float, uncertainty_brix: float) -> Possible:
    """The syrup at strengths spread evenly over two standard uncertainties to either side.

    The ends alone would not do: between as written and a new pour there may be strengths out of reach.
    """
    found, plus_minus = [], 2.0 * uncertainty_brix
    for part in range(-_POSSIBLE, _POSSIBLE + 1):
        strength = brix + plus_minus * part / _POSSIBLE
        try:
            liquid = syrup_liquid(syrup, strength)
        except BalancerError:
            continue  # no syrup can be like this, so the batch is not
        if liquid.sugar_per_g > 0.0:
            found.append((strength, liquid))
    return Possible(plus_minus, found)


def flavour_change(off: OffPour, poured: Amount, cause: str | None) -> tuple[float, float]:
    """Change of the syrup's flavour in the drink, in %, lowest and highest over the possible causes.

    Boiled down or watered, flavour and sugar changed together, so flavour moves as the syrup's sugar
    does at the new pour. Too much or too little sugar leaves the flavour of a ml as it was, so it
    moves with the pour. Which of the two it is depends on why the batch is off, not on the arithmetic.
    """
    with_sugar = 100.0 * (poured.value / off.exact.value - 1.0)
    with_pour = 100.0 * (poured.value / off.written.value - 1.0)
    if cause in ("boiled", "watered"):
        return with_sugar, with_sugar
    if cause == "sugar":
        return with_pour, with_pour
    return min(with_sugar, with_pour), max(with_sugar, with_pour)
