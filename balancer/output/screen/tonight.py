"""`tonight` on the screen."""

from __future__ import annotations

from collections.abc import Sequence

from balancer.engine.batch.read_it import read_again
from balancer.engine.service.juices import JuiceTonight
from balancer.engine.service.lines import juice_lines_of, lines_of
from balancer.engine.service.rescale import DrinkRow
from balancer.engine.service.tonight import BatchTonight, Tonight
from balancer.models.days import day_text
from balancer.models.house import House
from balancer.models.specs import Specs
from balancer.output.screen.rescale import drink_change, drink_rows, named_rows
from balancer.output.words.advice import ASSUMED, beside_spec, per_kg_text, unreached_names
from balancer.output.words.amounts import change_text
from balancer.output.words.numbers import count
from balancer.output.words.page import ROWS, act, fine, page, watch
from balancer.output.words.problems import missing_rows
from balancer.output.words.tonight import (
    acid_text,
    assumed_as_written,
    assumed_moving,
    assumed_row,
    because_text,
    corrected_text,
    drink_names,
    in_bottles_text,
    lines_text,
    names_text,
    only_text,
    told,
    warning_rows,
)
from balancer.output.words.unsaid import unsaid_first, unsaid_rows

_ORDER = ("pull", "read again", "correct the batch", "change pours", "as written")


def tonight_text(
    result: Tonight, specs: Specs, *, everything: bool = False, missing: Sequence[str] = (), of_house: str = ""
) -> str:
    """The answer of `tonight`: batches and their lines, what must be acted on, then the drinks that move.

    everything  every drink that moves, however many rows it takes
    missing     names of drinks that did not load and pour what is open
    of_house    what is wrong with house.yaml
    """
    house = specs.house
    batches = sorted(result.batches, key=lambda item: _ORDER.index(item.rescale.advice.word))
    rows: list[str] = [*unsaid_rows(result)]
    rows += [
        (watch if item.rescale.advice.word == "change pours" else act)(_batch_row(item, result, house))
        for item in batches
        if item.rescale.advice.word != "as written"
    ]
    rows += [watch(_juice_row(juice, result, house)) for juice in result.juices if juice.conversions]
    rows += [watch(assumed_row(item, house)) for item in assumed_moving(result)]
    read = [(item.batch.id, item.rescale) for item in result.believed]
    assumed = [(item.syrup.name, item) for item in result.assumed]
    moved = [(lead, row) for lead, item in (*read, *assumed) for row in item.rows if row.moves or row.is_to_blame]
    moved += [(tape or specs.name_of(row.pour.of), row) for tape, row in result.unblamed]
    moved.sort(key=lambda pair: pair[1].drink.name.casefold())
    must = [pair for pair in moved if pair[1].verdict == "out of reach"]
    rows += _must(must, house)
    rows += warning_rows(result, specs)
    rows += missing_rows(missing)
    others = [pair for pair in moved if pair[1].verdict != "out of reach"]
    shown = others if everything else others[: max(ROWS - len(rows), 0)]
    rows += _drinks(shown, house, result.juices if everything else ())
    told = {row.drink.id for _, row in shown}
    left = [] if everything else [identity for identity in result.moved if identity not in told]
    return page(tonight_line(result, missing, of_house), rows, "; ".join(_more(result, specs, left)))


def _must(pairs: Sequence[tuple[str, DrinkRow]], house: House) -> list[str]:
    return drink_rows([row for _, row in pairs], house, [lead for lead, _ in pairs])


def _drinks(pairs: Sequence[tuple[str, DrinkRow]], house: House, juices: Sequence[JuiceTonight]) -> list[str]:
    """The drinks that another pour puts right, each after its batch; those of the juices last, in the same columns."""
    poured = [(juice.batch.id, row) for juice in juices for row in juice.moved]
    return named_rows(
        [*(row.drink.name for _, row in pairs), *(row.drink.name for _, row in poured)],
        [
            *(drink_change(row, house) for _, row in pairs),
            *(change_text(row.written, row.poured, house) for _, row in poured),
        ],
        [*(lead for lead, _ in pairs), *(batch_id for batch_id, _ in poured)],
    )


def _more(result: Tonight, specs: Specs, left: list[str]) -> list[str]:
    rest = "each of them" if len(left) == len(result.moved) else f"{len(left)} more of them"
    more = [f"--all shows {rest}"] if left else []
    more += [f"{count(len(result.as_written), 'others')} as written"] if result.as_written else []
    assumed = assumed_as_written(result)
    more += [f"{ASSUMED}: {names_text(assumed, specs)}"] if assumed else []
    more += [in_bottles_text(result)] if result.bottled else []
    return [*more, "--steps shows the working"]


def tonight_line(result: Tonight, missing: Sequence[str] = (), of_house: str = "") -> str:
    """What tonight comes to, on one line.

    missing   names of drinks that did not load and pour what is open
    of_house  what is wrong with house.yaml, and by what whatever follows is answered
    """
    night = f"tonight {day_text(result.night)}"
    if of_house:
        night = f"{night}: {of_house}"
    ids: dict[str, list[str]] = {}
    for item in result.batches:
        ids.setdefault(item.rescale.advice.word, []).append(item.batch.id)
    juices = [juice for juice in result.juices if juice.moved]
    assumed = [item for item in result.assumed if any(row.moves for row in item.rows)]
    changing = [
        *ids.get("change pours", []),
        *[juice.batch.id for juice in juices],
        *[item.syrup.name for item in assumed],
    ]
    said = {"read again": "read {} again", "correct the batch": "correct {}"}
    unsaid = unsaid_first(result)
    parts = [*unsaid, *(text.format(", ".join(ids[word])) for word, text in said.items() if word in ids)]
    if changing:
        rows = [row for item in result.batches if item.batch.id in changing for row in item.rescale.rows]
        rows += [row for item in assumed for row in item.rows]
        drinks = {row.drink.id for row in rows if row.moves} | {row.drink.id for juice in juices for row in juice.moved}
        verb = "changes" if len(changing) == 1 else "change"
        parts.append(f"{', '.join(changing)} {verb} {count(len(drinks), 'drinks')}")
    parts += [unreached_names(result.unhelped.values())] if result.unhelped else []
    gone = [*ids.get("pull", []), *(batch.id for batch in result.now.past)]
    why = "" if "pull" in ids else f", past {'its' if len(gone) == 1 else 'their'} last day"
    parts += [f"discard {', '.join(gone)}{why}"] * bool(gone)
    if parts:
        tone = watch if len(parts) == bool(changing) and not of_house else act
        return tone(f"{night}: {'; '.join(parts)}")
    rest = "every drink that can be read as written" if missing else "every drink as written"
    if of_house:
        nothing = "" if result.batches or result.juices else "no open batch has a strength in the log; "
        return act(f"{night}: {nothing}{rest}")
    if result.batches or result.juices:
        return watch(f"{night}: {rest}") if missing else fine(f"{night}: {rest}")
    return f"{night}: no open batch has a strength in the log; {rest}"


def _batch_row(item: BatchTonight, tonight: Tonight, house: House) -> str:
    result = item.rescale
    word, reason = result.advice
    strengths = beside_spec(result.batch_brix, result.standard_brix, result.written_for)
    lead = f"{item.batch.id} {result.syrup.name}, {strengths}"
    if word == "read again":
        return f"{lead}: {read_again(reason, result.syrup, item.batch.id)}"
    if result.advice.is_unsure:
        return f"{lead}: {reason}"
    lines = lines_of(result)
    ask = (*told(lines, house).stuck, *lines.ask)
    pours = "; ".join([*lines_text(lines, house), *([f"ask: {drink_names(ask)}"] if ask else [])])
    only = only_text(item.batch, tonight)
    if word == "correct the batch" and result.correct.add:
        until = f"; until then {pours}" if pours else ""
        after = corrected_text(result, house)
        return f"{lead}: add {per_kg_text(result.correct)}{until}{after}{only}"
    because = because_text(result)
    return f"{lead}: {pours or reason}{f'; {because}' if because else ''}{only}"


def _juice_row(juice: JuiceTonight, tonight: Tonight, house: House) -> str:
    lines = "; ".join(lines_text(juice_lines_of(juice), house))
    return f"{juice.batch.id} {juice.ingredient.name}, {acid_text(juice)}: {lines}{only_text(juice.batch, tonight)}"
