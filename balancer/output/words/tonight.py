"""Words that `tonight` says on the screen and in JSON alike."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from balancer.engine.batch.read_it import read_again, read_it
from balancer.engine.drink.amount import Amount
from balancer.engine.drink.written import Written
from balancer.engine.service.hanging import moved_by
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.lines import BottleLines, Reading, as_read, corrected_lines, gains_by_correction, lines_of
from balancer.engine.service.menu import DrinkPour
from balancer.engine.service.rescale import Rescale
from balancer.engine.service.tonight import BottleTonight, Tonight
from balancer.models.batch import Batch
from balancer.models.days import day_text
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.words.advice import ASSUMED, NOT_SINCE, per_kg_text, spec_text
from balancer.output.words.amounts import AmountChange, amount_text, change_of, changes_text
from balancer.output.words.numbers import brix, percent, trim
from balancer.output.words.page import act, house_volume, watch
from balancer.output.words.unsaid import unsaid_rows


def tonight_notes(result: Tonight, specs: Specs) -> list[str]:
    """Everything to know besides the pours, one sentence each."""
    notes = [*map(str, unsaid_rows(result)), *warning_rows(result, specs)]
    notes += [f"{juice.ingredient.name} {juice.batch.id}: {acid_text(juice)}" for juice in result.juices]
    notes += [f"{ASSUMED}: {names_text(result.standard, specs)}"] * bool(result.standard)
    notes += [assumed_row(item, specs.house) for item in assumed_moving(result)]
    notes += [in_bottles_text(result)] * bool(result.bottled)
    notes += [f"last day of use unknown: {ids_text(result.now.undated)}"] * bool(result.now.undated)
    return notes


def acid_text(juice: JuiceTonight) -> str:
    """How far the acid is off, in words."""
    return f"acid {percent(juice.acid_percent)}"


def assumed_moving(result: Tonight) -> list[Rescale]:
    """The syrups that nobody read and that some drink pours otherwise at their standard, or has no pour of."""
    return [item for item in result.assumed if any(row.moves or row.is_to_blame for row in item.rows)]


def assumed_as_written(result: Tonight) -> tuple[str, ...]:
    """The other syrups that nobody read, by id; without those that another stands in for."""
    told = {item.syrup.id for item in assumed_moving(result)}
    return tuple(syrup for syrup in result.standard if syrup not in told and syrup not in result.replaced)


def assumed_row(item: Rescale, house: House) -> str:
    """Such a syrup and its lines."""
    lines = lines_of(item)
    said = "; ".join([*lines_text(lines, house), *asked_text(lines, house)])
    return f"{item.syrup.name}, {ASSUMED} {spec_text(item.standard_brix, item.written_for)}: {said}"


def in_bottles_text(result: Tonight) -> str:
    """Drinks that are poured from a bottle."""
    return f"in bottles, so left out: {', '.join(bottle.drink.name for bottle in result.bottled)}"


def _rescue_row(bottle: BottleTonight, house: House) -> str:
    found = bottle.rescue
    if found is None:
        return ""
    add = [
        f"{trim(line.mass_g, 0)} g {line.name}"
        if line.volume_ml is None
        else f"{house_volume(line.volume_ml, house)} {line.name}"
        for line in found.add
    ]
    sugar = f"or stir in {trim(found.dry_sugar_g, 0)} g sugar" if found.dry_sugar_g else ""
    what = ", ".join([*add, *([sugar] if sugar else [])])
    lead = f"bottled {bottle.drink.name} ({bottle.item.batch}): sugar {percent(found.sugar_percent)}"
    return f"{lead}; if {trim(bottle.item.serves, 1)} serves are left in it, add {what}"


def warning_rows(result: Tonight, specs: Specs) -> list[str]:
    """What must be acted on, a row each."""
    notes: list[str] = [
        act(past_row(batch, specs.liquid(batch.liquid).name, result.night)) for batch in result.now.past if batch.ends
    ]
    notes += [watch(_doubled_row(group, result, specs)) for group in result.now.doubled]
    notes += [watch(_rescue_row(bottle, specs.house)) for bottle in result.bottled if bottle.rescue]
    notes += [
        act(read_again(f"{batch.id} is left out: {why}; read it again", specs.find_liquid(batch.liquid), batch.id))
        for batch, why in result.impossible
    ]
    notes += [
        f"{batch.id} is left out: no file that loaded says what {batch.liquid or 'it'} is; see balancer check"
        for batch in result.now.unknown
    ]
    notes += [
        f"{batch.id}: {ASSUMED}; {read_it(specs.find_liquid(batch.liquid), batch.id)}" for batch in result.now.unread
    ]
    notes += [
        f"{batch.id} was {NOT_SINCE}; {read_it(specs.find_liquid(batch.liquid), batch.id)}"
        for batch in result.now.unverified
    ]
    return notes


def past_row(batch: Batch, name: str, today: date) -> str:
    """That an open batch is not poured any more."""
    last = f" ({day_text(batch.ends, today)})" if batch.ends else ""
    return f"{batch.id} {name} is past its last day{last}: discard it"


def _doubled_row(group: Sequence[Batch], result: Tonight, specs: Specs) -> str:
    """Several open bottles of one thing, and which of them counts in drinks of other syrups."""
    counting = result.now.counting.get(group[0].liquid)
    counts = f", until then {counting.id} counts" if counting else ""
    lead = f"{len(group)} bottles of {specs.liquid(group[0].liquid).name} are open: {ids_text(group)}"
    return f"{lead}; empty one first{counts}"


def only_text(batch: Batch, result: Tonight) -> str:
    """That the pours of a bottle are not for the others of its syrup that are open beside it; empty without others."""
    others = [other.id for other in result.now.beside(batch)]
    return f"; only {batch.id}, not {' or '.join(others)}" if others else ""


class ToldLine(NamedTuple):
    """A line of a bottle as it is printed, and the drinks that go by it."""

    change: AmountChange
    drinks: Sequence[Drink]


class Told(NamedTuple):
    """What hangs on a bottle, as it is printed; no two lines have the same written side.

    others  drinks that the line of what their cards write is not for, with what they pour
    asked   drinks that a person has to decide on, those that no pour is right for first
    stuck   those of them that no conversion is for: named only because a line reads as if it were for them
    """

    lines: list[ToldLine]
    others: list[tuple[Drink, AmountChange]]
    asked: list[Drink]
    stuck: tuple[Drink, ...]


def told(lines: BottleLines, house: House, *, on_card: bool = False) -> Told:
    """What hangs on a bottle for who reads the cards.

    on_card  also what is weighed reads as on the cards; on the screen a house that weighs sees two weights
    """
    known: dict[tuple[Amount, Amount, Written | None], AmountChange] = {}

    def change(pour: DrinkPour) -> AmountChange:
        card = pour.on_card if on_card or pour.written.unit == "ml" else None
        key = (pour.written, pour.poured, card)
        if key not in known:
            known[key] = change_of(*key[:2], house, card)
        return known[key]

    def reading(pour: DrinkPour) -> Reading:
        said = change(pour)
        # Two weights are told apart by more digits, and are one to a scale that shows fewer.
        weighed = pour.written.unit == "g" and not on_card
        before = amount_text(pour.written, house) if weighed else f"{said.before} {said.before_unit}"
        return Reading(before, None if said.is_none else f"{said.after} {said.unit}")

    found = as_read(lines, reading)
    return Told(
        [ToldLine(change(line[0]), [pour.drink for pour in line]) for line in found.lines],
        [(pour.drink, change(pour)) for pour in found.others],
        [*lines.unreached, *found.stuck, *lines.ask],
        found.stuck,
    )


def exceptions_text(lines: BottleLines, house: House) -> list[str]:
    """Which drinks the lines of a bottle are not for, and what they pour instead."""
    return others_text(told(lines, house))


def staying_text(lines: BottleLines, house: House) -> list[str]:
    """Which of those drinks pour as written, where the others are shown otherwise."""
    said = told(lines, house)
    return others_text(said._replace(others=[one for one in said.others if one[1].is_none]))


def others_text(said: Told) -> list[str]:
    """What the drinks pour that the lines of a bottle are not for."""
    others = said.others
    stay = [drink.name for drink, change in others if change.is_none]
    moved = [f"{drink.name} {change}" for drink, change in others if not change.is_none]
    return [*moved, *([f"as written: {', '.join(stay)}"] if stay else [])]


def asked_text(lines: BottleLines, house: House) -> list[str]:
    """Which drinks a person has to decide on."""
    drinks = told(lines, house).asked
    return [f"not in {drink_names(drinks)}"] if drinks else []


def until_corrected_text(lines: BottleLines, house: House) -> list[str]:
    """The same of a bottle that is corrected first: no pour is right for some of them until it is."""
    drinks, unreached = told(lines, house).asked, {drink.id for drink in lines.unreached}
    wait = [drink for drink in drinks if drink.id in unreached]
    rest = [drink for drink in drinks if drink.id not in unreached]
    return [
        *([f"no pour for {drink_names(wait)} until it is corrected"] if wait else []),
        *([f"not in {drink_names(rest)}"] if rest else []),
    ]


def lines_text(lines: BottleLines, house: House) -> list[str]:
    """The lines of a bottle, and the drinks that pour otherwise."""
    changes = [line.change for line in told(lines, house).lines]
    return [*([changes_text(changes)] if changes else []), *exceptions_text(lines, house)]


def pours_text(lines: BottleLines, house: House) -> str:
    """All that is to be poured from a bottle, and the drinks that a person has to decide on."""
    said = "; ".join([*lines_text(lines, house), *asked_text(lines, house)])
    return said or ("as written" if lines.moves else "")


def corrected_text(result: Rescale, house: House) -> str:
    """What to pour once a batch is corrected to its standard; empty where that is as written."""
    said = pours_text(corrected_lines(result), house)
    return f"; corrected, pour {said}" if said else ""


def correction_rows(result: Rescale, lead: str, house: House) -> list[str]:
    """What corrects a batch and what is poured then; no row where the same is poured without."""
    if not result.correct.add or not gains_by_correction(result):
        return []
    after = corrected_text(result, house)
    return [f"{lead}: {per_kg_text(result.correct)} brings it to {brix(result.standard_brix)}{after}"]


def because_text(result: Rescale) -> str:
    """Why a batch within its tolerance pours otherwise; empty where that is its own strength.

    Of a bottle whose pours all go up or down it leads with which.
    """
    found = moved_by(result)
    if not found:
        return ""
    why = " and ".join(f"{one.name} is {'strong' if one.is_strong else 'weak'}" for one in found)
    return f"{_way(result)}because {why}"


def _way(result: Rescale) -> str:
    ups = {row.poured.value > row.written.value for row in result.rows if row.moves}
    return "" if len(ups) != 1 else "pour more, " if ups == {True} else "pour less, "


def drink_names(drinks: Iterable[Drink]) -> str:
    """Drinks in a row."""
    return ", ".join(drink.name for drink in drinks)


def names_text(ids: tuple[str, ...], specs: Specs) -> str:
    """Names of ids in a row."""
    return ", ".join(specs.liquid(identity).name for identity in ids)


def ids_text(batches: Iterable[Batch]) -> str:
    """Ids of batches in a row."""
    return ", ".join(batch.id for batch in batches)
