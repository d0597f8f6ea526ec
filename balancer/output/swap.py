"""The answers of `swap`: one drink, the whole menu, and what is open that could stand in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from balancer.components import acid_as_citric_g
from balancer.engine.moved import CAVEAT, Held, Noticed, band_of, fill, in_band, moved, noticed
from balancer.engine.swap import Swap
from balancer.engine.swap_search import Line, Obstacle
from balancer.errors import BalancerError
from balancer.models.drink import Drink
from balancer.models.house import House
from balancer.output.numbers import brix, cut, fit, percent, trim, width
from balancer.output.page import COLUMNS, ROWS, house_change, house_pour, house_volume, labelled, page
from balancer.output.working import amount, grams, ratio, wrapped

_WORD: dict[Held, str] = {"sugar": "sugar", "acid": "acid", "volume": "volume", "abv": "ABV", "sweetness": "sweetness"}


def swap_text(result: Swap, house: House) -> str:
    """The answer for one drink. What a guest must be told comes before what to pour."""
    answer = _answer(result, house)
    first, *warnings = [*_warnings(result), answer]
    rows = [*warnings, *_obstacle_rows(result, house), _strength_row(result), *_taste_rows(result)]
    rows.append(labelled("glass", _glass(result, house)))
    if result.feasible:
        rows.extend(_band_rows(result))
        rows.extend(_one_for_one_rows(result))
    more = [CAVEAT] if noticed(result.old, result.new) else []
    if result.unknown_sugar:
        more.append("sugar not fully known, so it moves by less")
    return page(first, rows[:ROWS], "; ".join([*more, "--steps shows the working"]))


def menu_text(found: Sequence[Swap], failed: Sequence[tuple[Drink, BalancerError]], house: House) -> str:
    """The answer for the whole menu: the conversions, then the drinks."""
    if not found:
        return page("no drink has an answer", [_failed(drink, error) for drink, error in failed[:ROWS]], "--json")
    one = found[0]
    warnings = [text for result in found for text in _warnings(result)]
    lead = f"{one.into.name} for {one.out.name}: {len(found)} drink{'s' if len(found) > 1 else ''}"
    first = f"{warnings[0]}; {lead}" if warnings else lead
    said = [_menu_row(result, house) for result in found]
    room = COLUMNS - 4 - max(width(text) for text in said)
    columns = min(max(width(result.drink.name) for result in found), max(room, 8))
    rows = [f"{fit(result.drink.name, columns)}  {text}" for result, text in zip(found, said, strict=True)]
    rows.extend(_failed(drink, error) for drink, error in failed)
    room = ROWS - 1
    more = [f"{len(rows) - room} more drinks (--json lists them)"] if len(rows) > room else []
    return page(first, [_strength_row(one), *rows[:room]], "; ".join([*more, "swap DRINK shows what moves in each"]))


def stand_ins_text(drink: Drink, out: str, found: Sequence[Swap], past: Sequence[str], house: House) -> str:
    """The answer to "we are out of it": what is open, the least change first.

    past  ids of open batches that were left out because their last day of use is over
    """
    more = [f"left out, past their last day: {', '.join(past)}"] if past else []
    if not found:
        return page(
            f"nothing open tonight can stand in for {out} in {drink.name}",
            ["log an open batch with its strength, or name a syrup with --in"],
            "; ".join([*more, "balancer batch list shows what is open"]),
        )
    best = found[0]
    warnings = _warnings(best)
    first = f"{warnings[0]}; {_answer(best, house)}" if warnings else f"nearest open: {_answer(best, house)}"
    rows = []
    for result in found[:ROWS]:
        batch = f" ({result.strength.batch})" if result.strength and result.strength.batch else ""
        said = "; ".join([*_warnings(result), _changes(result)])
        rows.append(f"{house_line(result.new_line, house)} {result.into.name}{batch}: {said}")
    if len(found) > ROWS:
        more.append(f"{len(found) - ROWS} more are open (--json lists them)")
    ranked = "ranked by how little moves; what brings an allergen or alcohol comes last"
    return page(first, rows, "; ".join([ranked, *more]))


def house_line(line: Line, house: House) -> str:
    """What to pour of a line, with its unit."""
    if line.by_weight:
        return f"{trim(line.grams(line.poured) or 0.0, 1)} g"
    return f"{house_pour(line.poured, house)} {house.show}"


def _answer(result: Swap, house: House) -> str:
    changed = [line for line in result.lines if line.is_free and not line.is_new]
    new = result.new_line
    parts = [f"{house_line(new, house)} {result.into.name}, not {result.out.name}"]
    parts += [_free_part(line, house) for line in changed]
    lead = f"{cut(result.drink.name, 30)}: "
    if not result.feasible:
        return f"{lead}cannot hold {_listed(result.held)} at once"
    return lead + "; ".join(part for part in parts if part)


def _free_part(line: Line, house: House) -> str:
    if line.spec is not None and abs(line.poured - line.spec) < 1e-6:
        return "" if not line.poured else f"{line.liquid.name} stays"
    if not line.spec:
        return f"add {house_line(line, house)} {line.liquid.name}"
    return f"{house_line(line, house)} {line.liquid.name}, not {house_pour(line.spec, house)}"


def _warnings(result: Swap) -> list[str]:
    found = []
    if result.gained:
        found.append(f"allergen gained: {', '.join(result.gained)}")
    if result.unknown:
        found.append(f"allergens of {result.into.name} unknown: ask before it is served")
    if result.breaks_zero_proof:
        found.append(f"puts {trim(result.alcohol_added_g, 1)} g alcohol into a drink without")
    return found


def _strength_row(result: Swap) -> str:
    if result.strength is None:
        sugar = trim(1000.0 * result.into.sugar_per_g, 0)
        return labelled("new sweetener", f"{result.into.name}, {sugar} g sugar per kg")
    source = f"as {result.strength.batch}, open now, was read" if result.strength.batch else "its standard"
    return labelled("new syrup", f"{brix(result.strength.brix)}, {source}")


def _taste_rows(result: Swap) -> list[str]:
    change = result.moved
    totals = {"sugar": change.sugar_percent, "acid": change.acid_percent}
    rows: list[str] = []
    for item in noticed(result.old, result.new):
        if item.quantity == "abv":
            rows.append(labelled("ABV", f"{_points(item.change)} % vol: {item.words}{_published(item)}"))
        else:
            whole = totals[item.quantity]
            glass = f", {percent(item.change)} per 100 ml" if round(whole or 0.0) != round(item.change) else ""
            rows.append(labelled(item.quantity, f"{percent(whole or 0.0)}{glass}: {item.words}{_published(item)}"))
    if not rows:
        rows.append(labelled("moves", _changes(result)))
    if change.acid_percent is None and result.new.acid_g > 1e-9:
        rows.append(labelled("acid", f"{trim(result.new.acid_g, 1)} g in a drink that had none"))
    span = change.sweetness
    if span and (round(span.low), round(span.high)) != (round(change.sugar_percent or 0.0),) * 2:
        limits = f"{percent(span.low)} to {percent(span.high)}"
        rows.append(labelled("sweetness", f"{limits}: sources disagree on its sugars"))
    return rows


def _published(item: Noticed) -> str:
    """The published band, where the change is not far below it."""
    if item.words.startswith("not expected"):
        return ""
    low, high, unit = item.threshold.low, item.threshold.high, item.threshold.unit
    digits = 0 if unit == "%" else 1
    return f" (tasters: {trim(low, digits)}–{trim(high, digits)} {unit})"


def _points(value: float) -> str:
    text = trim(value, 1)
    return text if text.startswith("−") or text == "0" else f"+{text}"


def _changes(result: Swap) -> str:
    change = result.moved
    said = [
        f"{word} {percent(value)}"
        for word, value in (("sugar", change.sugar_percent), ("acid", change.acid_percent))
        if value is not None
    ]
    volume = change.mix_volume_percent if change.volume_percent is None else change.volume_percent
    return ", ".join([*said, f"volume {percent(volume)}"] if volume is not None else said)


def _glass(result: Swap, house: House) -> str:
    found = fill(house, result.drink, result.old, result.new)
    new, old = result.new.as_drunk.volume_ml, result.old.as_drunk.volume_ml
    text = f"{house_volume(new, house)}, {house_change(new - old, house)}"
    if result.new.served is None:
        return f"dilution unknown; before ice {text}"
    if found is None:
        return text
    return f"{text}; {'more than the' if found.overflows else f'{trim(found.after_percent, 0)} % of the'} {found.glass}"


def _band_rows(result: Swap) -> list[str]:
    """Where published recipes of the family fall, and this drink beside them: no verdict."""
    band = band_of(result.drink, result.old)
    rows = in_band(band, result.old, result.new) if band else ()
    if not band or not rows:
        return []
    digits = {"sugar": 1, "acid": 2, "abv": 1}
    parts = []
    for row in rows:
        limits, here = (
            "–".join(trim(value, digits[row.quantity]) for value in (row.low, row.high)),
            trim(row.after, digits[row.quantity]),
        )
        what = "% ABV" if row.quantity == "abv" else f"g {row.quantity}"
        parts.append(f"{here} {what} (usually {limits})")
    notes = [*(["recalled figures"] if band.recalled else []), *([band.acid_basis] if band.acid_basis else [])]
    return [labelled(band.family, f"{', '.join(parts)}; {'; '.join(notes)}")]


def _one_for_one_rows(result: Swap) -> list[str]:
    strength = result.one_for_one_brix
    if strength is None or (result.strength and abs(strength - result.strength.brix) < 0.05):
        return []
    return [labelled("or", f"make it at {brix(strength)} and it pours one for one")]


def obstacle_words(result: Swap, house: House) -> list[str]:
    """Why not, and what would make it possible; nothing when everything is held."""
    found = result.obstacle
    if found is None:
        return []
    words = [f"nearest: {_misses(found)}"]
    words += [f"it would take {_below(item.amount, house)} of {item.liquid.name}" for item in found.below_zero]
    if found.no_sour_pour:
        words.append("no sour pour may move: it is fixed, a syrup, a spirit, or not there")
    names = {item.liquid.id for item in found.below_zero}
    strength = result.one_for_one_brix
    if found.acid_short_g > 1e-6:
        short = f"{trim(found.acid_short_g, 1)} g citric acid, dissolved, would make up the acid"
        words.append(short)
    elif any(quantity == "acid" for quantity, _ in found.misses):
        words.append("it brings too much acid: less citrus will not do; leave acid out of --hold")
    if "volume" in result.held and "water" in names:
        words.append("it is thinner than what it replaces; leave volume out of --hold")
    if "abv" in result.held and any(quantity == "abv" for quantity, _ in found.misses):
        free = "" if "volume" in result.held else "; water is added only when volume is held too"
        words.append(f"spirits stay as they are, so ABV moves with the rest{free}")
    if strength is not None and not {quantity for quantity, _ in found.misses} & {"acid", "abv"}:
        words.append(f"make it at {brix(strength)} and it pours one for one")
    return words


def _obstacle_rows(result: Swap, house: House) -> list[str]:
    words = obstacle_words(result, house)
    if not words:
        return []
    pours = ", ".join(f"{house_line(line, house)} {line.liquid.name}" for line in result.lines if line.is_free)
    return [*words, labelled("nearest pours", pours)]


def _misses(found: Obstacle) -> str:
    return ", ".join(f"{_WORD[quantity]} {percent(value)}" for quantity, value in found.misses)


def _below(value: float, house: House) -> str:
    return f"{house_change(value, house)} (less than nothing)"


def _listed(held: Sequence[Held]) -> str:
    *others, last = [_WORD[quantity] for quantity in held]
    return f"{', '.join(others)} and {last}" if others else last


def _menu_row(result: Swap, house: House) -> str:
    new = result.new_line
    spec = "" if new.spec is None else f"{house_pour(new.spec, house)} → "
    flags = [*_warnings(result)][:1] + ([] if result.feasible else [f"cannot hold {_listed(result.held)}"])
    others = [_free_part(line, house) for line in result.lines if line.is_free and not line.is_new]
    change = result.moved
    moves = [f"sugar {percent(change.sugar_percent or 0.0)}"]
    moves += [] if change.acid_percent is None else [f"acid {percent(change.acid_percent)}"]
    return "; ".join([f"{spec}{house_line(new, house)}", *filter(None, others), ", ".join(moves), *flags])


def _failed(drink: Drink, error: BalancerError) -> str:
    return f"{drink.name}: {error.problems()[0].message}"


def swap_data(result: Swap, house: House) -> dict[str, Any]:
    """The JSON object of `swap`."""
    found = result.obstacle
    return {
        "drink": result.drink.id,
        "name": result.drink.name,
        "out": result.out.id,
        "in": result.into.id,
        "held": list(result.held),
        "feasible": result.feasible,
        "pours": [_line_data(line) for line in result.lines],
        "moved": _moved_data(result, exact=False),
        "moved_exact": _moved_data(result, exact=True),
        "allergens": {"gained": list(result.gained), "lost": list(result.lost), "unknown": list(result.unknown)},
        "alcohol_added_g": result.alcohol_added_g,
        "breaks_zero_proof": result.breaks_zero_proof,
        "brix": result.strength.brix if result.strength else None,
        "batch": result.strength.batch if result.strength else None,
        "one_for_one_brix": result.one_for_one_brix,
        "effort": result.effort,
        "obstacle": None
        if found is None
        else {
            "below_zero": [{"ingredient": item.liquid.id, "amount": item.amount} for item in found.below_zero],
            "misses_percent": dict(found.misses),
            "acid_short_g": found.acid_short_g,
            "words": obstacle_words(result, house),
        },
        "noticed": [
            {
                "quantity": item.quantity,
                "change": item.change,
                "unit": item.threshold.unit,
                "words": item.words,
                "published": {"low": item.threshold.low, "high": item.threshold.high, "where": item.threshold.where},
                "source": item.threshold.source,
            }
            for item in noticed(result.old, result.new)
        ],
        "glass": _glass_data(result, house),
        "family": _band_data(result),
        "unknown": [{"ingredient": identity, "what": "sugar"} for identity in result.unknown_sugar],
    }


def menu_data(
    out: str, into: str, held: Sequence[Held], found: Sequence[Swap], failed: Sequence[tuple[Drink, BalancerError]],
    house: House,
) -> dict[str, Any]:  # fmt: skip
    """The JSON object of `swap --all`."""
    return {
        "out": out,
        "in": into,
        "held": list(held),
        "drinks": [swap_data(result, house) for result in found],
        "cannot": [
            {"drink": drink.id, "name": drink.name, "message": error.problems()[0].message} for drink, error in failed
        ],
    }


def stand_ins_data(
    drink: Drink, out: str, held: Sequence[Held], found: Sequence[Swap], past: Sequence[str], house: House
) -> dict[str, Any]:
    """The JSON object of `swap` without --in: what is open, the least change first."""
    return {
        "drink": drink.id,
        "name": drink.name,
        "out": out,
        "in": None,
        "held": list(held),
        "stand_ins": [swap_data(result, house) for result in found],
        "past": list(past),
    }


def _line_data(line: Line) -> dict[str, Any]:
    return {
        "ingredient": line.liquid.id,
        "name": line.liquid.name,
        "spec_ml": line.ml(line.spec),
        "exact_ml": line.ml(line.exact),
        "poured_ml": line.ml(line.poured),
        "spec_g": line.grams(line.spec),
        "exact_g": line.grams(line.exact),
        "poured_g": line.grams(line.poured),
        "by_weight": line.by_weight,
    }


def _moved_data(result: Swap, *, exact: bool) -> dict[str, Any]:
    change = moved(result.old, result.exact) if exact else result.moved
    span = change.sweetness
    return {
        "sugar_percent": change.sugar_percent,
        "acid_percent": change.acid_percent,
        "abv_points": change.abv_points,
        "volume_percent": change.volume_percent,
        "sweetness_percent": span.middle if span else None,
        "sweetness_percent_range": {"low": span.low, "high": span.high} if span else None,
        "mix_volume_percent": change.mix_volume_percent,
    }


def _glass_data(result: Swap, house: House) -> dict[str, Any] | None:
    found = fill(house, result.drink, result.old, result.new)
    if found is None:
        return None
    return {
        "glass": found.glass,
        "glass_ml": found.glass_ml,
        "before_ml": found.before_ml,
        "after_ml": found.after_ml,
        "overflows": found.overflows,
    }


def _band_data(result: Swap) -> dict[str, Any] | None:
    band = band_of(result.drink, result.old)
    if band is None:
        return None
    return {
        "family": band.family,
        "source": band.source,
        "recalled": band.recalled,
        "acid_basis": band.acid_basis or None,
        "quantities": [{**row._asdict(), "side": row.side} for row in in_band(band, result.old, result.new)],
    }


def swap_steps(result: Swap, house: House) -> list[str]:
    """The working: what a ml of each holds, then sugar, acid and volume as written, exactly and as poured."""
    lines = []
    for label, liquid in (("out", result.out), ("in", result.into)):
        per, unit = (liquid.density, "ml") if liquid.density else (1.0, "g")
        lines.append(
            f"{label}: a {unit} of {liquid.name} holds {ratio(per * liquid.sugar_per_g)} g sugar, "
            f"{ratio(per * acid_as_citric_g(liquid.per_g))} g acid"
        )
    for quantity, wanted in (("sugar", result.old.sugar_g), ("acid", result.old.acid_g)):
        if wanted or quantity == "sugar":
            lines += ["", f"{quantity} as written {grams(wanted)} g{', to be held' if quantity in result.held else ''}"]
            lines += _sum_steps("exactly", quantity, result, poured=False)
            lines += _sum_steps("poured", quantity, result, poured=True)
    old, exact, new = (house_ml.mix.volume_ml for house_ml in (result.old, result.exact, result.new))
    lines += ["", f"before ice (volume model): as written {grams(old)} ml, exactly {grams(exact)}, poured {grams(new)}"]
    free = " · ".join(f"{amount(line.exact)} {line.liquid.name}" for line in result.lines if line.is_free)
    lines += wrapped(f"exact pours: {free} ({'ml' if result.new_line.liquid.density else 'g of the sweetener'})")
    lines.append(f"the jigger's best pours: {_free_pours(result, house)}")
    return lines


def _free_pours(result: Swap, house: House) -> str:
    return " · ".join(f"{house_line(line, house)} {line.liquid.name}" for line in result.lines if line.is_free)


def _sum_steps(label: str, quantity: str, result: Swap, *, poured: bool) -> list[str]:
    terms, total = [], 0.0
    for line in result.lines:
        held = line.liquid.sugar_per_g if quantity == "sugar" else acid_as_citric_g(line.liquid.per_g)
        per = held * (line.liquid.density or 1.0)
        pour = line.poured if poured else line.exact
        total += per * pour
        if per and pour:
            terms.append(f"{amount(pour)} × {ratio(per)}")
    return wrapped(f"  {label}: {' + '.join(terms) or '0'} = {grams(total)} g")
